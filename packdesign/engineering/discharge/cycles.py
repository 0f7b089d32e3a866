"""Long runs of short cycles: cycles are run at sampled places of the run, the rest is carried.

The cycles at all places are run side by side (:mod:`.cycle_knots`) and blocks of cycles between
them are carried by the map of one cycle (:mod:`.cycle_map`). A pack that meets a limit in a sampled
cycle goes back to the one before, and the block between is sampled more finely; the last cycles are
run one by one, and the limit is found as in any run.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import Demand, FloatArray
from packdesign.engineering.discharge.batch import Batch, concatenate
from packdesign.engineering.discharge.cycle_knots import (
    Knotted,
    knots_between,
    knots_to_empty,
    settled,
)
from packdesign.engineering.discharge.cycle_map import block_sums
from packdesign.engineering.discharge.cycle_story import Story
from packdesign.engineering.discharge.fleet import Fleet, Watch
from packdesign.engineering.discharge.moment import State
from packdesign.engineering.discharge.run import EndReason, as_followed
from packdesign.engineering.discharge.tally import Limits, Tally

__all__ = ["MANY_PIECES", "CycleRun", "has_many_cycles", "middle_v"]

MANY_PIECES: Final = 1000
"""Pieces in a run above which cycles are left out. [-]"""
_FEWEST_CYCLES: Final = 100
"""Fewer cycles than this are run one by one, however many pieces they have. [-]"""
_FEW: Final = 4
"""Cycles in which a limit is known to lie that are run one by one. [-]"""
_FINER: Final = 6
"""Into how many parts a block is cut in which a limit lies. [-]"""
_MOST_AT_ONCE: Final = 256
"""Packs whose cycles are run side by side: more no longer fit the processor's cache. [-]"""
_NEVER: Final = np.iinfo(np.intp).max


@dataclass(frozen=True, slots=True, kw_only=True)
class _Group:
    """Packs at the start of a cycle, each with its own clock and its books so far."""

    who: NDArray[np.intp]
    batch: Batch
    limits: Limits
    state: State
    after: State
    """Where each would be once the cycles of ``span`` are over, near enough to start from."""
    span: NDArray[np.intp]
    """Cycles from here in which its limit lies; _NEVER where none was met. Shape (n,). [-]"""
    sums: FloatArray
    """Time, charge, energy, squared current. Shape (n, 4)."""
    extremes: FloatArray
    """Least voltage (negative), most current, cell and surface temperature. Shape (n, 4)."""

    def rows(self, keep: NDArray[np.intp]) -> _Group:
        """Take some of the packs."""
        return _Group(
            who=self.who[keep],
            batch=self.batch.rows(keep),
            limits=self.limits.rows(keep),
            state=self.state.rows(keep),
            after=self.after.rows(keep),
            span=self.span[keep],
            sums=self.sums[keep],
            extremes=self.extremes[keep],
        )


def has_many_cycles(batch: Batch, demand: Demand, *, soc: FloatArray, longest_s: float) -> bool:
    """Tell whether a run is long enough for cycles to be left out.

    Parameters
    ----------
    batch : Batch
        The n packs.
    demand : Demand
        What is asked of each.
    soc : array
        Where they start. Shape (n,). [-]
    longest_s : float
        Where the run is given up. [s]
    """
    voltage_v = middle_v(batch)
    if not as_followed(demand, voltage_v=voltage_v)[0].repeats:
        return False
    period_as = demand.mean_current_a(voltage_v=voltage_v) * demand.period_s
    cycles = longest_s / demand.period_s
    if period_as > 0:
        cycles = min(cycles, float(np.max(soc * batch.capacity_as * batch.parallel)) / period_as)
    return cycles > _FEWEST_CYCLES and cycles * len(demand.duration_s) > MANY_PIECES


def middle_v(batch: Batch) -> float:
    """Give the voltage at which a demand on packs is told for short, that of half charge. [V]

    Parameters
    ----------
    batch : Batch
        The n packs.
    """
    volts = float(np.median(batch.series)) * float(np.mean(batch.tables.over_soc[0]))
    return max(volts, 1e-3)


class CycleRun:
    """Many packs under a demand that repeats, with cycles left out between sampled ones.

    Parameters
    ----------
    demand : Demand
        What is asked of each, over and over.
    longest_s : float
        Where the run is given up. [s]
    watch : callable, optional
        Sees the cycles that were run, and between them the mean current and voltage: of all packs
        as long as they keep one clock, then of the first alone.
    """

    def __init__(self, demand: Demand, *, longest_s: float, watch: Watch | None = None) -> None:
        columns = (demand.current_a, demand.power_w, demand.duration_s)
        self._pieces = list(zip(*(each.tolist() for each in columns), strict=True))
        self._period_s = demand.period_s
        self._longest_s = longest_s
        self._watch = watch

    def run(self, batch: Batch, *, limits: Limits, state: State) -> Tally:
        """Run every pack to its first limit.

        Parameters
        ----------
        batch : Batch
            The n packs.
        limits : Limits
            What ends each.
        state : State
            Where each starts.

        Returns
        -------
        Tally
            The figures of every pack.
        """
        group = _Group(
            who=np.arange(batch.size),
            batch=batch,
            limits=limits,
            state=state,
            after=state,
            span=np.full(batch.size, _NEVER),
            sums=np.zeros((batch.size, 4)),
            extremes=np.full((batch.size, 4), -np.inf),
        )
        at_once = batch.size if self._watch is not None else _MOST_AT_ONCE
        parts = [
            self._to_the_end(group.rows(np.arange(begin, min(begin + at_once, batch.size))))
            for begin in range(0, batch.size, at_once)
        ]
        return Tally.joined(parts)

    def _to_the_end(self, group: _Group) -> Tally:
        """Run some of the packs to their limits; gives them in their order."""
        count, one_clock = group.who.size, self._watch is not None
        ready: list[_Group] = []
        while group.who.size:
            free = np.flatnonzero(group.span == _NEVER)
            bound = np.flatnonzero(group.span != _NEVER)
            moved = []
            if free.size:
                all_of_them = one_clock and free.size == count
                moved.append(self._toward_empty(group.rows(free), one_clock=all_of_them))
                one_clock = False
            if bound.size:
                moved.append(self._more_finely(group.rows(bound)))
            group = concatenate(moved)
            is_near = (group.span <= _FEW) | (self._cycles_left(group) <= _FEW)
            ready.append(group.rows(np.flatnonzero(is_near)))
            group = group.rows(np.flatnonzero(~is_near))
        last = concatenate(ready)
        by_limit, by_time = np.flatnonzero(last.span <= _FEW), np.flatnonzero(last.span > _FEW)
        tally = Tally.joined(
            [self._cycle_by_cycle(last.rows(keep)) for keep in (by_limit, by_time) if keep.size]
        )
        who = np.concatenate([last.who[by_limit], last.who[by_time]])
        return tally.rows(np.argsort(who))

    def _toward_empty(self, group: _Group, *, one_clock: bool) -> _Group:
        """Carry packs as far as they come before a limit."""
        most = max(int(np.max(self._cycles_left(group))) - 1, 0)
        at, guess = knots_to_empty(
            group.batch,
            group.limits,
            group.state,
            self._pieces,
            most_cycles=most,
            one_clock=one_clock,
        )
        return self._carried(group, at, guess, of_all=one_clock)

    def _more_finely(self, group: _Group) -> _Group:
        """Carry packs on through the block in which their limit lies."""
        at, guess = knots_between(group.state, group.after, group.span, blocks=_FINER)
        return self._carried(group, at, guess, of_all=False)

    def _carried(
        self, group: _Group, at: NDArray[np.intp], guess: State, *, of_all: bool
    ) -> _Group:
        """Carry packs from knot to knot, each to the last before a broken cycle."""
        first = np.flatnonzero(group.who == 0)
        told = int(first[0]) if self._watch is not None and first.size else None
        knotted = settled(
            group.batch,
            group.limits,
            group.state,
            self._pieces,
            at=at,
            guess=guess,
            told=told,
        )
        if self._watch is not None and told is not None:
            story = Story(
                knotted=knotted,
                batch=group.batch,
                limits=group.limits,
                who=group.who,
                first=told,
                clock_s=float(group.sums[told, 0]),
                period_s=self._period_s,
            )
            story.tell(self._watch, of_all=of_all)
        return self._moved(group, knotted)

    def _moved(self, group: _Group, knotted: Knotted) -> _Group:
        """Put every pack at its last knot before a broken cycle, and keep the books."""
        swept, at, whole = knotted.swept, knotted.at, knotted.whole
        knots, packs = np.arange(len(at))[:, None], np.arange(at.shape[1])
        here, there = np.maximum(whole - 1, 0), np.minimum(whole, len(at) - 1)
        passed = block_sums(swept, at) * (knots[:-1] < here)
        seen = np.where(knots < whole, swept.extremes, -np.inf).max(axis=1)
        time_s = at[here, packs] * self._period_s
        span = np.where(whole < len(at), at[there, packs] - at[here, packs] + 1, _NEVER)
        begin = {name: getattr(swept.begin, name) for name in State.__dataclass_fields__}
        return replace(
            group,
            state=State(**{name: each[here, packs] for name, each in begin.items()}),
            after=State(**{name: each[there, packs] for name, each in begin.items()}),
            span=span,
            sums=group.sums + np.vstack([time_s, passed.sum(axis=1)]).T,
            extremes=np.maximum(group.extremes, seen.T),
        )

    def _cycles_left(self, group: _Group) -> NDArray[np.intp]:
        """Whole cycles before the run is given up. Shape (n,)."""
        left_s = self._longest_s - group.sums[:, 0]
        return np.floor(left_s / self._period_s + 1e-9).astype(np.intp)

    def _cycle_by_cycle(self, group: _Group) -> Tally:
        """Run what is left of each pack as any other run, and close the books."""
        watch = self._watch
        fleet = Fleet(
            group.batch,
            group.limits,
            group.state,
            reason=EndReason.TIME,
            watch=None if watch is None else _of_the_first(group, watch),
        )
        left_s = self._longest_s - float(np.min(group.sums[:, 0]))
        while left_s > 0 and fleet.who.size:
            for demand_a, demand_w, piece_s in self._pieces:
                if left_s > 0 and fleet.who.size:
                    fleet.piece(demand_a, demand_w, min(piece_s, left_s))
                    left_s -= piece_s
        fleet.locate()
        fleet.tally.add_sums(group.sums.T)
        fleet.tally.widen(group.extremes.T)
        return fleet.tally


def _of_the_first(group: _Group, watch: Watch) -> Watch:
    """Tell the points of the first pack with its own clock."""
    place = np.flatnonzero(group.who == 0)

    def tell(who: NDArray[np.intp], point: FloatArray) -> None:
        found = np.flatnonzero(np.isin(who, place))
        if found.size:
            later = point[:, found].copy()
            later[0] += group.sums[place, 0]
            watch(group.who[place], later)

    return tell
