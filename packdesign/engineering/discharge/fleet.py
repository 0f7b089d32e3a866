"""Packs that follow one demand side by side, each until its first limit.

All running packs take the same steps. A limit that falls inside a step is found by shortening that
step, for all stopped packs together, once the others are done.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.batch import Batch, concatenate
from packdesign.engineering.discharge.moment import Moment, State, inside, moment
from packdesign.engineering.discharge.run import Conditions, EndReason
from packdesign.engineering.discharge.step import Decays, Step, advance, step_decays
from packdesign.engineering.discharge.step_length import step_length_s
from packdesign.engineering.discharge.tally import LIMIT_REASONS, Limits, Tally

__all__ = ["Fleet", "Watch", "at_rest", "trace_point"]

Watch = Callable[[NDArray[np.intp], FloatArray], None]
"""Called at each point of a trace with who is running, and a table of shape (6, n) whose rows are
time [s], current [A], voltage [V], state of charge [-], cell and surface temperature [degC]."""

_LOCATE_ROUNDS: Final = 30
"""Halvings of the step in which a limit falls: to a billionth of it."""
_KEPT_DECAYS: Final = 64


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


class Fleet:
    """The packs still running, and what is known of the others.

    Parameters
    ----------
    batch : Batch
        The n packs.
    limits : Limits
        What ends each.
    state : State
        Where each starts.
    reason : EndReason
        What is reported of a pack that meets no limit.
    watch : callable, optional
        Called at both ends of every step.
    """

    def __init__(
        self,
        batch: Batch,
        limits: Limits,
        state: State,
        *,
        reason: EndReason,
        watch: Watch | None = None,
    ) -> None:
        self.batch, self.limits, self.state = batch, limits, state
        self.inside = inside(batch, state)
        self.who = np.arange(batch.size)
        self.tally = Tally(batch.size, reason=reason)
        self.watch = watch
        self._stopped: list[_Stopped] = []
        self._decays: dict[float, tuple[Decays, Decays]] = {}

    def piece(self, demand_a: float, demand_w: float, piece_s: float) -> None:
        """Carry all running packs through one piece of constant demand.

        Parameters
        ----------
        demand_a, demand_w : float
            Current asked for, and power on top. [A], [W]
        piece_s : float
            Length of the piece. [s]
        """
        asked_a, asked_w = np.asarray(demand_a), np.asarray(demand_w)
        begin = moment(self.batch, self.inside, demand_a=asked_a, demand_w=asked_w)
        begins_beyond = self.limits.broken(begin, self.state)
        self.tally.see(self.who, begin, self.state)
        self._note(begin)
        left_s = piece_s
        while left_s > 0:
            length_s = step_length_s(
                self.batch,
                begin,
                self.state,
                piece_s=piece_s,
                left_s=left_s,
                watched=self.watch is not None,
            )
            left_s -= length_s
            step_s = np.asarray(length_s)
            step = advance(
                self.batch,
                self.state,
                begin=begin,
                demand_a=asked_a,
                demand_w=asked_w,
                over=self._over(length_s),
            )
            within = inside(self.batch, step.state)
            end = moment(
                self.batch,
                within,
                demand_a=asked_a,
                demand_w=asked_w,
                near_ohm=step.middle.instant_ohm,
            )
            over = begins_beyond | self.limits.broken(end, step.state)
            if over.any():
                self._set_aside(over, asked_a, asked_w, step_s)
                if self.who.size == 0:
                    return
                keep = np.flatnonzero(~over)
                begin, step, end = begin.rows(keep), step.rows(keep), end.rows(keep)
                within, begins_beyond = within.rows(keep), begins_beyond[keep]
            self.tally.add(self.who, begin=begin, step=step, end=end, step_s=step_s)
            self.state, self.inside, begin = step.state, within, end
            self.tally.see(self.who, end, self.state)
            self._note(end)

    def _over(self, length_s: float) -> tuple[Decays, Decays]:
        """Give the exponentials of a step, kept where one of that length was made before."""
        if length_s not in self._decays:
            if len(self._decays) >= _KEPT_DECAYS:
                self._decays.clear()
            self._decays[length_s] = step_decays(self.batch, np.asarray(length_s))
        return self._decays[length_s]

    def _set_aside(
        self,
        over: NDArray[np.bool_],
        asked_a: FloatArray,
        asked_w: FloatArray,
        step_s: FloatArray,
    ) -> None:
        """Take the packs that met a limit out of the running."""
        hit, keep = np.flatnonzero(over), np.flatnonzero(~over)
        self._stopped.append(
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
        self._decays.clear()

    def _note(self, at: Moment) -> None:
        if self.watch is not None:
            self.watch(self.who, trace_point(self.tally.time_s[self.who], at, self.state))

    def locate(self) -> None:
        """Find by halving how far into its last step each stopped pack came."""
        if not self._stopped:
            return
        last = concatenate(self._stopped)
        begin = _terminals(last, last.state)
        low, high = np.zeros(last.who.size), last.step_s.copy()
        high[last.limits.broken(begin, last.state)] = 0.0
        for _ in range(_LOCATE_ROUNDS):
            middle = (low + high) / 2
            step = _probe(last, begin, middle)
            over = last.limits.broken(_terminals(last, step.state), step.state)
            low, high = np.where(over, low, middle), np.where(over, middle, high)
        beyond = _probe(last, begin, high)
        room = last.limits.room(_terminals(last, beyond.state), beyond.state)
        self.tally.stop(last.who, [LIMIT_REASONS[int(k)] for k in np.argmax(room < 0, axis=0)])
        step = _probe(last, begin, low)
        end = _terminals(last, step.state)
        self.tally.add(last.who, begin=begin, step=step, end=end, step_s=low)
        self.tally.see(last.who, end, step.state)
        self._stopped.clear()
        if self.watch is not None:
            self.watch(last.who, trace_point(self.tally.time_s[last.who], end, step.state))


def trace_point(time_s: FloatArray, at: Moment, state: State) -> FloatArray:
    """Lay out one point of a trace as a watcher is told it. Shape (6, n).

    Parameters
    ----------
    time_s : array
        Time of each pack. Shape (n,). [s]
    at : Moment
        Their terminals.
    state : State
        Where they are.
    """
    return np.stack(
        [time_s, at.current_a, at.voltage_v, state.soc, state.cell_degc, state.surface_degc]
    )


def _terminals(last: _Stopped, state: State) -> Moment:
    return moment(
        last.batch,
        inside(last.batch, state),
        demand_a=last.demand_a,
        demand_w=last.demand_w,
    )


def _probe(last: _Stopped, begin: Moment, step_s: FloatArray) -> Step:
    """Step the stopped packs by ``step_s``."""
    return advance(
        last.batch,
        last.state,
        begin=begin,
        demand_a=last.demand_a,
        demand_w=last.demand_w,
        over=step_decays(last.batch, step_s),
    )


def at_rest(conditions: Sequence[Conditions]) -> State:
    """Give the state of packs that have long rested.

    Parameters
    ----------
    conditions : sequence of Conditions
        Where each starts.
    """
    start_degc = np.array([each.start_degc for each in conditions], dtype=float)
    return State(
        soc=np.array([each.start_soc for each in conditions], dtype=float),
        fast_v=np.zeros(len(conditions)),
        slow_v=np.zeros(len(conditions)),
        lag=np.zeros(len(conditions)),
        cell_degc=start_degc,
        surface_degc=start_degc.copy(),
    )
