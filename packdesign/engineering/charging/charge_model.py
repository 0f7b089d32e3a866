"""The PyBaMM side of charging: one pack, pre-charge, constant current, constant voltage.

The cell's parameters and inputs are those of the discharge engine. The three phases are steps of a
``pybamm.Experiment`` that are held at the terminals of the pack, where a charger measures. Currents
and limits are inputs, so one built simulation serves every charge of a cell.
"""

from __future__ import annotations

import dataclasses
import hashlib
from collections import OrderedDict
from typing import Any, Final

import numpy as np

from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.pybamm_elements import cell_thevenin, import_pybamm
from packdesign.engineering.discharge.pybamm_model import let_loss_grow
from packdesign.engineering.discharge.pybamm_parameters import cell_parameter_values
from packdesign.engineering.discharge.run import PackModel
from packdesign.foundation.constants import ZERO_CELSIUS_K

__all__ = ["LONGEST_STEP_S", "PHASE_NAMES", "charge_simulation"]

PHASE_NAMES: Final = ("pre-charge", "constant current", "constant voltage")
LONGEST_STEP_S: Final = 200.0 * 3600.0
"""No phase is followed for longer; a charger's timer ends it long before. [s]"""
_PERIOD_S: Final = 20.0
_TOLERANCE: Final = 1e-6
_BUILT: Final[OrderedDict[str, Any]] = OrderedDict()
_MOST_BUILT: Final = 4


def charge_simulation(pack: PackModel, *, with_pre_charge: bool) -> Any:
    """Give the built simulation of a charge, building it at most once per cell and pack.

    Parameters
    ----------
    pack : PackModel
        The pack; only the cell's tables and the counts are built in.
    with_pre_charge : bool
        Whether the charge begins below the low-voltage threshold.

    Returns
    -------
    pybamm.Simulation
        Inputs: those of ``pack_inputs`` less its two temperatures in kelvin, ``ambient_degc`` and
        ``start_degc`` [degC], ``pre_a``, ``charge_a``, ``end_a`` per cell [A], ``pre_until_v`` and
        ``charger_v`` at the terminals of the pack [V].
    """
    key = _fingerprint(pack, with_pre_charge=with_pre_charge)
    if key not in _BUILT:
        _BUILT[key] = _build(pack, with_pre_charge=with_pre_charge)
        while len(_BUILT) > _MOST_BUILT:
            _BUILT.popitem(last=False)
    _BUILT.move_to_end(key)
    return _BUILT[key]


def _fingerprint(pack: PackModel, *, with_pre_charge: bool) -> str:
    """Name what is built in: every table of the cell, its time constants, the counts."""
    cell: CellModel = pack.cell
    times_s = (*cell.rc_time_s, cell.lag_time_s)
    numbers = [*times_s, cell.full_v, pack.series, pack.parallel, float(with_pre_charge)]
    tables = [getattr(cell, each.name) for each in dataclasses.fields(cell)]
    digest = hashlib.sha256()
    for table in [*tables, np.array(numbers)]:
        if isinstance(table, np.ndarray):
            digest.update(np.ascontiguousarray(table, dtype=float).tobytes())
            digest.update(b"|")
    return digest.hexdigest()


def _build(pack: PackModel, *, with_pre_charge: bool) -> Any:
    pybamm = import_pybamm()
    pybamm.set_logging_level("ERROR")
    steps = _steps(pybamm, parallel=float(pack.parallel))
    if not with_pre_charge:
        steps = steps[1:]
    values = cell_parameter_values(pack.cell)
    unused_k = ZERO_CELSIUS_K + 25.0
    values.update({"Ambient temperature [K]": unused_k, "Initial temperature [K]": unused_k})
    return pybamm.Simulation(
        _pack_on_charger(pybamm, pack),
        parameter_values=values,
        experiment=pybamm.Experiment([tuple(steps)], period=f"{_PERIOD_S} seconds"),
        solver=pybamm.IDAKLUSolver(rtol=_TOLERANCE, atol=_TOLERANCE, on_extrapolation="ignore"),
    )


def _pack_on_charger(pybamm: Any, pack: PackModel) -> Any:
    """Make the Thevenin model with the pack's terminals and the temperature limit as an event."""
    path_ohm = pybamm.InputParameter("path_ohm")
    series, parallel = float(pack.series), float(pack.parallel)
    base: Any = cell_thevenin()

    class PackOnCharger(base):  # type: ignore[misc]
        def set_thermal_submodel(self) -> None:
            # an experiment takes these two names for itself and allows no inputs behind them
            self.param.T_amb = lambda time: pybamm.InputParameter("ambient_degc")
            self.param.initial_T_cell = pybamm.InputParameter("start_degc")
            self.param.initial_T_jig = pybamm.InputParameter("start_degc")
            super().set_thermal_submodel()

    model = PackOnCharger(options={"number of rc elements": 2})
    let_loss_grow(model)
    variables = model.variables
    pack_current = variables["Current [A]"] * parallel
    variables["Pack current [A]"] = pack_current
    variables["Pack voltage [V]"] = series * variables["Voltage [V]"] - path_ohm * pack_current
    room = pybamm.InputParameter("limit_degc") - variables["Cell temperature [degC]"]
    model.events = [pybamm.Event("temperature", room)]
    return model


def _steps(pybamm: Any, *, parallel: float) -> list[Any]:
    scalar = pybamm.InputParameter

    def ends(name: str, room: Any) -> Any:
        return pybamm.step.CustomTermination(name=name, event_function=room)

    def current(name: str, until: Any) -> Any:
        return pybamm.step.CustomStepExplicit(
            lambda variables: -scalar(name), termination=until, duration=LONGEST_STEP_S
        )

    def held_at_charger(variables: Any) -> Any:
        return variables["Pack voltage [V]"] - scalar("charger_v")

    return [
        current(
            "pre_a",
            ends("high enough", lambda each: scalar("pre_until_v") - each["Pack voltage [V]"]),
        ),
        current(
            "charge_a",
            ends("full voltage", lambda each: scalar("charger_v") - each["Pack voltage [V]"]),
        ),
        pybamm.step.CustomStepImplicit(
            held_at_charger,
            termination=ends("full", lambda each: -each["Current [A]"] - scalar("end_a")),
            duration=LONGEST_STEP_S,
        ),
    ]
