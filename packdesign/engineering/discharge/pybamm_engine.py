"""The reference engine: one pack through PyBaMM's Thevenin model, solved by IDAKLU.

The model is built once for each pair of cell tables and demand and then solved for any scalars
(resistances, capacity, temperatures, cooling, limits): see :mod:`.pybamm_parameters`.
"""

from __future__ import annotations

import hashlib
from collections import OrderedDict
from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Final

import numpy as np

from packdesign.engineering.demand.profile import Demand, FloatArray
from packdesign.engineering.discharge.pybamm_elements import import_pybamm
from packdesign.engineering.discharge.pybamm_model import JUMP_S, pack_thevenin
from packdesign.engineering.discharge.pybamm_parameters import cell_parameter_values, pack_inputs
from packdesign.engineering.discharge.run import (
    Conditions,
    EndReason,
    PackModel,
    Trace,
    as_followed,
)
from packdesign.foundation.errors import SolverError

__all__ = ["run_pack_pybamm", "solution_columns", "stop_times"]

_BUILT_MODELS: Final[OrderedDict[str, Any]] = OrderedDict()
_MOST_BUILT_MODELS: Final = 8
_TOLERANCE: Final = 1e-7
_CHARGE_MARGIN: Final = 1.02
"""Charge beyond the capacity for which repeats of the demand are laid out."""
_LARGEST_GAP_V: Final = 0.004
"""Most that a cell's voltage may move between two points of the trace. [V]"""
_SHORTEST_GAP_S: Final = 0.05
"""Shorter gaps are those of the demand's own jumps. [s]"""
_VARIABLES: Final = {
    "current_a": "Pack current [A]",
    "voltage_v": "Pack voltage [V]",
    "soc": "SoC",
    "cell_degc": "Cell temperature [degC]",
    "surface_degc": "Jig temperature [degC]",
}
_REASON_OF_EVENT: Final = {
    "Minimum voltage [V]": EndReason.CUTOFF,
    "Minimum SoC": EndReason.EMPTY,
    "within reach": EndReason.EMPTY,
    "rail": EndReason.RAIL,
    "temperature": EndReason.TEMPERATURE,
    "power": EndReason.POWER,
}


def run_pack_pybamm(pack: PackModel, demand: Demand, conditions: Conditions) -> Trace:
    """Run one demand through one pack with PyBaMM.

    Parameters
    ----------
    pack : PackModel
        The pack.
    demand : Demand
        What is asked of it.
    conditions : Conditions
        Where it starts and what ends it.

    Returns
    -------
    Trace
        At the solver's own times, both sides of every jump among them.

    Raises
    ------
    SolverError
        If the solver finds no solution.
    """
    demand, reason = as_followed(demand, voltage_v=pack.series * pack.cell.ocv_at(0.5))
    stop_s = stop_times(pack, demand, conditions)
    try:
        solution = _simulation(pack, demand).solve(
            t_eval=stop_s, inputs=pack_inputs(pack, conditions)
        )
    except import_pybamm().SolverError as error:
        if _starts_beyond_a_limit(error):
            return _empty_trace(pack, demand, conditions)
        msg = (
            f"PyBaMM found no solution for {pack.series}S{pack.parallel}P {pack.cell.name}: {error}"
        )
        raise SolverError(msg) from error
    return _trace(solution, reason)


def _simulation(pack: PackModel, demand: Demand) -> Any:
    """Give the built simulation for these tables, counts and demand, building it at most once."""
    key = _fingerprint(pack, demand)
    if key in _BUILT_MODELS:
        _BUILT_MODELS.move_to_end(key)
        return _BUILT_MODELS[key]
    pybamm = import_pybamm()
    pybamm.set_logging_level("ERROR")
    solver = pybamm.IDAKLUSolver(
        rtol=_TOLERANCE, atol=_TOLERANCE, options={"suppress_algebraic_error": True}
    )
    simulation = pybamm.Simulation(
        pack_thevenin(pack, demand),
        parameter_values=cell_parameter_values(pack.cell),
        solver=solver,
    )
    _BUILT_MODELS[key] = simulation
    while len(_BUILT_MODELS) > _MOST_BUILT_MODELS:
        _BUILT_MODELS.popitem(last=False)
    return simulation


def _fingerprint(pack: PackModel, demand: Demand) -> str:
    cell = pack.cell
    parts = [
        cell.ocv_v,
        cell.entropic_v_per_k,
        cell.transfer_rise,
        cell.rc_rise,
        cell.ohmic_temperature_factor,
        cell.rc_temperature_factor,
        cell.transfer_temperature_factor,
        cell.solid_temperature_factor,
        cell.empty_soc,
        np.array([*cell.rc_time_s, cell.lag_time_s, cell.full_v, pack.series, pack.parallel]),
        demand.duration_s,
        demand.current_a,
        demand.power_w,
        np.array([demand.minimum_v, float(demand.repeats)]),
    ]
    digest = hashlib.sha256()
    for part in parts:
        digest.update(np.ascontiguousarray(part, dtype=float).tobytes())
        digest.update(b"|")
    return digest.hexdigest()


def stop_times(
    pack: PackModel,
    demand: Demand,
    conditions: Conditions,
    *,
    charge_margin: float = _CHARGE_MARGIN,
) -> FloatArray:
    """Give the times at which the solver must stop: both ends of every jump, and the end. [s]

    Parameters
    ----------
    pack : PackModel
        The pack.
    demand : Demand
        What is asked of it; one that repeats is laid out until it has drawn all charge.
    conditions : Conditions
        Where the run starts and is given up.
    charge_margin : float
        Charge for which repeats are laid out, over that of the cell's sheet. [-]
    """
    edge_s = np.concatenate([[0.0], np.cumsum(demand.duration_s)])
    jump_s = edge_s[:-1] + np.minimum(JUMP_S, demand.duration_s / 10)
    once = np.sort(np.concatenate([edge_s[:-1], jump_s]))
    if not demand.repeats:
        return np.append(once, edge_s[-1])
    open_v = pack.series * pack.cell.full_v
    period_as = demand.mean_current_a(voltage_v=open_v) * demand.period_s
    wanted_as = conditions.start_soc * pack.capacity_ah * 3600 * charge_margin
    count = np.ceil(conditions.longest_s / demand.period_s)
    if period_as > 0:
        count = min(count, np.ceil(wanted_as / period_as) + 1)
    if demand.duration_s.size == 1:
        return np.array([0.0, count * demand.period_s])
    starts_s = np.arange(int(count)) * demand.period_s
    return np.append((starts_s[:, None] + once[None, :]).ravel(), count * demand.period_s)


def _trace(solution: Any, reason: EndReason) -> Trace:
    termination = str(solution.termination)
    for name, each in _REASON_OF_EVENT.items():
        if name in termination:
            reason = each
    time_s, columns = solution_columns(solution, _VARIABLES)
    return Trace(time_s=time_s, **columns, ends_by=reason)


def solution_columns(
    solution: Any, variables: Mapping[str, str]
) -> tuple[FloatArray, dict[str, Any]]:
    """Read a solution at the solver's times, and between them where the voltage moves far.

    Parameters
    ----------
    solution : pybamm.Solution
        The solution.
    variables : mapping of str to str
        PyBaMM's name of each column wanted.

    Returns
    -------
    tuple of array and dict
        Times [s], and the columns by their names here.

    Notes
    -----
    The solver steps over the corners of a tabulated open-circuit voltage, because they do not touch
    the charge it integrates; a straight line between two of its points would cut them off.
    """
    time_s = np.asarray(solution.t, dtype=float)
    moved_v = np.abs(np.diff(_read(solution, "Voltage [V]")))
    parts = np.ceil(moved_v / _LARGEST_GAP_V).astype(int)
    parts[np.diff(time_s) < _SHORTEST_GAP_S] = 1
    long_gaps = np.flatnonzero(parts > 1)
    if long_gaps.size == 0:
        return time_s, {name: _read(solution, key) for name, key in variables.items()}
    between_s = np.concatenate(
        [np.linspace(time_s[k], time_s[k + 1], parts[k] + 1)[1:-1] for k in long_gaps]
    )
    order = np.argsort(np.concatenate([time_s, between_s]), kind="stable")
    columns = {
        name: np.concatenate([_read(solution, key), np.atleast_1d(solution[key](between_s))])[order]
        for name, key in variables.items()
    }
    return np.concatenate([time_s, between_s])[order], columns


def _read(solution: Any, key: str) -> FloatArray:
    return np.asarray(solution[key].entries, dtype=float)


def _starts_beyond_a_limit(error: Exception) -> bool:
    return "non-positive at initial conditions" in str(error)


def _empty_trace(pack: PackModel, demand: Demand, conditions: Conditions) -> Trace:
    """Give the trace of a run that is over before it begins, as the fast engine tells it."""
    from packdesign.engineering.discharge.fast_engine import run_pack

    return run_pack(pack, replace(demand, repeats=False), conditions)
