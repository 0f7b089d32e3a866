"""CC-CV charging of a pack, simulated with PyBaMM on the pack model of the discharge engines."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any, Final

import numpy as np

from packdesign.engineering.charging.balancing import balance_hours
from packdesign.engineering.charging.charge_branch import on_charge
from packdesign.engineering.charging.charge_model import LONGEST_STEP_S, charge_simulation
from packdesign.engineering.charging.charge_run import (
    BandedCharge,
    ChargeEnd,
    ChargeRun,
    ChargeSettings,
    makers_clock,
)
from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.pybamm_elements import import_pybamm
from packdesign.engineering.discharge.pybamm_parameters import pack_inputs
from packdesign.engineering.discharge.run import Conditions, PackModel
from packdesign.foundation.basis import TWO_SIDED_90, Band
from packdesign.foundation.constants import SECONDS_PER_HOUR
from packdesign.foundation.errors import SolverError

__all__ = ["banded_charge", "simulate_charge"]

_LATE_GROWTH: Final = 1.6
# DC resistance at 180 s is 1.5 to 1.7 times that at 10 s (Samsung 50G, Paudel et al., Batteries 11
# (2025) 313); one more such step is allowed for over the hours of a charge: assumed
_ALREADY_FULL: Final = ("infeasible", "non-positive at initial conditions")


def simulate_charge(pack: PackModel, settings: ChargeSettings, conditions: Conditions) -> ChargeRun:
    """Charge a pack and follow current, voltage, charge and temperature.

    Parameters
    ----------
    pack : PackModel
        The pack as the discharge engines see it.
    settings : ChargeSettings
        What the charger is set to.
    conditions : Conditions
        Air, start temperature and start charge; its discharge limits are not used.

    Returns
    -------
    ChargeRun
        The charge until the end current, the temperature limit or the time limit.

    Raises
    ------
    SolverError
        If PyBaMM finds no solution.

    Notes
    -----
    PyBaMM's Thevenin model under a ``pybamm.Experiment``: pre-charge if the rested voltage is
    below its threshold, constant current until the charger's voltage is reached at the terminals,
    constant voltage there until the end current. All cells alike. On charge a cell stands above
    its rested curve by :func:`~packdesign.engineering.charging.charge_branch.charge_gap_v`.
    """
    if conditions.start_degc >= settings.limit_degc:
        return _nothing(pack, settings, conditions, ends_by=ChargeEnd.TOO_WARM_TO_START)
    rested_v = pack.cell.ocv_at(conditions.start_soc)
    if rested_v >= settings.end_v_per_cell:
        return _nothing(pack, settings, conditions, ends_by=ChargeEnd.FULL)
    low = rested_v < settings.pre_charge_below_v
    try:
        lifted = on_charge(pack)
        solution = charge_simulation(lifted, with_pre_charge=low).solve(
            inputs=_inputs(lifted, settings, conditions)
        )
    except import_pybamm().SolverError as error:
        if any(text in str(error) for text in _ALREADY_FULL):
            return _nothing(pack, settings, conditions, ends_by=ChargeEnd.FULL)
        msg = (
            f"PyBaMM found no charge for {pack.series}S{pack.parallel}P {pack.cell.name} at "
            f"{settings.charge_a:g} A: {error}"
        )
        raise SolverError(msg) from error
    return _run(solution, settings, with_pre_charge=low)


def _inputs(pack: PackModel, settings: ChargeSettings, conditions: Conditions) -> dict[str, float]:
    limits = replace(conditions, max_cell_degc=settings.limit_degc)
    kept = {
        name: value
        for name, value in pack_inputs(pack, limits).items()
        if name not in {"Ambient temperature [K]", "Initial temperature [K]"}
    }
    return {
        **kept,
        "ambient_degc": conditions.ambient_degc,
        "start_degc": conditions.start_degc,
        "pre_a": settings.pre_charge_a / pack.parallel,
        "charge_a": settings.charge_a / pack.parallel,
        "end_a": settings.end_a / pack.parallel,
        "pre_until_v": settings.pre_charge_below_v * pack.series,
        "charger_v": settings.end_v_per_cell * pack.series,
    }


def _run(solution: Any, settings: ChargeSettings, *, with_pre_charge: bool) -> ChargeRun:
    time_s = np.asarray(solution.t, dtype=float)
    traces = {
        name: np.asarray(solution[name].entries, dtype=float)
        for name in (
            "Pack current [A]",
            "Pack voltage [V]",
            "SoC",
            "Cell temperature [degC]",
            "Jig temperature [degC]",
        )
    }
    cc_starts_s, cv_starts_s = _phase_starts(solution, with_pre_charge=with_pre_charge)
    ends_by = ChargeEnd.FULL
    if "temperature" in str(solution.termination):
        ends_by = ChargeEnd.TEMPERATURE
    end_s = float(time_s[-1])
    if end_s > settings.time_limit_s or end_s >= LONGEST_STEP_S:
        ends_by, end_s = ChargeEnd.TIME, min(end_s, settings.time_limit_s)
        traces = {name: _until(time_s, trace, end_s=end_s) for name, trace in traces.items()}
        time_s = _until(time_s, time_s, end_s=end_s)
    cc_starts_s, cv_starts_s = min(cc_starts_s, end_s), min(cv_starts_s, end_s)
    current_a, voltage_v = traces["Pack current [A]"], traces["Pack voltage [V]"]
    return ChargeRun(
        time_s=time_s,
        current_a=current_a,
        voltage_v=voltage_v,
        soc=traces["SoC"],
        cell_degc=traces["Cell temperature [degC]"],
        surface_degc=traces["Jig temperature [degC]"],
        ends_by=ends_by,
        pre_charge_time_s=cc_starts_s,
        cc_time_s=cv_starts_s - cc_starts_s,
        cv_time_s=end_s - cv_starts_s,
        balance_time_s=_balance_time_s(settings),
        charged_ah=-float(np.trapezoid(current_a, time_s)) / SECONDS_PER_HOUR,
        charged_wh=-float(np.trapezoid(current_a * voltage_v, time_s)) / SECONDS_PER_HOUR,
        supply_w=float(np.max(-current_a * voltage_v)) / settings.efficiency_fraction,
    )


def _phase_starts(solution: Any, *, with_pre_charge: bool) -> tuple[float, float]:
    """Times at which constant current and constant voltage begin; never begun: the end."""
    starts: list[float] = []
    at_s = 0.0
    for step in solution.cycles[0].steps:
        starts.append(at_s)
        if type(step).__name__ != "EmptySolution":
            at_s = float(step.t[-1])
    if not with_pre_charge:
        starts.insert(0, 0.0)
    starts += [at_s] * (3 - len(starts))
    return starts[1], starts[2]


def _until(time_s: FloatArray, trace: FloatArray, *, end_s: float) -> FloatArray:
    kept = time_s < end_s
    return np.append(trace[kept], np.interp(end_s, time_s, trace))


def _balance_time_s(settings: ChargeSettings) -> float | None:
    if settings.gap_ah == 0:
        return 0.0
    if settings.bleed is None:
        return None
    return balance_hours(gap_ah=settings.gap_ah, bleed=settings.bleed) * SECONDS_PER_HOUR


def _nothing(
    pack: PackModel, settings: ChargeSettings, conditions: Conditions, *, ends_by: ChargeEnd
) -> ChargeRun:
    """Give the charge that is over before it begins."""

    def one(value: float) -> FloatArray:
        return np.array([value])

    return ChargeRun(
        time_s=one(0.0),
        current_a=one(0.0),
        voltage_v=one(pack.cell.ocv_at(conditions.start_soc) * pack.series),
        soc=one(conditions.start_soc),
        cell_degc=one(conditions.start_degc),
        surface_degc=one(conditions.start_degc),
        ends_by=ends_by,
        pre_charge_time_s=0.0,
        cc_time_s=0.0,
        cv_time_s=0.0,
        balance_time_s=_balance_time_s(settings),
        charged_ah=0.0,
        charged_wh=0.0,
        supply_w=0.0,
    )


def banded_charge(
    pack: PackModel, settings: ChargeSettings, conditions: Conditions
) -> BandedCharge:
    """Charge a pack with the range in which its times lie.

    Parameters
    ----------
    pack : PackModel
        The pack; its cell model carries the spread of its parts.
    settings : ChargeSettings
        What the charger is set to.
    conditions : Conditions
        Air, start temperature and start charge.

    Returns
    -------
    BandedCharge
        The middle run, and bands of 5 to 95 % of its times and of the peak temperature.

    Notes
    -----
    One further run for each independent part at its 95 % end: capacity, resistance, slow
    resistance, heat loss. What they move adds up as squares, even to both sides. Two things the
    model leaves out go to one side only. Resistance that goes on growing beyond three minutes
    shortens the constant current and warms the cell: one more step of the published growth is
    allowed for. Slow diffusion lengthens the tail: the high end of the total is never below the
    makers' clock (:func:`~packdesign.engineering.charging.charge_run.makers_clock`).

    Held against measured cells (``tests/reference/test_charge_times.py``) the middle of the total
    is within 4 % on an NMC and an LMO cell and 16 % short on LFP down to C/20; the constant current
    is 10 % too long on the NMC cell. All of these lie inside the bands.
    """
    mid = simulate_charge(pack, settings, conditions)
    others = [simulate_charge(each, settings, conditions) for each in _shifted_packs(pack)]
    growing = replace(
        pack, cell=pack.cell.aged(capacity_fraction=1.0, resistance_factor=_LATE_GROWTH)
    )
    late = simulate_charge(growing, settings, conditions)

    def reach(figure: Callable[[ChargeRun], float], *also: float) -> float:
        middle = figure(mid)
        return math.hypot(*(figure(other) - middle for other in others), *also)

    total_s, cc_s, peak_degc = mid.total_time_s, mid.cc_time_s, mid.peak_cell_degc
    total_reach_s = reach(lambda run: run.total_time_s)
    clock_s = makers_clock(
        capacity_ah=pack.capacity_ah, charge_a=settings.charge_a, start_soc=conditions.start_soc
    )
    longest_s = max(total_s + total_reach_s, clock_s) if total_s > 0 else 0.0
    cc_reach_s = reach(lambda run: run.cc_time_s)
    cc_early_s = reach(lambda run: run.cc_time_s, max(0.0, cc_s - late.cc_time_s))
    peak_reach_k = reach(lambda run: run.peak_cell_degc)
    peak_late_k = reach(lambda run: run.peak_cell_degc, max(0.0, late.peak_cell_degc - peak_degc))
    return BandedCharge(
        run=mid,
        time_s=Band(
            max(0.0, total_s - total_reach_s),
            total_s,
            max(total_s, min(longest_s, settings.time_limit_s)),
        ),
        cc_time_s=Band(max(0.0, cc_s - cc_early_s), cc_s, cc_s + cc_reach_s),
        peak_cell_degc=Band(peak_degc - peak_reach_k, peak_degc, peak_degc + peak_late_k),
    )


def _shifted_packs(pack: PackModel) -> tuple[PackModel, ...]:
    cell, spread = pack.cell, pack.cell.spread
    more = 1.0 + TWO_SIDED_90 * spread.resistance_fraction
    slower = 1.0 + TWO_SIDED_90 * spread.slow_resistance_fraction
    larger = cell.capacity_ah * (1.0 + TWO_SIDED_90 * spread.capacity_fraction)
    shifted_cells: tuple[CellModel, ...] = (
        replace(cell, capacity_ah=larger),
        cell.aged(capacity_fraction=1.0, resistance_factor=more),
        cell.slower(slower),
    )
    cooled_less = replace(
        pack.thermal,
        surface_to_air_w_per_k=pack.thermal.surface_to_air_w_per_k
        * max(0.1, 1.0 - pack.thermal.spread_fraction),
    )
    return (
        *(replace(pack, cell=each) for each in shifted_cells),
        replace(pack, thermal=cooled_less),
    )
