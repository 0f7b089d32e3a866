"""One step of many packs at once.

A step has a constant demand and any length. The RC elements and the two heat nodes are carried over
it by exact exponentials; what drifts with charge (open-circuit voltage, resistance) is taken at the
middle of the step, which makes the step second order in its length.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy import constants

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.batch import Batch
from packdesign.engineering.discharge.cell_model import (
    SOC_GRID,
    TEMPERATURE_GRID_DEGC,
    asinh_share,
    thermal_voltage_v,
)
from packdesign.engineering.thermal.two_node import (
    TwoNodeDecay,
    two_node_decay,
    two_node_settled,
)

__all__ = ["Decays", "Inside", "Moment", "State", "Step", "advance", "decays", "inside", "moment"]

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
    cell_degc: FloatArray
    surface_degc: FloatArray

    def rows(self, keep: NDArray[np.intp]) -> State:
        """Take some of the packs."""
        return State(**{each.name: getattr(self, each.name)[keep] for each in fields(self)})


@dataclass(frozen=True, slots=True, kw_only=True)
class Inside:
    """What a cell is inside at one moment, whatever is asked of it. Every array has shape (n,)."""

    inner_v: FloatArray
    """Open-circuit voltage less the drop over both RC elements. [V]"""
    ohmic_ohm: FloatArray
    transfer_ohm: FloatArray
    """Charge transfer at small current. [ohm]"""
    scale_v: FloatArray
    """Drop at which charge transfer stops being linear. [V]"""
    slow_factor: FloatArray
    """RC resistance relative to 50 % charge and 25 degC. [-]"""
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
    """Where the power asked for has no solution; the figures are those of the largest power."""
    instant_ohm: FloatArray
    """Of a cell. [ohm]"""
    slow_factor: FloatArray
    """RC resistance relative to 50 % charge and 25 degC. [-]"""
    entropic_v_per_k: FloatArray

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Decays:
    """What is left of departures after a step of one length; kept for steps of the same length."""

    fast_gone_half: FloatArray
    slow_gone_half: FloatArray
    fast_gone: FloatArray
    slow_gone: FloatArray
    fast_mean: FloatArray
    slow_mean: FloatArray
    heat: TwoNodeDecay


def decays(batch: Batch, step_s: FloatArray) -> Decays:
    """Work out the exponentials of a step.

    Parameters
    ----------
    batch : Batch
        The n packs.
    step_s : array
        Length of the step. Shape (n,) or (). [s]
    """
    fast, slow = step_s / batch.fast_s, step_s / batch.slow_s
    fast_gone, slow_gone = -np.expm1(-fast), -np.expm1(-slow)
    return Decays(
        fast_gone_half=-np.expm1(-fast / 2),
        slow_gone_half=-np.expm1(-slow / 2),
        fast_gone=fast_gone,
        slow_gone=slow_gone,
        fast_mean=fast_gone / np.maximum(fast, 1e-12),
        slow_mean=slow_gone / np.maximum(slow, 1e-12),
        heat=two_node_decay(
            cell_j_per_k=batch.cell_j_per_k,
            surface_j_per_k=batch.surface_j_per_k,
            cell_to_surface_w_per_k=batch.cell_to_surface_w_per_k,
            surface_to_air_w_per_k=batch.surface_to_air_w_per_k,
            step_s=step_s,
        ),
    )


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
    empty, by_ohmic, by_transfer = _read(
        batch.tables.over_degc, along_degc, last=_DEGC_POINTS, row=batch.table_row
    )
    along_soc = (state.soc - empty) / (1.0 - empty) * _SOC_POINTS
    ocv_v, shape, entropic = _read(
        batch.tables.over_soc, along_soc, last=_SOC_POINTS, row=batch.table_row
    )
    slow_factor = shape * by_ohmic
    return Inside(
        inner_v=ocv_v + batch.ocv_shift_v - state.fast_v - state.slow_v,
        ohmic_ohm=batch.ohmic_ohm * slow_factor,
        transfer_ohm=batch.transfer_ohm * shape * by_transfer,
        scale_v=thermal_voltage_v(state.cell_degc),
        slow_factor=slow_factor,
        entropic_v_per_k=entropic,
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
    held there, so that the voltage never turns round.
    """
    e_v, series_parallel = batch.series * at.inner_v, batch.series / batch.parallel
    if demand_w.ndim == 0 and not demand_w:
        instant = _instant_ohm(batch, at, np.abs(demand_a))
        total = np.maximum(batch.path_ohm + series_parallel * instant, _LEAST_OHM)
        current = np.minimum(demand_a, np.maximum(e_v, 0.0) / total)
        beyond = np.zeros(batch.size, dtype=bool)
    else:
        instant = at.ohmic_ohm + at.transfer_ohm if near_ohm is None else near_ohm
        for _ in range(_CURRENT_ROUNDS if near_ohm is None else _CURRENT_ROUNDS_FROM_NEAR):
            total = np.maximum(batch.path_ohm + series_parallel * instant, _LEAST_OHM)
            half = (e_v - total * demand_a) / 2
            root = half * half - total * demand_w
            current = (e_v - half - np.sqrt(np.maximum(root, 0.0))) / total
            instant = _instant_ohm(batch, at, np.abs(current))
        beyond = root < 0
    cell_v = at.inner_v - instant * current / batch.parallel
    return Moment(
        current_a=current,
        voltage_v=batch.series * cell_v - batch.path_ohm * current,
        cell_v=cell_v,
        beyond=beyond,
        instant_ohm=instant,
        slow_factor=at.slow_factor,
        entropic_v_per_k=at.entropic_v_per_k,
    )


def advance(
    batch: Batch,
    state: State,
    *,
    begin: Moment,
    demand_a: FloatArray,
    demand_w: FloatArray,
    step_s: FloatArray,
    over: Decays | None = None,
) -> Step:
    """Carry every pack over one step of constant demand.

    Parameters
    ----------
    batch : Batch
        The n packs.
    state : State
        Where they are.
    begin : Moment
        Their terminals at that moment.
    demand_a, demand_w : array
        Current and power asked for. Shape (n,) or (). [A], [W]
    step_s : array
        Length of the step. Shape (n,) or (). [s]
    over : Decays, optional
        The exponentials of this step where they are known already.

    Returns
    -------
    Step
        The state at the end and the moment of the middle.
    """
    over = over or decays(batch, step_s)
    begin_a = begin.current_a / batch.parallel
    settled_v = begin.slow_factor * begin_a
    half = replace(
        state,
        soc=state.soc - begin_a * (step_s / 2) / batch.capacity_as,
        fast_v=state.fast_v + (batch.fast_ohm * settled_v - state.fast_v) * over.fast_gone_half,
        slow_v=state.slow_v + (batch.slow_ohm * settled_v - state.slow_v) * over.slow_gone_half,
    )
    middle = moment(
        batch,
        inside(batch, half),
        demand_a=demand_a,
        demand_w=demand_w,
        near_ohm=begin.instant_ohm,
    )
    return Step(state=_carried(batch, state, middle, step_s, over=over), middle=middle)


def _carried(batch: Batch, state: State, at: Moment, step_s: FloatArray, *, over: Decays) -> State:
    """Carry the state over ``step_s`` with the current and resistances of ``at``."""
    cell_a = at.current_a / batch.parallel
    settled_v = at.slow_factor * cell_a
    fast_end_v, slow_end_v = batch.fast_ohm * settled_v, batch.slow_ohm * settled_v
    fast_off_v, slow_off_v = state.fast_v - fast_end_v, state.slow_v - slow_end_v
    mean_drop_v = (
        fast_end_v + slow_end_v + fast_off_v * over.fast_mean + slow_off_v * over.slow_mean
    )
    kelvin = state.cell_degc + constants.zero_Celsius
    heat_w = cell_a * (at.instant_ohm * cell_a + mean_drop_v - kelvin * at.entropic_v_per_k)
    cell_end, surface_end = two_node_settled(
        heat_w=heat_w,
        ambient_degc=batch.ambient_degc,
        cell_to_surface_w_per_k=batch.cell_to_surface_w_per_k,
        surface_to_air_w_per_k=batch.surface_to_air_w_per_k,
    )
    heat = over.heat
    cell_off, surface_off = state.cell_degc - cell_end, state.surface_degc - surface_end
    return State(
        soc=state.soc - cell_a * step_s / batch.capacity_as,
        fast_v=state.fast_v - fast_off_v * over.fast_gone,
        slow_v=state.slow_v - slow_off_v * over.slow_gone,
        cell_degc=cell_end + heat.cell_from_cell * cell_off + heat.cell_from_surface * surface_off,
        surface_degc=surface_end
        + heat.surface_from_cell * cell_off
        + heat.surface_from_surface * surface_off,
    )


def _instant_ohm(batch: Batch, at: Inside, current_a: FloatArray) -> FloatArray:
    reduced = at.transfer_ohm * current_a / (batch.parallel * at.scale_v)
    return np.asarray(at.ohmic_ohm + at.transfer_ohm * asinh_share(reduced))


def _read(table: FloatArray, along: FloatArray, *, last: int, row: NDArray[np.intp]) -> FloatArray:
    """Three tables at a place along their even grid; ends are held. Shape (3, n)."""
    held = np.minimum(np.maximum(along, 0.0), float(last))
    index = held.astype(np.intp)
    found = table.take(index + row * (last + 1), axis=1)
    return np.asarray(found[:3] + found[3:] * (held - index))
