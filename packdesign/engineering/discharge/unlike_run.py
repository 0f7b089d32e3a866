"""Run packs of unlike cells: the steps are the fast engine's, only the sharing is added."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import Demand, FloatArray
from packdesign.engineering.discharge.fleet import at_rest
from packdesign.engineering.discharge.moment import State, inside
from packdesign.engineering.discharge.nodes import SOC_GRID
from packdesign.engineering.discharge.run import Conditions, EndReason, as_followed
from packdesign.engineering.discharge.shared_moment import SharedMoment, shared_moment
from packdesign.engineering.discharge.step import carried, step_decays
from packdesign.engineering.discharge.step_length import step_length_s
from packdesign.engineering.discharge.tally import LIMIT_REASONS, limits_of
from packdesign.engineering.discharge.unlike_cells import UnlikeCells, UnlikePoint, UnlikeRun

__all__ = ["run_unlike"]

_EVENING_SHARE: Final = 0.5
"""Longest step, as a share of the time in which cells in parallel even out. [-]"""
_LEAST_SLOPE_V: Final = 0.05
"""Slope of the open-circuit voltage over the whole charge below which they hardly do. [V]"""
_OF_THE_PACK: Final = (EndReason.POWER, EndReason.RAIL)
"""Limits that no one cell meets."""
_NONE: Final = -1
_LAST: Final = 1.0 - 1e-12
"""Share of a step at which a limit met at its end is placed: still inside it. [-]"""


def run_unlike(
    cells: UnlikeCells,
    demand: Demand,
    conditions: Conditions,
    *,
    watch: Callable[[UnlikePoint], None] | None = None,
) -> UnlikeRun:
    """Run one demand through packs of unlike cells until the first cell of each is at a limit.

    Parameters
    ----------
    cells : UnlikeCells
        The packs.
    demand : Demand
        What is asked of each; every piece of one that repeats is gone through, round by round.
    conditions : Conditions
        Air, start and limits; the charge at the start is that of the cells.
    watch : callable, optional
        Told of both ends of every step.

    Returns
    -------
    UnlikeRun
        How each ended.

    Notes
    -----
    Each step is the fast engine's: the cells are carried to its middle with what they share at its
    begin, and over the whole of it with what they share in the middle. Where cells even out among
    themselves, a step is short against the time in which they do. A limit inside a step is placed
    by straight interpolation.
    """
    middle_v = cells.pack.series * cells.pack.cell.ocv_at(0.5)
    demand, otherwise = as_followed(demand, voltage_v=middle_v)
    run = _Run(cells, demand, conditions, watch)
    for demand_a, demand_w, piece_s in demand.pieces(longest_s=conditions.longest_s):
        run.piece(demand_a, demand_w, piece_s)
        if not np.any(run.running):
            break
    return run.ended(otherwise)


@dataclass(slots=True)
class _Books:
    """What is noted of n packs on the way; changes in place."""

    end_s: FloatArray
    end_v: FloatArray
    delivered_as: FloatArray
    largest_pack_a: FloatArray
    largest_cell_a: FloatArray
    peak_degc: FloatArray
    soc: FloatArray
    ended_by: NDArray[np.intp]
    cell: NDArray[np.intp]
    time_s: float = 0.0


class _Run:
    """The packs while they run; lives inside one call of `run_unlike`."""

    def __init__(
        self,
        cells: UnlikeCells,
        demand: Demand,
        conditions: Conditions,
        watch: Callable[[UnlikePoint], None] | None,
    ) -> None:
        self.wiring = cells.wiring()
        self.batch = cells.batch(ambient_degc=conditions.ambient_degc)
        size, packs = self.batch.size, self.wiring.packs
        resting = at_rest([conditions]).rows(np.zeros(size, dtype=np.intp))
        self.state: State = replace(resting, soc=cells.start_soc.ravel().copy())
        self.limits = limits_of([cells.pack], demand, [conditions])
        self.running = np.ones(packs, dtype=bool)
        self.watch = watch
        self.joint_ohm = cells.network.joint_ohm
        self.books = _Books(
            end_s=np.zeros(packs),
            end_v=np.full(packs, np.nan),
            delivered_as=np.zeros(packs),
            largest_pack_a=np.zeros(packs),
            largest_cell_a=np.zeros(packs),
            peak_degc=np.full(packs, conditions.start_degc),
            soc=cells.start_soc.copy(),
            ended_by=np.full(packs, -1, dtype=np.intp),
            cell=np.full(packs, _NONE, dtype=np.intp),
        )

    def piece(self, demand_a: float, demand_w: float, piece_s: float) -> None:
        """Carry the packs through one piece of constant demand."""
        begin = self._share(self.state, demand_a, demand_w, None)
        room = self._room(begin, self.state)
        self._widen(np.zeros(len(self.running)), (begin, begin), (self.state, self.state))
        self._tell(begin)
        left_s = piece_s
        while left_s > 0 and np.any(self.running):
            step_s = self._step_s(begin, piece_s=piece_s, left_s=left_s)
            left_s -= step_s
            half, whole = step_decays(self.batch, np.asarray(step_s))
            half_way = carried(
                self.batch, self.state, begin.cells, half, surface_degc=self.state.surface_degc
            )
            middle = self._share(half_way, demand_a, demand_w, begin.cells.current_a)
            after = carried(
                self.batch, self.state, middle.cells, whole, surface_degc=half_way.surface_degc
            )
            end = self._share(after, demand_a, demand_w, middle.cells.current_a)
            room_after = self._room(end, after)
            share = self._share_until_limit(room, room_after)
            self._book(share, middle.pack_a, after, step_s)
            self._widen(share, (begin, end), (self.state, after))
            self.running = self.running & (share >= 1.0)
            self.state, begin, room = after, end, room_after
            self._tell(begin)

    def ended(self, otherwise: EndReason) -> UnlikeRun:
        """Close the books."""
        books = self.books
        reasons = tuple(LIMIT_REASONS[k] if k >= 0 else otherwise for k in books.ended_by.tolist())
        has_cell = books.cell >= 0
        return UnlikeRun(
            end_s=books.end_s,
            end_v=books.end_v,
            reasons=reasons,
            group=np.where(has_cell, books.cell // self.wiring.parallel, _NONE),
            position=np.where(has_cell, books.cell % self.wiring.parallel, _NONE),
            delivered_ah=books.delivered_as / 3600,
            soc=books.soc,
            largest_pack_a=books.largest_pack_a,
            largest_cell_a=books.largest_cell_a,
            peak_cell_degc=books.peak_degc,
        )

    def _share(
        self, state: State, demand_a: float, demand_w: float, near_a: FloatArray | None
    ) -> SharedMoment:
        return shared_moment(
            self.batch,
            inside(self.batch, state),
            self.wiring,
            demand_a=demand_a,
            demand_w=demand_w,
            near_a=near_a,
        )

    def _room(self, at: SharedMoment, state: State) -> FloatArray:
        """Room of every cell before each limit. Shape (limits, packs, cells of a pack)."""
        per_pack = (self.wiring.packs, -1)
        wide = np.ones((1, self.wiring.series * self.wiring.parallel))
        limits = self.limits
        return np.stack(
            [
                np.where(at.beyond, -1.0, 1.0)[:, None] * wide,
                at.cells.cell_v.reshape(per_pack) - limits.cell_v[0],
                (at.pack_v - limits.pack_v[0])[:, None] * wide,
                limits.cell_degc[0] - state.cell_degc.reshape(per_pack),
                at.cells.reach.reshape(per_pack),
            ]
        )

    def _step_s(self, begin: SharedMoment, *, piece_s: float, left_s: float) -> float:
        """Length of the next step. [s]"""
        length_s = step_length_s(
            self.batch, begin.cells, self.state, piece_s=piece_s, left_s=left_s, watched=False
        )
        if self.wiring.parallel == 1:
            return length_s
        place = np.clip(begin.cells.surface * (SOC_GRID.size - 1), 0, SOC_GRID.size - 2)
        rises = self.batch.tables.ocv[1][place.astype(np.intp)] * (SOC_GRID.size - 1)
        slope_v = np.maximum(rises, _LEAST_SLOPE_V)
        ohm = begin.cells.instant_ohm + self.joint_ohm
        evening_s = float(np.min(ohm * self.batch.capacity_as / slope_v))
        return left_s / max(1, int(np.ceil(left_s / min(length_s, _EVENING_SHARE * evening_s))))

    def _share_until_limit(self, before: FloatArray, after: FloatArray) -> FloatArray:
        """Share of the step before a cell of each pack is at a limit; 1 where none is. [-]"""
        books = self.books
        over = np.any(after < 0, axis=(0, 2)) & self.running
        share = np.ones(len(over))
        for pack in np.flatnonzero(over).tolist():
            crossed = after[:, pack] < 0
            fall = np.maximum(before[:, pack] - after[:, pack], 1e-12)
            places = np.where(crossed, np.clip(before[:, pack] / fall, 0.0, _LAST), np.inf)
            limit, cell = np.unravel_index(int(np.argmin(places)), places.shape)
            share[pack] = places[limit, cell]
            books.ended_by[pack] = limit
            books.cell[pack] = _NONE if LIMIT_REASONS[int(limit)] in _OF_THE_PACK else cell
        return share

    def _book(self, share: FloatArray, pack_a: FloatArray, after: State, step_s: float) -> None:
        """Enter time, charge and state of one step."""
        books, of_packs = self.books, self.wiring.of_packs
        moved = np.where(self.running, share, 0.0)
        before_soc, after_soc = of_packs(self.state.soc), of_packs(after.soc)
        now = before_soc + (after_soc - before_soc) * moved[:, None, None]
        books.soc = np.where(self.running[:, None, None], now, books.soc)
        books.end_s += moved * step_s
        books.delivered_as += moved * step_s * pack_a
        books.time_s += step_s

    def _widen(
        self,
        share: FloatArray,
        moments: tuple[SharedMoment, SharedMoment],
        states: tuple[State, State],
    ) -> None:
        """Note extremes of the packs that run, where they are between two moments."""
        of_packs = self.wiring.of_packs
        part = share[:, None, None]
        cell_a, degc = (
            of_packs(one) * (1.0 - part) + of_packs(other) * part
            for one, other in (
                (moments[0].cells.current_a, moments[1].cells.current_a),
                (states[0].cell_degc, states[1].cell_degc),
            )
        )
        pack_a, pack_v = (
            one * (1.0 - share) + other * share
            for one, other in (
                (moments[0].pack_a, moments[1].pack_a), (moments[0].pack_v, moments[1].pack_v),
            )
        )  # fmt: skip
        self.books.end_v = np.where(self.running, pack_v, self.books.end_v)
        for name, now in (
            ("largest_pack_a", pack_a),
            ("largest_cell_a", np.max(cell_a, axis=(1, 2))),
            ("peak_degc", np.max(degc, axis=(1, 2))),
        ):
            known = getattr(self.books, name)
            setattr(self.books, name, np.where(self.running, np.maximum(known, now), known))

    def _tell(self, at: SharedMoment) -> None:
        """Tell the watcher."""
        if self.watch is None:
            return
        of_packs = self.wiring.of_packs
        self.watch(
            UnlikePoint(
                time_s=self.books.time_s,
                pack_v=at.pack_v,
                cell_a=of_packs(at.cells.current_a),
                cell_v=of_packs(at.cells.cell_v),
                cell_degc=of_packs(self.state.cell_degc),
                soc=of_packs(self.state.soc),
                running=self.running.copy(),
            )
        )
