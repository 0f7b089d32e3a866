"""One cycle of a demand run from many starts at once: each pack from each of its sampled states.

Nothing is taken out when it meets a limit, it is only noted: a run is cut where its first broken
cycle lies, so what comes after that is never read.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.batch import Batch
from packdesign.engineering.discharge.fleet import trace_point
from packdesign.engineering.discharge.moment import Inside, Moment, State, inside, moment
from packdesign.engineering.discharge.step import Decays, advance, step_decays
from packdesign.engineering.discharge.step_length import step_length_s
from packdesign.engineering.discharge.tally import Limits

__all__ = ["CycleSweep", "Piece", "Swept", "by_knot", "flat"]

Piece = tuple[float, float, float]
"""Current asked for, power on top, length. [A], [W], [s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Swept:
    """One whole cycle from each start. Arrays have shape (knots, n) after those of their kind."""

    begin: State
    end: State
    sums: FloatArray
    """Charge, energy and squared current of the cycle. Shape (3, knots, n). [A s, J, A2 s]"""
    extremes: FloatArray
    """Least voltage (negative), most current, cell and surface temperature. Shape (4, knots, n)."""
    broken: NDArray[np.bool_]
    """Where a limit lies inside the cycle. Shape (knots, n)."""
    told: FloatArray
    """What a watcher is told of the pack asked for, timed from the start of the cycle. Shape
    (points, 6, knots); no points if none was asked for."""
    volts: FloatArray
    """Voltage of every pack at these points. Shape (points, knots, n)."""


class CycleSweep:
    """The cycle of a demand for packs at several knots each; keeps the exponentials of its steps.

    Parameters
    ----------
    batch : Batch
        The n packs.
    limits : Limits
        What ends each.
    pieces : sequence of Piece
        The cycle.
    knots : int
        From how many states each pack starts. [-]
    """

    def __init__(
        self, batch: Batch, limits: Limits, pieces: Sequence[Piece], *, knots: int
    ) -> None:
        self._rows = np.tile(np.arange(batch.size), knots)
        self._shape = (knots, batch.size)
        self._batch, self._limits = batch.rows(self._rows), limits.rows(self._rows)
        self._small, self._pieces = batch, pieces
        self._decays: dict[float, tuple[Decays, Decays]] = {}

    def run(self, begin: State, *, told: int | None = None) -> Swept:
        """Run the cycle.

        Parameters
        ----------
        begin : State
            Where each pack starts at each knot. Arrays of shape (knots, n).
        told : int or None
            The pack of which a watcher is told everything, and the voltages of the others; steps
            are then as short as a trace wants them.
        """
        state = flat(begin)
        knots, count = self._shape
        places = None if told is None else np.arange(knots) * count + told
        books = _Books(state.soc.size, self._limits, told=places)
        within = inside(self._batch, state)
        for piece in self._pieces:
            state, within = self._piece(books, state, within, piece)
        return Swept(
            begin=begin,
            end=by_knot(state, self._shape),
            sums=books.sums.reshape(3, *self._shape),
            extremes=books.extremes.reshape(4, *self._shape),
            broken=books.broken.reshape(self._shape),
            told=np.array(books.told).reshape(-1, 6, knots),
            volts=np.array(books.volts).reshape(-1, *self._shape),
        )

    def _piece(
        self, books: _Books, state: State, within: Inside, piece: Piece
    ) -> tuple[State, Inside]:
        """Carry every start through one piece."""
        demand_a, demand_w, piece_s = piece
        asked_a, asked_w = np.asarray(demand_a), np.asarray(demand_w)
        at = moment(self._batch, within, demand_a=asked_a, demand_w=asked_w)
        books.see(at, state)
        left_s = piece_s
        while left_s > 0:
            length_s = step_length_s(
                self._batch, at, state, piece_s=piece_s, left_s=left_s, watched=books.is_told
            )
            left_s -= length_s
            step = advance(
                self._batch,
                state,
                begin=at,
                demand_a=asked_a,
                demand_w=asked_w,
                over=self._over(length_s),
            )
            state, within = step.state, inside(self._batch, step.state)
            end = moment(
                self._batch,
                within,
                demand_a=asked_a,
                demand_w=asked_w,
                near_ohm=step.middle.instant_ohm,
            )
            books.add(at, step.middle, end, length_s)
            books.see(end, state)
            at = end
        return state, within

    def _over(self, length_s: float) -> tuple[Decays, Decays]:
        """Give the exponentials of a step, worked out once for each pack and not for each knot."""
        if length_s not in self._decays:
            half, whole = step_decays(self._small, np.asarray(length_s))
            self._decays[length_s] = half.rows(self._rows), whole.rows(self._rows)
        return self._decays[length_s]


def flat(state: State) -> State:
    """Lay the states of all knots under each other.

    Parameters
    ----------
    state : State
        Arrays of shape (knots, n).
    """
    return State(**{each.name: getattr(state, each.name).ravel() for each in fields(State)})


def by_knot(state: State, shape: tuple[int, int]) -> State:
    """Take the states of all knots apart again.

    Parameters
    ----------
    state : State
        Arrays of shape (knots x n,).
    shape : tuple of int
        Knots and n.
    """
    return State(**{each.name: getattr(state, each.name).reshape(shape) for each in fields(State)})


class _Books:
    """What one cycle adds up to; changes in place.

    Parameters
    ----------
    count : int
        How many starts.
    limits : Limits
        What ends each.
    told : array or None
        Starts of which every point is kept; of the others the voltage. Shape (knots,).
    """

    def __init__(self, count: int, limits: Limits, *, told: NDArray[np.intp] | None) -> None:
        self.sums = np.zeros((3, count))
        self.extremes = np.full((4, count), -np.inf)
        self.broken = np.zeros(count, dtype=bool)
        self.told: list[FloatArray] = []
        self.volts: list[FloatArray] = []
        self.is_told = told is not None
        self._places = told
        self._limits = limits
        self._time_s = 0.0

    def see(self, at: Moment, state: State) -> None:
        """Note one moment."""
        self.broken |= self._limits.broken(at, state)
        most = self.extremes
        np.maximum(most[0], -at.voltage_v, out=most[0])
        np.maximum(most[1], at.current_a, out=most[1])
        np.maximum(most[2], state.cell_degc, out=most[2])
        np.maximum(most[3], state.surface_degc, out=most[3])
        places = self._places
        if places is not None:
            time_s = np.full(places.size, self._time_s)
            self.told.append(trace_point(time_s, at.rows(places), state.rows(places)))
            self.volts.append(at.voltage_v)

    def add(self, begin: Moment, middle: Moment, end: Moment, step_s: float) -> None:
        """Add charge, energy (Simpson's rule) and squared current of one step."""
        power_w = begin.current_a * begin.voltage_v + end.current_a * end.voltage_v
        power_w = (power_w + 4 * middle.current_a * middle.voltage_v) / 6
        charge_as = middle.current_a * step_s
        self.sums[0] += charge_as
        self.sums[1] += power_w * step_s
        self.sums[2] += middle.current_a * charge_as
        self._time_s += step_s
