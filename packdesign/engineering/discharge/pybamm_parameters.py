"""What PyBaMM is told of a cell and its pack: tables as functions, scalars as inputs.

Scalars are inputs so that one built model serves every pack that shares its tables.
"""

from __future__ import annotations

from typing import Any

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.charge_transfer import LEAST_TRANSFER_OHM, TRANSFER_SCALE
from packdesign.engineering.discharge.nodes import SOC_GRID, TEMPERATURE_GRID_DEGC
from packdesign.engineering.discharge.open_circuit import end_slopes_v
from packdesign.engineering.discharge.pybamm_elements import import_pybamm
from packdesign.engineering.discharge.run import Conditions, PackModel
from packdesign.foundation.constants import ZERO_CELSIUS_K

__all__ = ["cell_parameter_values", "pack_inputs"]


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
        "Charge out of reach [-]": functions.empty_soc,
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
        time_s = self._cell.rc_time_s[1] * self._relaxing(degc)
        return time_s / self.slow_ohm(degc, current, soc)

    def empty_soc(self, degc: Any) -> Any:
        return self._over_degc(self._cell.empty_soc, degc)

    def lag_per_a(self, degc: Any) -> Any:
        return self._pybamm.InputParameter("lag_per_a") * self._solid(degc)

    def lag_time_s(self, degc: Any) -> Any:
        return self._cell.lag_time_s * self._solid(degc)

    def _rc_factor(self, degc: Any, soc: Any) -> Any:
        return self._relaxing(degc) + self._rise(self._cell.rc_rise, degc, soc)

    def _ohmic(self, degc: Any) -> Any:
        return self._over_degc(self._cell.ohmic_temperature_factor, degc)

    def _relaxing(self, degc: Any) -> Any:
        return self._over_degc(self._cell.rc_temperature_factor, degc)

    def _solid(self, degc: Any) -> Any:
        return self._over_degc(self._cell.solid_temperature_factor, degc)

    def _rise(self, table: FloatArray, degc: Any, soc: Any) -> Any:
        return self._over_soc(table, degc, soc) * self._solid(degc)

    def _over_degc(self, values: FloatArray, degc: Any) -> Any:
        grid = TEMPERATURE_GRID_DEGC
        return self._pybamm.Interpolant(grid, values, degc, interpolator="linear")

    def _reach(self, degc: Any, soc: Any) -> Any:
        empty = self.empty_soc(degc)
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
