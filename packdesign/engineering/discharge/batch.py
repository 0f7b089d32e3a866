"""Many packs side by side, and one step of all of them at once.

A step has a constant demand and any length. The RC elements and the two heat nodes are carried over
it by exact exponentials; what drifts with charge (open-circuit voltage, resistance) is taken at the
middle of the step, which makes the step second order in its length. Which steps are made, and where
a limit stops a pack, is decided in :mod:`.fast_engine`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray
from scipy import constants

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.cell_model import (
    SOC_GRID,
    TEMPERATURE_GRID_DEGC,
    CellModel,
    asinh_share,
    thermal_voltage_v,
)
from packdesign.engineering.discharge.run import PackModel
from packdesign.engineering.thermal.two_node import two_node_step

__all__ = [
    "Batch",
    "Moment",
    "State",
    "Step",
    "Tables",
    "advance",
    "concatenate",
    "moment",
    "stack",
]

Rows = TypeVar("Rows")

_CURRENT_ROUNDS = 3
"""Rounds in which current and charge-transfer resistance settle on each other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tables:
    """Tables of the m different cells among the packs, one row a cell, laid end to end."""

    ocv_v: FloatArray
    entropic_v_per_k: FloatArray
    soc_factor: FloatArray
    ohmic_temperature_factor: FloatArray
    transfer_temperature_factor: FloatArray
    empty_soc: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """Parameters of n packs: shared tables, and one row a pack of everything else."""

    tables: Tables
    table_row: NDArray[np.intp]
    """Row of the tables that belongs to each pack. Shape (n,)."""
    ocv_shift_v: FloatArray
    capacity_as: FloatArray
    ohmic_ohm: FloatArray
    transfer_ohm: FloatArray
    fast_ohm: FloatArray
    slow_ohm: FloatArray
    fast_s: FloatArray
    slow_s: FloatArray
    series: FloatArray
    parallel: FloatArray
    path_ohm: FloatArray
    cell_j_per_k: FloatArray
    surface_j_per_k: FloatArray
    cell_to_surface_w_per_k: FloatArray
    surface_to_air_w_per_k: FloatArray
    ambient_degc: FloatArray

    @property
    def size(self) -> int:
        """How many packs."""
        return len(self.series)

    def rows(self, keep: NDArray[np.intp]) -> Batch:
        """Make a batch of some of the packs."""
        parts = {
            each.name: getattr(self, each.name)[keep]
            for each in fields(self)
            if each.name != "tables"
        }
        return Batch(tables=self.tables, **parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """Where each pack is. Every array has shape (n,)."""

    soc: FloatArray
    fast_v: FloatArray
    """Drop over the faster RC element of a cell. [V]"""
    slow_v: FloatArray
    """Drop over the slower RC element of a cell. [V]"""
    cell_degc: FloatArray
    surface_degc: FloatArray

    def rows(self, keep: NDArray[np.intp]) -> State:
        """Take some of the packs."""
        return State(**{each.name: getattr(self, each.name)[keep] for each in fields(self)})


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """What stands at the terminals at one moment. Every array has shape (n,)."""

    current_a: FloatArray
    """Of the pack. [A]"""
    voltage_v: FloatArray
    """Of the pack at its terminals. [V]"""
    cell_v: FloatArray
    beyond: NDArray[np.bool_]
    """Where the power asked for has no solution; the figures are those of the largest power."""
    slow_factor: FloatArray
    """RC resistance relative to 50 % charge and 25 degC. [-]"""
    entropic_v_per_k: FloatArray
    instant_ohm: FloatArray
    """Of a cell. [ohm]"""

    def rows(self, keep: NDArray[np.intp]) -> Moment:
        """Take some of the packs."""
        return Moment(**{each.name: getattr(self, each.name)[keep] for each in fields(self)})


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step: where it led, and what flowed. Every array has shape (n,)."""

    state: State
    middle: Moment
    """The moment half way, with the current that stands for the whole step."""

    def rows(self, keep: NDArray[np.intp]) -> Step:
        """Take some of the packs."""
        return Step(state=self.state.rows(keep), middle=self.middle.rows(keep))


def stack(packs: Sequence[PackModel], *, ambient_degc: FloatArray) -> Batch:
    """Lay packs side by side.

    Parameters
    ----------
    packs : sequence of PackModel
        The n packs.
    ambient_degc : array
        Air around each. Shape (n,). [degC]
    """
    cells = [pack.cell for pack in packs]
    thermal = [pack.thermal for pack in packs]
    tables, table_row = _shared_tables(cells)
    return Batch(
        tables=tables,
        table_row=table_row,
        ocv_shift_v=np.array([cell.ocv_shift_v for cell in cells]),
        capacity_as=np.array([cell.capacity_ah * constants.hour for cell in cells]),
        ohmic_ohm=np.array([cell.ohmic_ohm for cell in cells]),
        transfer_ohm=np.array([cell.charge_transfer_ohm for cell in cells]),
        fast_ohm=np.array([cell.rc_ohm[0] for cell in cells]),
        slow_ohm=np.array([cell.rc_ohm[1] for cell in cells]),
        fast_s=np.array([cell.rc_time_s[0] for cell in cells]),
        slow_s=np.array([cell.rc_time_s[1] for cell in cells]),
        series=np.array([float(pack.series) for pack in packs]),
        parallel=np.array([float(pack.parallel) for pack in packs]),
        path_ohm=np.array([pack.path_ohm for pack in packs]),
        cell_j_per_k=np.array([cell.heat_capacity_j_per_k for cell in cells]),
        surface_j_per_k=np.array([path.surface_j_per_k for path in thermal]),
        cell_to_surface_w_per_k=np.array([path.cell_to_surface_w_per_k for path in thermal]),
        surface_to_air_w_per_k=np.array([path.surface_to_air_w_per_k for path in thermal]),
        ambient_degc=np.broadcast_to(np.asarray(ambient_degc, dtype=float), len(packs)).copy(),
    )


def _shared_tables(cells: Sequence[CellModel]) -> tuple[Tables, NDArray[np.intp]]:
    """Lay each different set of tables down once; packs that share a cell share its row."""
    names = [each.name for each in fields(Tables)]
    rows: dict[tuple[int, ...], int] = {}
    first: list[CellModel] = []
    table_row = np.empty(len(cells), dtype=np.intp)
    for place, cell in enumerate(cells):
        key = tuple(id(getattr(cell, name)) for name in names)
        if key not in rows:
            rows[key] = len(first)
            first.append(cell)
        table_row[place] = rows[key]
    laid = {name: np.concatenate([getattr(cell, name) for cell in first]) for name in names}
    return Tables(**laid), table_row


def concatenate(parts: Sequence[Rows]) -> Rows:
    """Lay several records of rows, all of one kind, under each other."""
    first: Any = parts[0]
    laid = {
        each.name: np.concatenate([getattr(part, each.name) for part in parts])
        for each in fields(first)
        if each.name != "tables"
    }
    if isinstance(first, Batch):
        return type(first)(tables=first.tables, **laid)  # type: ignore[return-value]
    return type(first)(**laid)  # type: ignore[no-any-return]


def moment(batch: Batch, state: State, *, demand_a: FloatArray, demand_w: FloatArray) -> Moment:
    """Find current and voltage at one moment of constant demand.

    Parameters
    ----------
    batch : Batch
        The n packs.
    state : State
        Where they are.
    demand_a : array
        Current asked for. Shape (n,) or (). [A]
    demand_w : array
        Power asked for on top. Shape (n,) or (). [W]

    Notes
    -----
    With ``V = E - R (I_d + P / V)`` the terminal voltage solves a quadratic; the upper root is the
    one a pack takes. R depends on the current through the charge transfer, so the two are found in
    rounds, from the small-current resistance downward.
    """
    tables = batch.tables
    at_degc = _place(state.cell_degc, TEMPERATURE_GRID_DEGC, batch.table_row)
    empty = _look_up(tables.empty_soc, at_degc)
    at_soc = _place((state.soc - empty) / (1.0 - empty), SOC_GRID, batch.table_row)
    shape = _look_up(tables.soc_factor, at_soc)
    slow_factor = shape * _look_up(tables.ohmic_temperature_factor, at_degc)
    transfer = batch.transfer_ohm * shape * _look_up(tables.transfer_temperature_factor, at_degc)
    ohmic = batch.ohmic_ohm * slow_factor
    scale_v = thermal_voltage_v(state.cell_degc)
    open_v = _look_up(tables.ocv_v, at_soc) + batch.ocv_shift_v
    inner_cell_v = open_v - state.fast_v - state.slow_v
    inner_v = batch.series * inner_cell_v
    instant = ohmic + transfer
    for _ in range(_CURRENT_ROUNDS):
        total = batch.path_ohm + batch.series / batch.parallel * instant
        half = (inner_v - total * demand_a) / 2
        root = half**2 - total * demand_w
        voltage = half + np.sqrt(np.maximum(root, 0.0))
        current = np.where(total > 0, (inner_v - voltage) / np.maximum(total, 1e-12), demand_a)
        reduced = transfer * np.abs(current) / batch.parallel / scale_v
        instant = ohmic + transfer * asinh_share(reduced)
    cell_v = inner_cell_v - instant * current / batch.parallel
    voltage = batch.series * cell_v - batch.path_ohm * current
    return Moment(
        current_a=current,
        voltage_v=voltage,
        cell_v=cell_v,
        beyond=root < 0,
        slow_factor=slow_factor,
        entropic_v_per_k=_look_up(tables.entropic_v_per_k, at_soc),
        instant_ohm=instant,
    )


def advance(
    batch: Batch,
    state: State,
    *,
    demand_a: FloatArray,
    demand_w: FloatArray,
    step_s: FloatArray,
    start: Moment | None = None,
) -> Step:
    """Carry every pack over one step of constant demand.

    Parameters
    ----------
    batch : Batch
        The n packs.
    state : State
        Where they are.
    demand_a, demand_w : array
        Current and power asked for. Shape (n,) or (). [A], [W]
    step_s : array
        Length of the step. Shape (n,) or (). [s]
    start : Moment, optional
        The moment at the start, where it is known already.

    Returns
    -------
    Step
        The state at the end and the moment of the middle.
    """
    begin = start or moment(batch, state, demand_a=demand_a, demand_w=demand_w)
    half = _carried(batch, state, begin, step_s / 2, with_heat=False)
    middle = moment(batch, half, demand_a=demand_a, demand_w=demand_w)
    end = _carried(batch, state, middle, step_s, with_heat=True)
    return Step(state=end, middle=middle)


def _carried(
    batch: Batch,
    state: State,
    at: Moment,
    step_s: FloatArray,
    *,
    with_heat: bool,
) -> State:
    """Carry the state over ``step_s`` with the current and resistances of ``at``."""
    cell_a = at.current_a / batch.parallel
    fast_v, fast_mean_v = _relaxed(
        state.fast_v, batch.fast_ohm * at.slow_factor * cell_a, batch.fast_s, step_s
    )
    slow_v, slow_mean_v = _relaxed(
        state.slow_v, batch.slow_ohm * at.slow_factor * cell_a, batch.slow_s, step_s
    )
    moved = replace(
        state,
        soc=state.soc - cell_a * step_s / batch.capacity_as,
        fast_v=fast_v,
        slow_v=slow_v,
    )
    if not with_heat:
        return moved
    kelvin = state.cell_degc + constants.zero_Celsius
    heat_w = cell_a * (
        at.instant_ohm * cell_a + fast_mean_v + slow_mean_v - kelvin * at.entropic_v_per_k
    )
    cell_degc, surface_degc = two_node_step(
        state.cell_degc,
        state.surface_degc,
        heat_w=heat_w,
        ambient_degc=batch.ambient_degc,
        cell_j_per_k=batch.cell_j_per_k,
        surface_j_per_k=batch.surface_j_per_k,
        cell_to_surface_w_per_k=batch.cell_to_surface_w_per_k,
        surface_to_air_w_per_k=batch.surface_to_air_w_per_k,
        step_s=step_s,
    )
    return replace(moved, cell_degc=cell_degc, surface_degc=surface_degc)


def _relaxed(
    drop_v: FloatArray, settled_v: FloatArray, time_s: FloatArray, step_s: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Drop of an RC element after a step, and its mean over it."""
    ratio = step_s / time_s
    gone = -np.expm1(-ratio)
    after = drop_v + (settled_v - drop_v) * gone
    mean = settled_v + (drop_v - settled_v) * gone / np.maximum(ratio, 1e-12)
    return after, mean


def _place(
    value: FloatArray, grid: FloatArray, table_row: NDArray[np.intp]
) -> tuple[NDArray[np.intp], FloatArray]:
    """Entry below each value in tables on an even grid, and how far past it; ends are held."""
    last = float(grid.size - 1)
    along = np.minimum(np.maximum((value - grid[0]) / (grid[1] - grid[0]), 0.0), last)
    index = np.minimum(along.astype(np.intp), grid.size - 2)
    return index + table_row * grid.size, along - index


def _look_up(table: FloatArray, place: tuple[NDArray[np.intp], FloatArray]) -> FloatArray:
    entry, part = place
    low = table.take(entry)
    return np.asarray(low + (table.take(entry + 1) - low) * part)
