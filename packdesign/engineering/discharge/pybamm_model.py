"""The pack as a PyBaMM model: Thevenin with two RC elements, lumped heat, a mixed demand.

The circuit is that of :mod:`.pybamm_elements`. The current solves "current asked for plus power
asked for" at the pack's terminals. Scalars are inputs: one built model serves every pack that
shares its tables and its demand.
"""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from packdesign.engineering.demand.profile import Demand, FloatArray
from packdesign.engineering.discharge.cell_model import (
    SOC_GRID,
    TEMPERATURE_GRID_DEGC,
    CellModel,
)
from packdesign.engineering.discharge.charge_transfer import LEAST_TRANSFER_OHM, TRANSFER_SCALE
from packdesign.engineering.discharge.open_circuit import end_slopes_v
from packdesign.engineering.discharge.pybamm_elements import cell_thevenin, import_pybamm
from packdesign.engineering.discharge.run import Conditions, PackModel
from packdesign.engineering.thermal.path import loss_share
from packdesign.foundation.constants import ZERO_CELSIUS_K

__all__ = [
    "JUMP_S",
    "asked_over_time",
    "cell_parameter_values",
    "let_loss_grow",
    "pack_inputs",
    "pack_thevenin",
]

JUMP_S: Final = 1e-3
"""Time in which the demand moves from one piece to the next. [s]"""


def cell_parameter_values(cell: CellModel) -> Any:
    """Give PyBaMM parameter values of one cell for a Thevenin model with two RC elements.

    Parameters
    ----------
    cell : CellModel
        The cell; its tables are fixed, its scalars become inputs named in :func:`pack_inputs`.

    Returns
    -------
    pybamm.ParameterValues
        Complete but for the inputs.
    """
    functions = _CellFunctions(import_pybamm(), cell)
    inputs = (
        "Initial SoC",
        "Initial temperature [K]",
        "Cell capacity [A.h]",
        "Ambient temperature [K]",
        "Lower voltage cut-off [V]",
        "Cell thermal mass [J/K]",
        "Cell-jig heat transfer coefficient [W/K]",
        "Jig thermal mass [J/K]",
        "Jig-air heat transfer coefficient [W/K]",
    )
    fixed = {
        "Nominal cell capacity [A.h]": cell.capacity_ah,
        "Current function [A]": cell.capacity_ah,
        "Upper voltage cut-off [V]": 1.5 * cell.full_v,
        "Element-1 initial overpotential [V]": 0,
        "Element-2 initial overpotential [V]": 0,
    }
    tabulated = {
        "Open-circuit voltage [V]": functions.open_v,
        "Entropic change [V/K]": functions.entropic_v_per_k,
        "R0 [Ohm]": functions.instant_ohm,
        "R1 [Ohm]": functions.fast_ohm,
        "C1 [F]": functions.fast_farad,
        "R2 [Ohm]": functions.slow_ohm,
        "C2 [F]": functions.slow_farad,
        "Lag [A-1]": functions.lag_per_a,
        "Lag time [s]": functions.lag_time_s,
    }
    return import_pybamm().ParameterValues(dict.fromkeys(inputs, "[input]") | fixed | tabulated)


class _CellFunctions:
    """The tables of a cell as functions of PyBaMM symbols: temperature, current, charge."""

    def __init__(self, pybamm: Any, cell: CellModel) -> None:
        self._pybamm = pybamm
        self._cell = cell

    def open_v(self, degc: Any, soc: Any) -> Any:
        shift_v = self._pybamm.InputParameter("ocv_shift_v")
        reach = self._reach(degc, soc)
        below_v, above_v = end_slopes_v(SOC_GRID, self._cell.ocv_v)
        beyond_v = below_v * self._pybamm.minimum(0, reach)
        beyond_v += above_v * self._pybamm.maximum(0, reach - 1)
        return self._over_soc(self._cell.ocv_v, degc, soc) + beyond_v + shift_v

    def entropic_v_per_k(self, degc: Any, soc: Any) -> Any:
        return self._over_soc(self._cell.entropic_v_per_k, degc, soc)

    def instant_ohm(self, degc: Any, current: Any, soc: Any) -> Any:
        pybamm, cell = self._pybamm, self._cell
        factor = self._over_degc(cell.transfer_temperature_factor, degc)
        factor += self._rise(cell.transfer_rise, degc, soc)
        transfer = pybamm.maximum(
            pybamm.InputParameter("transfer_ohm") * factor, LEAST_TRANSFER_OHM
        )
        scale_v = TRANSFER_SCALE * pybamm.constants.R * (degc + ZERO_CELSIUS_K) / pybamm.constants.F
        reduced = transfer * pybamm.sqrt(current**2 + 1e-12) / scale_v
        ohmic = pybamm.InputParameter("ohmic_ohm") * self._ohmic(degc)
        return ohmic + transfer * (pybamm.arcsinh(reduced) / reduced)

    def fast_ohm(self, degc: Any, current: Any, soc: Any) -> Any:
        return self._pybamm.InputParameter("fast_ohm") * self._rc_factor(degc, soc)

    def fast_farad(self, degc: Any, current: Any, soc: Any) -> Any:
        return self._cell.rc_time_s[0] / self.fast_ohm(degc, current, soc)

    def slow_ohm(self, degc: Any, current: Any, soc: Any) -> Any:
        return self._pybamm.InputParameter("slow_ohm") * self._rc_factor(degc, soc)

    def slow_farad(self, degc: Any, current: Any, soc: Any) -> Any:
        time_s = self._cell.rc_time_s[1] * self._ohmic(degc)
        return time_s / self.slow_ohm(degc, current, soc)

    def lag_per_a(self, degc: Any) -> Any:
        return self._pybamm.InputParameter("lag_per_a") * self._solid(degc)

    def lag_time_s(self, degc: Any) -> Any:
        return self._cell.lag_time_s * self._solid(degc)

    def _rc_factor(self, degc: Any, soc: Any) -> Any:
        return self._ohmic(degc) + self._rise(self._cell.rc_rise, degc, soc)

    def _ohmic(self, degc: Any) -> Any:
        return self._over_degc(self._cell.ohmic_temperature_factor, degc)

    def _solid(self, degc: Any) -> Any:
        return self._over_degc(self._cell.solid_temperature_factor, degc)

    def _rise(self, table: FloatArray, degc: Any, soc: Any) -> Any:
        return self._over_soc(table, degc, soc) * self._solid(degc)

    def _over_degc(self, values: FloatArray, degc: Any) -> Any:
        grid = TEMPERATURE_GRID_DEGC
        return self._pybamm.Interpolant(grid, values, degc, interpolator="linear")

    def _reach(self, degc: Any, soc: Any) -> Any:
        empty = self._over_degc(self._cell.empty_soc, degc)
        return (soc - empty) / (1 - empty)

    def _over_soc(self, values: FloatArray, degc: Any, soc: Any) -> Any:
        within = self._pybamm.minimum(1, self._reach(degc, soc))
        reach = self._pybamm.maximum(0, within)
        return self._pybamm.Interpolant(SOC_GRID, values, reach, interpolator="linear")


def pack_inputs(pack: PackModel, conditions: Conditions) -> dict[str, float]:
    """Give the scalars of a pack and its conditions as inputs of the built model.

    Parameters
    ----------
    pack : PackModel
        The pack.
    conditions : Conditions
        Where the run starts and what ends it.
    """
    cell, path = pack.cell, pack.thermal
    start_k = conditions.start_degc + ZERO_CELSIUS_K
    limit_degc = conditions.max_cell_degc
    return {
        "ohmic_ohm": cell.ohmic_ohm,
        "transfer_ohm": max(cell.charge_transfer_ohm, 1e-12),
        "fast_ohm": cell.rc_ohm[0],
        "slow_ohm": cell.rc_ohm[1],
        "lag_per_a": cell.lag_per_a,
        "path_ohm": pack.path_ohm,
        "ocv_shift_v": cell.ocv_shift_v,
        "limit_degc": cell.discharge_max_degc if limit_degc is None else limit_degc,
        "Initial SoC": conditions.start_soc,
        "Initial temperature [K]": start_k,
        "Cell capacity [A.h]": cell.capacity_ah,
        "Ambient temperature [K]": conditions.ambient_degc + ZERO_CELSIUS_K,
        "Lower voltage cut-off [V]": (
            cell.cutoff_v if conditions.cutoff_v is None else conditions.cutoff_v
        ),
        "Cell thermal mass [J/K]": cell.heat_capacity_j_per_k,
        "Cell-jig heat transfer coefficient [W/K]": path.cell_to_surface_w_per_k,
        "Jig thermal mass [J/K]": path.surface_j_per_k,
        "Jig-air heat transfer coefficient [W/K]": path.surface_to_air_w_per_k,
        "buoyant_fraction": path.buoyant_fraction,
    }


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
        limits["within reach"] = terminals.within_reach(variables)
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
        self._minimum, self._interpolant = pybamm.minimum, pybamm.Interpolant
        self._empty_soc = pack.cell.empty_soc
        self.asked_a, self.asked_w = asked_over_time(pybamm, demand)
        self.has_power = bool(np.any(demand.power_w > 0))
        self._series, self._parallel = float(pack.series), float(pack.parallel)
        self._path_ohm = pybamm.InputParameter("path_ohm")

    def current_a(self, variables: Any) -> Any:
        return variables["Current [A]"] * self._parallel

    def within_reach(self, variables: Any) -> Any:
        """Charge left above what the cold keeps out of reach."""
        degc = variables["Cell temperature [degC]"]
        return variables["SoC"] - self._interpolant(
            TEMPERATURE_GRID_DEGC, self._empty_soc, degc, interpolator="linear"
        )

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
