"""A discharge cell by cell: unlike cells share the current until the weakest group ends it.

Each cell has its own capacity, resistance, charge and temperature factor and follows one table of
voltage and resistance against charge (or its own). Resistance is the settled one of seconds to
minutes: this module tells which cell works hardest and what a mismatch costs; the shape of the
voltage with its slow parts is for ``engineering/discharge``. No command runs it: it is kept as the
slow, exact answer that published current shares are held against; a pack is judged by the share of
one moment, from the same `network`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.electrical.network import PackNetwork, split_current
from packdesign.foundation.constants import SECONDS_PER_HOUR
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["CellTable", "SharedCells", "SharedDischarge", "share_discharge"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CellTable:
    """Open-circuit voltage and resistance on an even grid of charge from 0 to 1."""

    ocv_v: FloatArray
    """Shape (k,), or (series, parallel, k) where cells differ. [V]"""
    ohm: FloatArray
    """Settled resistance, same shape. [ohm]"""

    def __post_init__(self) -> None:
        if self.ocv_v.shape != self.ohm.shape or self.ocv_v.ndim not in (1, 3):
            msg = (
                "ocv_v and ohm must both be (k,) or (series, parallel, k); "
                f"got {self.ocv_v.shape} and {self.ohm.shape}"
            )
            raise OutOfRangeError(msg)
        if self.ocv_v.shape[-1] < 2 or np.min(self.ohm) <= 0:
            msg = "a cell table needs 2 points of charge or more and resistances above 0"
            raise OutOfRangeError(msg)


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedCells:
    """The cells of many packs; arrays are (packs, series, parallel)."""

    table: CellTable
    capacity_ah: FloatArray
    """Of each cell. [A h]"""
    resistance_factor: FloatArray
    """On the table's resistance: batch, age, temperature. [-]"""
    soc: FloatArray
    """Charge at the start. [-]"""

    def __post_init__(self) -> None:
        shapes = {self.capacity_ah.shape, self.resistance_factor.shape, self.soc.shape}
        if len(shapes) != 1 or self.capacity_ah.ndim != 3:
            msg = f"arrays of cells must all be (packs, series, parallel); got {shapes}"
            raise OutOfRangeError(msg)
        if min(np.min(self.capacity_ah), np.min(self.resistance_factor)) <= 0:
            msg = "capacities and resistance factors must be above 0"
            raise OutOfRangeError(msg)
        if np.min(self.soc) < 0 or np.max(self.soc) > 1:
            msg = "soc must lie between 0 and 1"
            raise OutOfRangeError(msg)


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedDischarge:
    """What became of each pack."""

    end_s: FloatArray
    """When its weakest group reached the cut-off, or the demand was over. Shape (n,). [s]"""
    ended_by_group: NDArray[np.int64]
    """Series group that ended it, -1 where the demand was over first. Shape (n,)."""
    delivered_ah: FloatArray
    """Charge the pack gave. Shape (n,). [A h]"""
    soc: FloatArray
    """Charge left in each cell. Shape (n, series, parallel). [-]"""
    largest_cell_a: FloatArray
    """Largest current of any one cell. Shape (n,). [A]"""
    largest_share: FloatArray
    """The same, over the even share of the pack's current at that time. Shape (n,). [-]"""
    time_s: FloatArray
    """Middle of each step of the demand. Shape (steps,). [s]"""
    cell_a: FloatArray
    """Current of each cell, not-a-number after the end; empty unless asked for.
    Shape (steps, n, series, parallel). [A]"""


def share_discharge(
    cells: SharedCells,
    network: PackNetwork,
    *,
    duration_s: FloatArray,
    current_a: FloatArray,
    cutoff_v: float,
    longest_step_s: float = 20.0,
    keeps_currents: bool = False,
) -> SharedDischarge:
    r"""Discharge packs of unlike cells until the weakest cell of each reaches the cut-off.

    Parameters
    ----------
    cells : SharedCells
        Cells of all packs.
    network : PackNetwork
        Joints, strips, leads.
    duration_s, current_a : array
        Pieces of pack current, discharge positive, gone through once. Shape (m,). [s], [A]
    cutoff_v : float
        Lowest voltage of any cell. [V]
    longest_step_s : float
        Longest step of time. [s]
    keeps_currents : bool
        Whether to return the current of each cell at each step.

    Returns
    -------
    SharedDischarge
        How each pack ended.

    Raises
    ------
    OutOfRangeError
        If the demand is empty or a step not above zero.

    Notes
    -----
    Within a step the voltage of a cell is followed along its slope,
    :math:`E(q - \tfrac12 I\,\Delta t)`, so the mean current of the step comes from one linear
    solve with :math:`R + \tfrac12 \frac{dE}{dq} \frac{\Delta t}{Q}` in place of R (trapezoidal
    rule, stable for any step). A cut-off inside a step is placed by straight interpolation of the
    lowest cell voltage.

    Examples
    --------
    Two like cells, 2.0 Ah each, at 4 A from full to a straight-line empty take half an hour each
    ampere-hour:

    >>> table = CellTable(ocv_v=np.array([3.0, 4.0]), ohm=np.array([0.01, 0.01]))
    >>> cells = SharedCells(table=table, capacity_ah=np.full((1, 1, 2), 2.0),
    ...     resistance_factor=np.ones((1, 1, 2)), soc=np.ones((1, 1, 2)))
    >>> run = share_discharge(cells, PackNetwork(), duration_s=np.array([7200.0]),
    ...     current_a=np.array([4.0]), cutoff_v=3.48)
    >>> round(float(run.delivered_ah[0]), 3), round(float(run.end_s[0]))
    (2.0, 1800)
    """
    steps_s, steps_a = _even_steps(duration_s, current_a, longest_step_s)
    state = _Run(cells, keeps_currents=keeps_currents)
    for step, current in zip(steps_s, steps_a, strict=True):
        if not np.any(state.running):
            break
        state.advance(network, step_s=float(step), pack_a=float(current), cutoff_v=cutoff_v)
    middles = np.cumsum(steps_s) - steps_s / 2
    history = np.array(state.history)
    return SharedDischarge(
        end_s=state.end_s,
        ended_by_group=state.ended_by,
        delivered_ah=state.delivered_ah,
        soc=state.soc,
        largest_cell_a=state.largest_a,
        largest_share=state.largest_share,
        time_s=middles[: len(history)] if keeps_currents else middles,
        cell_a=history,
    )


class _Run:
    """The packs while they discharge; lives inside one call of `share_discharge`."""

    def __init__(self, cells: SharedCells, *, keeps_currents: bool) -> None:
        packs = cells.soc.shape[0]
        self.cells = cells
        self.keeps_currents = keeps_currents
        self.soc = cells.soc.copy()
        self.running = np.ones(packs, dtype=bool)
        self.end_s = np.zeros(packs)
        self.ended_by = np.full(packs, -1, dtype=np.int64)
        self.delivered_ah = np.zeros(packs)
        self.largest_a = np.zeros(packs)
        self.largest_share = np.zeros(packs)
        self.before_v = np.full(packs, np.inf)
        self.history: list[FloatArray] = []

    def advance(
        self, network: PackNetwork, *, step_s: float, pack_a: float, cutoff_v: float
    ) -> None:
        """Go one step on; packs that reach the cut-off inside it stop there."""
        emf, slope, ohm = _read_table(self.cells, self.soc)
        hours = step_s / SECONDS_PER_HOUR
        leaning = ohm + np.maximum(slope, 0.0) * hours / (2 * self.cells.capacity_ah)
        asked = np.full(len(self.running), pack_a)
        mean_a = split_current(network, emf_v=emf, cell_ohm=leaning, pack_a=asked).cell_a
        after = self.soc - mean_a * hours / self.cells.capacity_ah
        emf_end, _, ohm_end = _read_table(self.cells, np.clip(after, 0.0, 1.0))
        at_end = split_current(network, emf_v=emf_end, cell_ohm=ohm_end, pack_a=asked)
        group_v = np.min(at_end.cell_v, axis=2)
        group_v = np.where(np.min(after, axis=2) < 0, -np.inf, group_v)
        share = self._share_of_step(network, emf, ohm, asked, group_v, cutoff_v)
        moved = np.where(self.running, share, 0.0)
        self._note(mean_a, pack_a)
        self.soc = np.clip(self.soc + (after - self.soc) * moved[:, None, None], 0.0, 1.0)
        self.end_s = self.end_s + moved * step_s
        self.delivered_ah = self.delivered_ah + moved * pack_a * hours
        stops = self.running & (np.min(group_v, axis=1) < cutoff_v)
        self.ended_by = np.where(stops, np.argmin(group_v, axis=1), self.ended_by)
        self.running = self.running & ~stops

    def _share_of_step(
        self,
        network: PackNetwork,
        emf: FloatArray,
        ohm: FloatArray,
        asked: FloatArray,
        group_v: FloatArray,
        cutoff_v: float,
    ) -> FloatArray:
        """Part of the step before the cut-off; all of it where the cut-off is not reached."""
        begin = split_current(network, emf_v=emf, cell_ohm=ohm, pack_a=asked)
        begin_v = np.min(begin.cell_v, axis=(1, 2))
        end_v = np.maximum(np.min(group_v, axis=1), cutoff_v - 10.0)
        fall = np.maximum(begin_v - end_v, 1e-12)
        share = np.clip((begin_v - cutoff_v) / fall, 0.0, 1.0)
        return np.where(end_v < cutoff_v, share, 1.0)

    def _note(self, mean_a: FloatArray, pack_a: float) -> None:
        """Keep the hardest-worked cell, and the currents if they are wanted."""
        if self.keeps_currents:
            kept = np.where(self.running[:, None, None], mean_a, np.nan)
            self.history.append(kept)
        most = np.where(self.running, np.max(mean_a, axis=(1, 2)), 0.0)
        even = pack_a / mean_a.shape[2]
        if even > 0:
            self.largest_share = np.maximum(self.largest_share, most / even)
        self.largest_a = np.maximum(self.largest_a, most)


def _read_table(cells: SharedCells, soc: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Voltage, its slope over charge, and resistance of every cell at its charge."""
    count = cells.table.ocv_v.shape[-1]
    place = soc * (count - 1)
    left = np.clip(place.astype(np.int64), 0, count - 2)
    along = place - left

    def pick(table: FloatArray, index: NDArray[np.int64]) -> FloatArray:
        if table.ndim == 1:
            return table[index]
        wide = np.broadcast_to(table, (*soc.shape, count))
        return np.take_along_axis(wide, index[..., None], axis=-1)[..., 0]

    low, high = pick(cells.table.ocv_v, left), pick(cells.table.ocv_v, left + 1)
    ohm_low, ohm_high = pick(cells.table.ohm, left), pick(cells.table.ohm, left + 1)
    ohm = (ohm_low + along * (ohm_high - ohm_low)) * cells.resistance_factor
    return low + along * (high - low), (high - low) * (count - 1), ohm


def _even_steps(
    duration_s: FloatArray, current_a: FloatArray, longest_step_s: float
) -> tuple[FloatArray, FloatArray]:
    """Cut the pieces into steps no longer than asked."""
    if len(duration_s) == 0 or len(duration_s) != len(current_a):
        msg = f"a demand needs as many currents as durations, 1 or more; got {len(duration_s)}"
        raise OutOfRangeError(msg)
    if np.min(duration_s) <= 0 or longest_step_s <= 0:
        msg = "pieces and longest_step_s must last longer than 0 s"
        raise OutOfRangeError(msg)
    counts = np.ceil(duration_s / longest_step_s).astype(np.int64)
    return np.repeat(duration_s / counts, counts), np.repeat(current_a, counts)
