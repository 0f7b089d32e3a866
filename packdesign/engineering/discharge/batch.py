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
    asinh_share,
    thermal_voltage_v,
)
from packdesign.engineering.discharge.run import PackModel
from packdesign.engineering.thermal.two_node import two_node_step

__all__ = ["Batch", "Moment", "State", "Step", "advance", "concatenate", "moment", "stack"]

Rows = TypeVar("Rows")

_LAST_SOC = SOC_GRID.size - 2
_LAST_DEGC = TEMPERATURE_GRID_DEGC.size - 2
_CURRENT_ROUNDS = 3
"""Rounds in which current and charge-transfer resistance settle on each other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """Parameters of n packs; every array has n rows, tables have one column a grid point."""

    ocv_v: FloatArray
    entropic_v_per_k: FloatArray
    soc_factor: FloatArray
    ohmic_temperature_factor: FloatArray
    transfer_temperature_factor: FloatArray
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
        return Batch(**{each.name: getattr(self, each.name)[keep] for each in fields(self)})


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
    shape: FloatArray
    """Resistance relative to 50 % charge. [-]"""
    slow_factor: FloatArray
    """RC resistance relative to 50 % charge and 25 degC. [-]"""
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
    return Batch(
        ocv_v=np.stack([cell.ocv_v for cell in cells]),
        entropic_v_per_k=np.stack([cell.entropic_v_per_k for cell in cells]),
        soc_factor=np.stack([cell.soc_factor for cell in cells]),
        ohmic_temperature_factor=np.stack([cell.ohmic_temperature_factor for cell in cells]),
        transfer_temperature_factor=np.stack([cell.transfer_temperature_factor for cell in cells]),
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


def concatenate(parts: Sequence[Rows]) -> Rows:
    """Lay several records of rows, all of one kind, under each other."""
    first: Any = parts[0]
    return type(first)(  # type: ignore[no-any-return]
        **{
            each.name: np.concatenate([getattr(part, each.name) for part in parts])
            for each in fields(first)
        }
    )


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
    soc_index, soc_part = _place(state.soc, SOC_GRID, _LAST_SOC)
    degc_index, degc_part = _place(state.cell_degc, TEMPERATURE_GRID_DEGC, _LAST_DEGC)
    shape = _look_up(batch.soc_factor, soc_index, soc_part)
    slow_factor = shape * _look_up(batch.ohmic_temperature_factor, degc_index, degc_part)
    transfer = (
        batch.transfer_ohm
        * shape
        * _look_up(batch.transfer_temperature_factor, degc_index, degc_part)
    )
    ohmic = batch.ohmic_ohm * slow_factor
    scale_v = thermal_voltage_v(state.cell_degc)
    inner_cell_v = _look_up(batch.ocv_v, soc_index, soc_part) - state.fast_v - state.slow_v
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
        shape=shape,
        slow_factor=slow_factor,
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
    end = _carried(batch, state, middle, step_s, with_heat=True, soc_middle=half.soc)
    return Step(state=end, middle=middle)


def _carried(
    batch: Batch,
    state: State,
    at: Moment,
    step_s: FloatArray,
    *,
    with_heat: bool,
    soc_middle: FloatArray | None = None,
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
    if not with_heat or soc_middle is None:
        return moved
    index, part = _place(soc_middle, SOC_GRID, _LAST_SOC)
    kelvin = state.cell_degc + constants.zero_Celsius
    heat_w = cell_a * (
        at.instant_ohm * cell_a
        + fast_mean_v
        + slow_mean_v
        - kelvin * _look_up(batch.entropic_v_per_k, index, part)
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


def _place(value: FloatArray, grid: FloatArray, last: int) -> tuple[NDArray[np.intp], FloatArray]:
    """Interval of an even grid in which each value lies, and how far along; ends are held."""
    along = (value - grid[0]) / (grid[1] - grid[0])
    index = np.clip(along.astype(np.intp), 0, last)
    return index, np.clip(along - index, 0.0, 1.0)


def _look_up(table: FloatArray, index: NDArray[np.intp], part: FloatArray) -> FloatArray:
    row = np.arange(len(index))
    low = table[row, index]
    return np.asarray(low + (table[row, index + 1] - low) * part)
