"""Long runs of short cycles: cycles are run at sampled states of charge, the rest is carried.

A block of cycles is carried by the map of one cycle (:mod:`.cycle_map`), so that only the drift
with charge and temperature limits its length; the cycle in the middle of a block stands for all of
it. A pack that meets a limit inside a block goes back to its start and takes blocks of an eighth;
in the last ones each cycle is run, and the limit is found as in any run.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import Demand, FloatArray
from packdesign.engineering.discharge.batch import Batch, concatenate
from packdesign.engineering.discharge.cycle_map import after_cycles
from packdesign.engineering.discharge.fleet import Fleet, Watch
from packdesign.engineering.discharge.moment import State
from packdesign.engineering.discharge.run import EndReason
from packdesign.engineering.discharge.tally import Limits, Tally

__all__ = ["MANY_PIECES", "CycleRun", "has_many_cycles"]

MANY_PIECES: Final = 3000
"""Pieces in a run above which cycles are left out. [-]"""
_FEWEST_CYCLES: Final = 100
"""Fewer cycles than this are run one by one, however many pieces they have. [-]"""
_LARGEST_SOC_BLOCK: Final = 0.02
"""Most charge a block may move. [-]"""
_LARGEST_SOC_BLOCK_NEAR_EMPTY: Final = 0.004
_NEAR_EMPTY: Final = 0.2
_LARGEST_RISE_K: Final = 1.5
"""Most that the cell's temperature may change in a block. [K]"""
_FEWEST_IN_BLOCK: Final = 4
"""Cycles in a block below which each is run. [-]"""
_FINER: Final = 8.0
"""How many times shorter blocks become once a limit is known to lie in one. [-]"""
_FINEST_SHARE: Final = 1e-4
"""Blocks this short against the first ones are not tried. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Group:
    """Packs at the start of a cycle, each with its own clock and its books so far."""

    who: NDArray[np.intp]
    batch: Batch
    limits: Limits
    state: State
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
            sums=self.sums[keep],
            extremes=self.extremes[keep],
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cycle:
    """One whole cycle as it was run."""

    begin: State
    end: State
    sums: FloatArray
    extremes: FloatArray
    unbroken: NDArray[np.bool_]
    points: tuple[tuple[NDArray[np.intp], FloatArray], ...]

    def rows(self, keep: NDArray[np.intp]) -> _Cycle:
        """Take some of the packs; the points keep theirs."""
        return replace(
            self,
            begin=self.begin.rows(keep),
            end=self.end.rows(keep),
            sums=self.sums[keep],
            extremes=self.extremes[keep],
            unbroken=self.unbroken[keep],
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
    if not demand.repeats:
        return False
    volts = float(np.median(batch.series)) * float(np.mean(batch.tables.over_soc[0]))
    period_as = demand.mean_current_a(voltage_v=max(volts, 1e-3)) * demand.period_s
    cycles = longest_s / demand.period_s
    if period_as > 0:
        cycles = min(cycles, float(np.max(soc * batch.capacity_as * batch.parallel)) / period_as)
    return cycles > _FEWEST_CYCLES and cycles * len(demand.duration_s) > MANY_PIECES


class CycleRun:
    """Many packs under a demand that repeats, with cycles left out between sampled ones.

    Parameters
    ----------
    demand : Demand
        What is asked of each, over and over.
    longest_s : float
        Where the run is given up. [s]
    watch : callable, optional
        Sees the cycles that were run, and between them the mean current and voltage; of several
        packs only as long as they keep the same clock.
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
            sums=np.zeros((batch.size, 4)),
            extremes=np.full((batch.size, 4), -np.inf),
        )
        share = 1.0
        while share > _FINEST_SHARE:
            watched = self._watch is not None and (share == 1.0 or batch.size == 1)
            group = self._in_blocks(group, share=share, watched=watched)
            share /= _FINER
        return self._cycle_by_cycle(group)

    def _in_blocks(self, group: _Group, *, share: float, watched: bool) -> _Group:
        """Carry packs in blocks; give each at the start of the block in which it meets a limit."""
        first = self._cycle(group, watched=watched)
        left = [group.rows(np.flatnonzero(~first.unbroken))]
        keep = np.flatnonzero(first.unbroken)
        group, first = group.rows(keep), first.rows(keep)
        while group.who.size:
            count = self._block_length(group, first, share=share)
            if count < _FEWEST_IN_BLOCK:
                left.append(group)
                break
            half = self._carried(group, first, count / 2)
            middle = self._cycle(replace(group, state=half), watched=False)
            after = replace(
                group,
                state=self._carried(group, middle, float(count)),
                sums=group.sums + count * middle.sums,
                extremes=np.maximum(group.extremes, middle.extremes),
            )
            following = self._cycle(after, watched=watched)
            good = middle.unbroken & following.unbroken
            keep = np.flatnonzero(good)
            left.append(group.rows(np.flatnonzero(~good)))
            if watched:
                self._show(group, first, middle, after, count=count, keep=keep)
            group, first = after.rows(keep), following.rows(keep)
            group = replace(group, extremes=np.maximum(group.extremes, first.extremes))
        return concatenate(left)

    def _cycle(self, group: _Group, *, watched: bool) -> _Cycle:
        """Run one whole cycle."""
        points: list[tuple[NDArray[np.intp], FloatArray]] = []
        fleet = Fleet(
            group.batch,
            group.limits,
            group.state,
            reason=EndReason.TIME,
            watch=_shifted(group, lambda who, point: points.append((who, point)))
            if watched
            else None,
        )
        for piece in self._pieces:
            if fleet.who.size:
                fleet.piece(*piece)
        unbroken = np.zeros(group.who.size, dtype=bool)
        unbroken[fleet.who] = True
        return _Cycle(
            begin=group.state,
            end=_back_in_place(fleet.state, fleet.who, group.state),
            sums=fleet.tally.sums().T,
            extremes=fleet.tally.extremes().T,
            unbroken=unbroken,
            points=tuple(points),
        )

    def _block_length(self, group: _Group, first: _Cycle, *, share: float) -> int:
        """Cycles in the next block: as many as charge, temperature and time allow."""
        near_empty = group.state.soc < _NEAR_EMPTY
        largest = np.where(near_empty, _LARGEST_SOC_BLOCK_NEAR_EMPTY, _LARGEST_SOC_BLOCK)
        moved = np.abs(first.end.soc - first.begin.soc)
        by_charge = float(np.min(share * largest / np.maximum(moved, 1e-12)))
        left_s = self._longest_s - float(np.max(group.sums[:, 0]))
        count = int(min(by_charge, left_s / self._period_s))
        while count >= _FEWEST_IN_BLOCK:
            warmer = self._carried(group, first, float(count)).cell_degc - group.state.cell_degc
            rise_k = float(np.max(np.abs(warmer)))
            if rise_k <= _LARGEST_RISE_K:
                break
            count = int(count * max(0.2, 0.9 * _LARGEST_RISE_K / rise_k))
        return count

    def _carried(self, group: _Group, by: _Cycle, cycles: float) -> State:
        """Carry a group over many cycles like the one that was run."""
        return after_cycles(
            group.batch,
            group.state,
            begin=by.begin,
            end=by.end,
            period_s=self._period_s,
            cycles=cycles,
        )

    def _cycle_by_cycle(self, group: _Group) -> Tally:
        """Run what is left of each pack as any other run, and close the books."""
        same_clock = group.who.size > 0 and np.ptp(group.sums[:, 0]) == 0.0
        watched = self._watch is not None and same_clock
        fleet = Fleet(
            group.batch,
            group.limits,
            group.state,
            reason=EndReason.TIME,
            watch=_shifted(group, self._watch) if watched and self._watch else None,
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
        return fleet.tally.rows(np.argsort(group.who))

    def _show(
        self,
        group: _Group,
        first: _Cycle,
        middle: _Cycle,
        after: _Group,
        *,
        count: int,
        keep: NDArray[np.intp],
    ) -> None:
        """Show the first cycle of a block, then its mean to the end of the block."""
        watch = self._watch
        if watch is None or keep.size == 0:
            return
        for who, point in first.points:
            kept = np.isin(who, group.who[keep])
            watch(who[kept], point[:, kept])
        current_a = middle.sums[keep, 1] / self._period_s
        charge_as = np.where(middle.sums[keep, 1] > 0, middle.sums[keep, 1], 1.0)
        last_v = first.points[-1][1][2][np.isin(first.points[-1][0], group.who[keep])]
        mean_v = np.where(middle.sums[keep, 1] > 0, middle.sums[keep, 2] / charge_as, last_v)
        for state, begin_s in ((first.end, self._period_s), (after.state, count * self._period_s)):
            at = state.rows(keep)
            time_s = group.sums[keep, 0] + begin_s
            watch(
                group.who[keep],
                np.stack([time_s, current_a, mean_v, at.soc, at.cell_degc, at.surface_degc]),
            )


def _shifted(group: _Group, watch: Watch) -> Watch:
    """Tell the points of a group with its own places and clock."""

    def told(who: NDArray[np.intp], point: FloatArray) -> None:
        later = point.copy()
        later[0] += group.sums[who, 0]
        watch(group.who[who], later)

    return told


def _back_in_place(state: State, who: NDArray[np.intp], whole: State) -> State:
    """Put the states of the packs that came through among those of all."""
    placed = {}
    for each in fields(State):
        values = getattr(whole, each.name).copy()
        values[who] = getattr(state, each.name)
        placed[each.name] = values
    return State(**placed)
