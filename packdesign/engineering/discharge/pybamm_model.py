"""The pack as a PyBaMM model: Thevenin with two RC elements, lumped heat, a mixed demand.

The circuit is that of :mod:`.pybamm_elements`, its parameters those of :mod:`.pybamm_parameters`.
The current solves "current asked for plus power asked for" at the pack's terminals.
"""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from packdesign.engineering.demand.profile import Demand, FloatArray
from packdesign.engineering.discharge.pybamm_elements import cell_thevenin, import_pybamm
from packdesign.engineering.discharge.run import PackModel
from packdesign.engineering.thermal.path import loss_share

__all__ = ["JUMP_S", "asked_over_time", "let_loss_grow", "pack_thevenin"]

JUMP_S: Final = 1e-3
"""Time in which the demand moves from one piece to the next. [s]"""


def pack_thevenin(pack: PackModel, demand: Demand) -> Any:
    """Make the PyBaMM model of a pack under a demand, with every limit as an event.

    Parameters
    ----------
    pack : PackModel
        Only its counts in series and parallel and its charge out of reach are used here.
    demand : Demand
        What is asked of it.

    Returns
    -------
    pybamm.equivalent_circuit.Thevenin
        Unprocessed; parameters come from :func:`cell_parameter_values`.
    """
    pybamm = import_pybamm()
    terminals = _Terminals(pybamm, pack, demand)
    base: Any = cell_thevenin()

    class Pack(base):  # type: ignore[misc]
        def set_external_circuit_submodel(self) -> None:
            self.submodels["external circuit"] = pybamm.external_circuit.FunctionControl(
                self.param, terminals.residual, self.options, control="algebraic"
            )

    model = Pack(options={"number of rc elements": 2})
    variables = model.variables
    let_loss_grow(model)
    variables["Pack voltage [V]"] = terminals.voltage_v(variables)
    variables["Pack current [A]"] = terminals.current_a(variables)
    limits = {
        "rail": variables["Pack voltage [V]"] - demand.minimum_v,
        "temperature": (pybamm.InputParameter("limit_degc") - variables["Cell temperature [degC]"]),
    }
    if np.any(pack.cell.empty_soc > 0):
        limits["within reach"] = variables["SoC"] - variables["Charge out of reach [-]"]
    if terminals.has_power:
        limits["power"] = terminals.largest_w(variables) - terminals.asked_w
    kept = ("Minimum SoC", "Minimum voltage [V]")
    model.events = [event for event in model.events if event.name in kept]
    model.events += [pybamm.Event(name, room) for name, room in limits.items()]
    return model


def let_loss_grow(model: Any) -> None:
    """Add what the surface loses to its own draught to the linear loss that PyBaMM has.

    Parameters
    ----------
    model : pybamm.equivalent_circuit.Thevenin
        Unprocessed; changed in place. Its input "buoyant_fraction" is that of the path.
    """
    pybamm = import_pybamm()
    variables = model.variables
    surface = variables["Jig temperature [degC]"]
    share = loss_share(
        pybamm.InputParameter("buoyant_fraction"), surface - variables["Ambient temperature [degC]"]
    )
    more_w = variables["Heat transfer from jig to ambient [W]"] * (share - 1)
    model.rhs[surface] += more_w / model.param.cth_jig


class _Terminals:
    """What stands and what is asked at the terminals of the pack, in PyBaMM's variables."""

    def __init__(self, pybamm: Any, pack: PackModel, demand: Demand) -> None:
        self._minimum = pybamm.minimum
        self.asked_a, self.asked_w = asked_over_time(pybamm, demand)
        self.has_power = bool(np.any(demand.power_w > 0))
        self._series, self._parallel = float(pack.series), float(pack.parallel)
        self._path_ohm = pybamm.InputParameter("path_ohm")

    def current_a(self, variables: Any) -> Any:
        return variables["Current [A]"] * self._parallel

    def voltage_v(self, variables: Any) -> Any:
        inner_v = self._series * variables["Voltage [V]"]
        return inner_v - self._path_ohm * self.current_a(variables)

    def largest_w(self, variables: Any) -> Any:
        """Most power that can be had on top of the current asked for."""
        total_ohm = self._series / self._parallel * variables["R0 [Ohm]"] + self._path_ohm
        inner_v = self._series * (
            variables["Open-circuit voltage [V]"]
            + variables["Diffusion overpotential [V]"]
            + variables["Element-1 overpotential [V]"]
            + variables["Element-2 overpotential [V]"]
        )
        return (inner_v - total_ohm * self.asked_a) ** 2 / (4 * total_ohm)

    def residual(self, variables: Any) -> Any:
        """Zero where the current is the one asked for plus the power over the voltage."""
        power: Any = 0
        if self.has_power:
            power = self._minimum(self.asked_w, 0.9999 * self.largest_w(variables))
        above_a = self.current_a(variables) - self.asked_a
        return above_a * self.voltage_v(variables) - power


def asked_over_time(pybamm: Any, demand: Demand) -> tuple[Any, Any]:
    """Give current and power asked for, as functions of PyBaMM's time. [A], [W]

    Parameters
    ----------
    pybamm : module
        As :func:`import_pybamm` gives it.
    demand : Demand
        What is asked.
    """
    edge_s = np.concatenate([[0.0], np.cumsum(demand.duration_s)])
    time = pybamm.t
    if demand.repeats:
        time = pybamm.t % edge_s[-1]

    def jumping(values: FloatArray) -> Any:
        if np.all(values == values[0]):
            return pybamm.Scalar(float(values[0]))
        before = np.roll(values, 1) if demand.repeats else np.concatenate([values[:1], values[:-1]])
        jump_s = np.minimum(JUMP_S, demand.duration_s / 10)
        knots_s = np.stack([edge_s[:-1], edge_s[:-1] + jump_s], axis=1).ravel()
        levels = np.stack([before, values], axis=1).ravel()
        knots_s = np.append(knots_s, edge_s[-1])
        levels = np.append(levels, values[-1])
        return pybamm.Interpolant(knots_s, levels, time, interpolator="linear")

    return jumping(demand.current_a), jumping(demand.power_w)
