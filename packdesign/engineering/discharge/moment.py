"""Where packs are, what their cells are inside, and what stands at their terminals."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Final

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.batch import Batch
from packdesign.engineering.discharge.charge_transfer import (
    LEAST_TRANSFER_OHM,
    asinh_share,
    thermal_voltage_v,
)
from packdesign.engineering.discharge.nodes import SOC_GRID, TEMPERATURE_GRID_DEGC

__all__ = ["Inside", "Moment", "State", "inside", "moment"]

_CURRENT_ROUNDS: Final = 4
"""Rounds in which current and charge-transfer resistance settle on each other."""
_CURRENT_ROUNDS_FROM_NEAR: Final = 2
"""The same where the resistance a moment ago is known."""
_LEAST_OHM: Final = 1e-12
_SOC_POINTS: Final = SOC_GRID.size - 1
_DEGC_POINTS: Final = TEMPERATURE_GRID_DEGC.size - 1
_COLDEST_DEGC: Final = float(TEMPERATURE_GRID_DEGC[0])
_POINTS_PER_K: Final = 1.0 / float(TEMPERATURE_GRID_DEGC[1] - TEMPERATURE_GRID_DEGC[0])


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """Where each pack is. Every array has shape (n,)."""

    soc: FloatArray
    fast_v: FloatArray
    """Drop over the faster RC element of a cell. [V]"""
    slow_v: FloatArray
    """Drop over the slower RC element of a cell. [V]"""
    lag: FloatArray
    """Charge by which the surface of the particles runs ahead of their mean. [-]"""
    cell_degc: FloatArray
    surface_degc: FloatArray

    def rows(self, keep: NDArray[np.intp]) -> State:
        """Take some of the packs."""
        return State(**{each.name: getattr(self, each.name)[keep] for each in fields(self)})


@dataclass(frozen=True, slots=True, kw_only=True)
class Inside:
    """What a cell is inside at one moment, whatever is asked of it. Every array has shape (n,)."""

    reach: FloatArray
    """Share of the charge within reach at the cell's temperature that is left. [-]"""
    surface: FloatArray
    """The same at the surface of the particles. [-]"""
    inner_v: FloatArray
    """Open-circuit voltage at that charge less the drop over both RC elements. [V]"""
    lag_v: FloatArray
    """What the lag of the surface takes from the open-circuit voltage. [V]"""
    ohmic_ohm: FloatArray
    transfer_ohm: FloatArray
    """Charge transfer at small current. [ohm]"""
    scale_v: FloatArray
    """Drop at which charge transfer stops being linear. [V]"""
    rc_factor: FloatArray
    """RC resistances relative to 50 % charge and 25 degC. [-]"""
    slow_time_factor: FloatArray
    """Time constant of the slower one relative to 25 degC. [-]"""
    solid_factor: FloatArray
    """Lag and its time constant relative to 25 degC. [-]"""
    entropic_v_per_k: FloatArray

    def rows(self, keep: NDArray[np.intp]) -> Inside:
        """Take some of the packs."""
        return Inside(**{each.name: getattr(self, each.name)[keep] for each in fields(self)})


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """What stands at the terminals at one moment. Every array has shape (n,)."""

    current_a: FloatArray
    """Of the pack. [A]"""
    voltage_v: FloatArray
    """Of the pack at its terminals. [V]"""
    cell_v: FloatArray
    beyond: NDArray[np.bool_]
    """Where the power asked for has no solution, or the current is more than a short circuit draws;
    the figures are those of the largest power, or of the short circuit."""
    reach: FloatArray
    """Share of the charge within reach that is left; below 0 where the cold keeps the rest. [-]"""
    surface: FloatArray
    """The same at the surface of the particles. [-]"""
    lag_v: FloatArray
    """What the lag of the surface takes from the open-circuit voltage. [V]"""
    instant_ohm: FloatArray
    """Of a cell. [ohm]"""
    rc_factor: FloatArray
    """RC resistances relative to 50 % charge and 25 degC. [-]"""
    slow_time_factor: FloatArray
    """Time constant of the slower one relative to 25 degC. [-]"""
    solid_factor: FloatArray
    """Lag and its time constant relative to 25 degC. [-]"""
    entropic_v_per_k: FloatArray

    def rows(self, keep: NDArray[np.intp]) -> Moment:
        """Take some of the packs."""
        return Moment(**{each.name: getattr(self, each.name)[keep] for each in fields(self)})


def inside(batch: Batch, state: State) -> Inside:
    """Read the tables of every pack at its charge and temperature.

    Parameters
    ----------
    batch : Batch
        The n packs.
    state : State
        Where they are.
    """
    along_degc = (state.cell_degc - _COLDEST_DEGC) * _POINTS_PER_K
    empty, by_ohmic, by_rc, by_transfer, by_solid = _read(
        batch.tables.over_degc, along_degc, last=_DEGC_POINTS, row=batch.table_row
    )
    reach = (state.soc - empty) / (1.0 - empty)
    held = np.maximum(reach, 0.0)
    surface = held - state.lag / (1.0 - empty)
    every = batch.tables.over_soc
    at_surface_v, transfer_rise, rc_rise, entropic = _over_soc(batch, surface, every)
    (at_mean_v,) = _over_soc(batch, held, batch.tables.ocv)
    transfer_ohm = batch.transfer_ohm * (by_transfer + transfer_rise * by_solid)
    surface_v = at_surface_v + _beyond_v(batch, surface)
    return Inside(
        reach=reach,
        surface=surface,
        inner_v=surface_v + batch.ocv_shift_v - state.fast_v - state.slow_v,
        lag_v=at_mean_v + _beyond_v(batch, held) - surface_v,
        ohmic_ohm=batch.ohmic_ohm * by_ohmic,
        transfer_ohm=np.maximum(transfer_ohm, LEAST_TRANSFER_OHM),
        scale_v=thermal_voltage_v(state.cell_degc),
        rc_factor=by_rc + rc_rise * by_solid,
        slow_time_factor=by_rc,
        solid_factor=by_solid,
        entropic_v_per_k=entropic + batch.entropic_shift_v_per_k,
    )


def moment(
    batch: Batch,
    at: Inside,
    *,
    demand_a: FloatArray,
    demand_w: FloatArray,
    near_ohm: FloatArray | None = None,
) -> Moment:
    """Find current and voltage at one moment of constant demand.

    Parameters
    ----------
    batch : Batch
        The n packs.
    at : Inside
        What their cells are inside.
    demand_a : array
        Current asked for. Shape (n,) or (). [A]
    demand_w : array
        Power asked for on top. Shape (n,) or (). [W]
    near_ohm : array, optional
        Instant resistance of a cell a moment ago under the same demand. Shape (n,). [ohm]

    Notes
    -----
    With ``V = E - R (I_d + P / V)`` the terminal voltage solves a quadratic; the upper root is the
    one a pack takes. R depends on the current through the charge transfer, so the two are found in
    rounds, from the small-current resistance downward. A current beyond that of a short circuit is
    held there, so that the voltage never turns round, and is beyond the pack as such power is;
    cells whose surface is long empty drive none.
    """
    e_v = batch.series * np.maximum(at.inner_v, 0.0)
    series_parallel = batch.series / batch.parallel
    if demand_w.ndim == 0 and not demand_w:
        instant = _instant_ohm(batch, at, np.abs(demand_a))
        total = np.maximum(batch.path_ohm + series_parallel * instant, _LEAST_OHM)
        short_a = e_v / total
        current = np.minimum(demand_a, short_a)
        beyond = (demand_a > short_a) & (e_v > 0)
    else:
        instant = at.ohmic_ohm + at.transfer_ohm if near_ohm is None else near_ohm
        for _ in range(_CURRENT_ROUNDS if near_ohm is None else _CURRENT_ROUNDS_FROM_NEAR):
            total = np.maximum(batch.path_ohm + series_parallel * instant, _LEAST_OHM)
            half = (e_v - total * demand_a) / 2
            root = half * half - total * demand_w
            current = (e_v - half - np.sqrt(np.maximum(root, 0.0))) / total
            instant = _instant_ohm(batch, at, np.abs(current))
        beyond = (root < 0) | ((half < 0) & (e_v > 0))
    cell_v = at.inner_v - instant * current / batch.parallel
    return Moment(
        current_a=current,
        voltage_v=batch.series * cell_v - batch.path_ohm * current,
        cell_v=cell_v,
        beyond=beyond,
        reach=at.reach,
        surface=at.surface,
        lag_v=at.lag_v,
        instant_ohm=instant,
        rc_factor=at.rc_factor,
        slow_time_factor=at.slow_time_factor,
        solid_factor=at.solid_factor,
        entropic_v_per_k=at.entropic_v_per_k,
    )


def _instant_ohm(batch: Batch, at: Inside, current_a: FloatArray) -> FloatArray:
    reduced = at.transfer_ohm * current_a / (batch.parallel * at.scale_v)
    return np.asarray(at.ohmic_ohm + at.transfer_ohm * asinh_share(reduced))


def _over_soc(batch: Batch, soc: FloatArray, table: FloatArray) -> FloatArray:
    return _read(table, soc * _SOC_POINTS, last=_SOC_POINTS, row=batch.table_row)


def _beyond_v(batch: Batch, soc: FloatArray) -> FloatArray:
    """What the open-circuit voltage goes on by beyond the ends of its table. [V]"""
    below = batch.empty_slope_v * np.minimum(soc, 0.0)
    return np.asarray(below + batch.full_slope_v * np.maximum(soc - 1.0, 0.0))


def _read(table: FloatArray, along: FloatArray, *, last: int, row: NDArray[np.intp]) -> FloatArray:
    """All tables at a place along their even grid; ends are held. Shape (tables, n)."""
    held = np.minimum(np.maximum(along, 0.0), float(last))
    index = held.astype(np.intp)
    found = table.take(index + row * (last + 1), axis=1)
    count = len(table) // 2
    return np.asarray(found[:count] + found[count:] * (held - index))
