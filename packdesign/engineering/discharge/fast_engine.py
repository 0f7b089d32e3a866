"""The fast engine: a whole demand run through many packs at once, cost by pieces, not by seconds.

Every pack follows the same demand until its first limit. A limit that falls inside a step is found
by shortening that step, for all stopped packs together, once the others are done.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import Demand, FloatArray
from packdesign.engineering.discharge.batch import (
    Batch,
    Moment,
    State,
    Step,
    advance,
    concatenate,
    moment,
    stack,
)
from packdesign.engineering.discharge.run import (
    Conditions,
    EndReason,
    PackModel,
    RunSummary,
    Trace,
)
from packdesign.engineering.discharge.tally import LIMIT_REASONS, Limits, Tally, limits_of

__all__ = ["run_batch", "run_pack"]

_LARGEST_SOC_STEP: Final = 0.005
"""Most charge a step may move, so that the middle of the step stands for all of it. [-]"""
_LARGEST_SOC_STEP_NEAR_EMPTY: Final = 0.001
"""The same where the open-circuit voltage falls away. [-]"""
_NEAR_EMPTY: Final = 0.12
"""State of charge below which the smaller step holds. [-]"""
_LOCATE_ROUNDS: Final = 30
"""Halvings of the step in which a limit falls: to a billionth of it."""
_LONG_PIECE_S: Final = 60.0
_TRACE_POINTS: Final = 12
"""Fewest steps that a piece longer than that is drawn with."""


def run_batch(
    packs: Sequence[PackModel], demand: Demand, conditions: Sequence[Conditions]
) -> tuple[RunSummary, ...]:
    """Run one demand through many packs.

    Parameters
    ----------
    packs : sequence of PackModel
        The n packs.
    demand : Demand
        What is asked of each.
    conditions : sequence of Conditions
        Where each starts and what ends it, one a pack.

    Returns
    -------
    tuple of RunSummary
        One a pack, in order.
    """
    return _Fleet(packs, demand, conditions, points=None).run()


def run_pack(pack: PackModel, demand: Demand, conditions: Conditions) -> Trace:
    """Run one demand through one pack and keep the trace.

    Parameters
    ----------
    pack : PackModel
        The pack.
    demand : Demand
        What is asked of it.
    conditions : Conditions
        Where it starts and what ends it.

    Returns
    -------
    Trace
        Both sides of every jump of the demand, and enough between to draw and to integrate.
    """
    points: list[tuple[float, ...]] = []
    summary = _Fleet([pack], demand, [conditions], points=points).run()[0]
    columns = np.array(points, dtype=float).T
    return Trace(
        time_s=columns[0],
        current_a=columns[1],
        voltage_v=columns[2],
        soc=columns[3],
        cell_degc=columns[4],
        surface_degc=columns[5],
        ends_by=summary.ends_by,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stopped:
    """Packs that met a limit inside a step, as they were when it began."""

    who: NDArray[np.intp]
    batch: Batch
    limits: Limits
    state: State
    demand_a: FloatArray
    demand_w: FloatArray
    step_s: FloatArray


class _Fleet:
    """The packs still running, and what is known of the others."""

    def __init__(
        self,
        packs: Sequence[PackModel],
        demand: Demand,
        conditions: Sequence[Conditions],
        *,
        points: list[tuple[float, ...]] | None,
    ) -> None:
        self.demand = demand
        self.longest_s = min(each.longest_s for each in conditions)
        self.batch = stack(packs, ambient_degc=np.array([each.ambient_degc for each in conditions]))
        self.limits = limits_of(packs, demand, conditions)
        self.state = _at_rest(conditions)
        self.who = np.arange(self.batch.size)
        reason = EndReason.TIME if demand.repeats else EndReason.DEMAND_OVER
        self.tally = Tally(self.batch.size, reason=reason)
        self.stopped: list[_Stopped] = []
        self.points = points

    def run(self) -> tuple[RunSummary, ...]:
        """Follow the demand until no pack is left or it is over."""
        for demand_a, demand_w, piece_s in _pieces(self.demand, longest_s=self.longest_s):
            self._piece(demand_a, demand_w, piece_s)
            if self.who.size == 0:
                break
        self._locate()
        return self.tally.summaries()

    def _piece(self, demand_a: float, demand_w: float, piece_s: float) -> None:
        """Carry all packs through one piece of constant demand."""
        asked_a, asked_w = np.asarray(demand_a), np.asarray(demand_w)
        begin = moment(self.batch, self.state, demand_a=asked_a, demand_w=asked_w)
        self.tally.see(self.who, begin, self.state)
        self._note(begin)
        left_s = piece_s
        while left_s > 0:
            length_s = self._step_length_s(begin, piece_s=piece_s, left_s=left_s)
            left_s -= length_s
            step_s = np.asarray(length_s)
            step = advance(
                self.batch,
                self.state,
                demand_a=asked_a,
                demand_w=asked_w,
                step_s=step_s,
                start=begin,
            )
            end = moment(self.batch, step.state, demand_a=asked_a, demand_w=asked_w)
            room = np.minimum(
                self.limits.room(begin, self.state), self.limits.room(end, step.state)
            )
            over = np.any(room < 0, axis=0)
            if np.any(over):
                self._set_aside(over, asked_a, asked_w, step_s)
                if self.who.size == 0:
                    return
                keep = np.flatnonzero(~over)
                begin, step, end = begin.rows(keep), step.rows(keep), end.rows(keep)
            self.tally.add(self.who, begin=begin, step=step, end=end, step_s=step_s)
            self.state, begin = step.state, end
            self.tally.see(self.who, end, self.state)
            self._note(end)

    def _step_length_s(self, begin: Moment, *, piece_s: float, left_s: float) -> float:
        """Length of the next step: all that is left, or an even share of it that moves less."""
        near_empty = self.state.soc < _NEAR_EMPTY
        largest = np.where(near_empty, _LARGEST_SOC_STEP_NEAR_EMPTY, _LARGEST_SOC_STEP)
        charge_as = np.abs(begin.current_a) / self.batch.parallel * left_s
        share = float(np.max(charge_as / self.batch.capacity_as / largest))
        if self.points is not None and piece_s > _LONG_PIECE_S:
            share = max(share, left_s / (piece_s / _TRACE_POINTS))
        return left_s / max(1, int(np.ceil(share - 1e-9)))

    def _set_aside(
        self,
        over: NDArray[np.bool_],
        asked_a: FloatArray,
        asked_w: FloatArray,
        step_s: FloatArray,
    ) -> None:
        """Take the packs that met a limit out of the running."""
        hit, keep = np.flatnonzero(over), np.flatnonzero(~over)
        self.stopped.append(
            _Stopped(
                who=self.who[hit],
                batch=self.batch.rows(hit),
                limits=self.limits.rows(hit),
                state=self.state.rows(hit),
                demand_a=np.full(len(hit), float(asked_a)),
                demand_w=np.full(len(hit), float(asked_w)),
                step_s=np.full(len(hit), float(step_s)),
            )
        )
        self.who, self.batch = self.who[keep], self.batch.rows(keep)
        self.limits, self.state = self.limits.rows(keep), self.state.rows(keep)

    def _note(self, at: Moment) -> None:
        if self.points is None:
            return
        state = self.state
        self.points.append(
            (
                float(self.tally.time_s[0]),
                float(at.current_a[0]),
                float(at.voltage_v[0]),
                float(state.soc[0]),
                float(state.cell_degc[0]),
                float(state.surface_degc[0]),
            )
        )

    def _locate(self) -> None:
        """Find by halving how far into its last step each stopped pack came."""
        if not self.stopped:
            return
        last = _together(self.stopped)
        low, high = np.zeros(last.who.size), last.step_s.copy()
        begin = moment(last.batch, last.state, demand_a=last.demand_a, demand_w=last.demand_w)
        at_once = np.any(last.limits.room(begin, last.state) < 0, axis=0)
        high[at_once] = 0.0
        for _ in range(_LOCATE_ROUNDS):
            middle = (low + high) / 2
            _, room = _probe(last, begin, middle)
            over = np.any(room < 0, axis=0)
            low, high = np.where(over, low, middle), np.where(over, middle, high)
        _, room = _probe(last, begin, high)
        reasons = [LIMIT_REASONS[int(k)] for k in np.argmax(room < 0, axis=0)]
        step, _ = _probe(last, begin, low)
        end = moment(last.batch, step.state, demand_a=last.demand_a, demand_w=last.demand_w)
        self.tally.add(last.who, begin=begin, step=step, end=end, step_s=low)
        self.tally.see(last.who, end, step.state)
        self.tally.stop(last.who, reasons)
        self.state = step.state
        self._note(end)


def _probe(last: _Stopped, begin: Moment, step_s: FloatArray) -> tuple[Step, FloatArray]:
    """Step the stopped packs by ``step_s`` and give the room before their limits."""
    step = advance(
        last.batch,
        last.state,
        demand_a=last.demand_a,
        demand_w=last.demand_w,
        step_s=step_s,
        start=begin,
    )
    end = moment(last.batch, step.state, demand_a=last.demand_a, demand_w=last.demand_w)
    return step, last.limits.room(end, step.state)


def _together(parts: Sequence[_Stopped]) -> _Stopped:
    return _Stopped(
        who=np.concatenate([part.who for part in parts]),
        batch=concatenate([part.batch for part in parts]),
        limits=concatenate([part.limits for part in parts]),
        state=concatenate([part.state for part in parts]),
        demand_a=np.concatenate([part.demand_a for part in parts]),
        demand_w=np.concatenate([part.demand_w for part in parts]),
        step_s=np.concatenate([part.step_s for part in parts]),
    )


def _at_rest(conditions: Sequence[Conditions]) -> State:
    start_degc = np.array([each.start_degc for each in conditions])
    return State(
        soc=np.array([each.start_soc for each in conditions]),
        fast_v=np.zeros(len(conditions)),
        slow_v=np.zeros(len(conditions)),
        cell_degc=start_degc,
        surface_degc=start_degc.copy(),
    )


def _pieces(demand: Demand, *, longest_s: float) -> Iterator[tuple[float, float, float]]:
    """Give the pieces of a demand one by one, over and over where it repeats."""
    pieces = list(
        zip(
            demand.current_a.tolist(),
            demand.power_w.tolist(),
            demand.duration_s.tolist(),
            strict=True,
        )
    )
    elapsed_s = 0.0
    while True:
        for current_a, power_w, duration_s in pieces:
            if elapsed_s >= longest_s:
                return
            yield current_a, power_w, min(duration_s, longest_s - elapsed_s)
            elapsed_s += duration_s
        if not demand.repeats:
            return
