"""From a row of the cell table to an equivalent circuit, every step with its basis and spread."""

from __future__ import annotations

import functools
from typing import Final

import numpy as np

from packdesign.data.cell_sizes import outer_volume_l
from packdesign.data.cells import Cell, CellForm, Confidence, Family
from packdesign.data.chemistries import Chemistry, load_chemistry, ocv_for
from packdesign.data.ocv import OcvCurve
from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.concentration import solid_temperature_factor
from packdesign.engineering.discharge.model_spread import ModelSpread
from packdesign.engineering.discharge.nodes import READ_AT_DEGC, SOC_GRID, TEMPERATURE_GRID_DEGC
from packdesign.engineering.discharge.resistance_parts import resistance_parts, resistance_rises
from packdesign.engineering.discharge.resistance_split import (
    LAG_TIME_S,
    RC_TIME_S,
    resistance_split,
    temperature_factors,
)
from packdesign.engineering.discharge.rise_temperature import rise_spread_j_per_mol
from packdesign.engineering.discharge.standard_discharge import (
    STANDARD_CRATE,
    StandardDischarge,
    empty_soc,
)
from packdesign.engineering.discharge.ten_second_resistance import (
    TenSecondResistance,
    ten_second_resistance,
)
from packdesign.foundation.basis import Basis, weakest

__all__ = ["cell_mass_kg", "model_from_datasheet"]

_CAPACITY_SPREAD: Final = {
    Confidence.HIGH: 0.025,
    Confidence.MEDIUM: 0.025,
    Confidence.LOW: 0.06,
}
"""Standard deviation of a printed capacity by confidence of its row. High and medium: how far nine
kinds of cell read by others lie about their typical figure (`tests/reference/test_other_cells.py`);
low: own choice."""
_DENSITY_KG_PER_M3: Final = {
    CellForm.CYLINDER: 2700.0,
    CellForm.POUCH: 2000.0,
    CellForm.PRISM: 2200.0,
}
"""Mass over outer volume where no mass is printed: near the medians of the shipped table."""
_NOMINAL_SPREAD_V: Final = 0.015
"""How far a nominal voltage printed to 10 mV may be from the mean of the standard discharge."""
_NOMINAL_SPREAD_ONE_DIGIT_V: Final = 0.04
"""The same for one printed to 0.1 V: rounding (29 mV) and habit (3.6 and 3.7 V); own choice."""
_ENERGY_WH_PER_KG: Final = 220.0
"""Energy over mass where neither mass nor size is printed: near the median of the table."""
_ENTROPIC_SHARE: Final = 0.5
"""Share of the spread of one point of the entropic curve that its mean over the charge has: points
err partly against each other; own choice. [-]"""
_HOT_LIMIT_DEGC: Final = 60.0
"""Discharge limit where the sheet prints none: the usual one, common practice, no source."""
_SETTLED_SPREAD: Final = 0.15
"""Spread of the resistance to a long load over the 10 s figure: the published cells have 1.4 to 1.7
times; half their distance. [-]"""


@functools.lru_cache(maxsize=8192)
def model_from_datasheet(cell: Cell) -> CellModel:
    """Make the equivalent circuit of a cell from its sheet and from what is known of its family.

    Parameters
    ----------
    cell : Cell
        A row of the cell table.

    Returns
    -------
    CellModel
        No parameter of it is fitted to a measured discharge.
    """
    chemistry = load_chemistry(cell.family)
    curve = ocv_for(cell)
    ten_s = ten_second_resistance(cell)
    factors = temperature_factors(cell.family)
    parts = resistance_parts(ten_s, capacity_ah=cell.capacity_ah)
    ocv_v = np.asarray(curve.at(SOC_GRID))
    rises = resistance_rises(chemistry, parts, capacity_ah=cell.capacity_ah)
    standard = StandardDischarge(
        current_a=STANDARD_CRATE * cell.capacity_ah,
        cutoff_v=cell.cutoff_v,
        ocv_v=ocv_v,
        parts=parts,
        rises=rises,
        factors=factors,
    )
    shift_v, ocv_spread_v = _nominal_shift(cell, standard, curve=curve)
    mass_kg, mass_basis = cell_mass_kg(cell)
    limit_degc = cell.discharge_max_degc
    return CellModel(
        name=cell.name,
        capacity_ah=cell.capacity_ah / (1.0 - standard.left_warm()),
        ocv_v=standard.ocv_v + shift_v,
        entropic_v_per_k=np.interp(SOC_GRID, chemistry.entropic_soc, chemistry.entropic_v_per_k),
        ohmic_ohm=parts.ohmic_ohm,
        charge_transfer_ohm=parts.transfer_ohm,
        rc_ohm=(parts.fast_ohm, parts.slow_ohm),
        rc_time_s=RC_TIME_S,
        transfer_rise=rises.transfer,
        rc_rise=rises.rc,
        lag_per_a=parts.lag_per_a,
        lag_time_s=LAG_TIME_S,
        ohmic_temperature_factor=factors.ohmic,
        rc_temperature_factor=factors.relaxing,
        transfer_temperature_factor=factors.transfer,
        solid_temperature_factor=solid_temperature_factor(),
        empty_soc=empty_soc(standard, chemistry),
        heat_capacity_j_per_k=mass_kg * chemistry.specific_heat_j_per_kg_k.mid,
        cutoff_v=cell.cutoff_v,
        full_v=cell.full_v,
        discharge_max_degc=_HOT_LIMIT_DEGC if limit_degc is None else limit_degc,
        spread=_spread_of(cell, chemistry, ten_s, ocv_v=ocv_spread_v),
        basis=weakest(curve.basis, ten_s.basis, mass_basis),
        bases={
            "open-circuit voltage": curve.name,
            "resistance": ten_s.how,
            "resistance over time": "Samsung 50G readings, Paudel et al. 2025",
            "resistance over temperature": chemistry.resistance_temperature.source,
            "heat capacity": chemistry.specific_heat_source,
            "entropic heat": chemistry.entropic_source,
        },
    )


def _spread_of(
    cell: Cell, chemistry: Chemistry, ten_s: TenSecondResistance, *, ocv_v: FloatArray
) -> ModelSpread:
    split = resistance_split()
    return ModelSpread(
        capacity_fraction=_CAPACITY_SPREAD[cell.confidence],
        resistance_fraction=ten_s.spread_fraction,
        slow_resistance_fraction=_SETTLED_SPREAD / (split.fast + split.slow),
        cold_resistance_fraction=_cold_spread(cell.family),
        warm_resistance_fraction=_warm_spread(cell.family),
        rise_j_per_mol=rise_spread_j_per_mol(),
        heat_capacity_fraction=chemistry.specific_heat_j_per_kg_k.relative_deviation,
        ocv_v=ocv_v,
        entropic_v_per_k=_ENTROPIC_SHARE * float(np.median(chemistry.entropic_spread_v_per_k)),
    )


@functools.cache
def _cold_spread(family: Family) -> FloatArray:
    """How far published cells part below 25 degC, where sheets read a resistance. [-]

    Colder than the coldest two that were read, the straight line through these goes on.
    """
    table, grid = load_chemistry(family).resistance_temperature, TEMPERATURE_GRID_DEGC
    read = np.array([table.band(float(degc)).relative_deviation for degc in table.at])
    growth = (read[0] - read[1]) / (table.at[1] - table.at[0])
    colder = read[0] + growth * (table.at[0] - grid)
    inside = _published_spread(family)
    return np.select([grid >= READ_AT_DEGC, grid < table.at[0]], [0.0, colder], inside)


@functools.cache
def _warm_spread(family: Family) -> FloatArray:
    """How far published cells part above 25 degC. [-]"""
    return np.where(TEMPERATURE_GRID_DEGC <= READ_AT_DEGC, 0.0, _published_spread(family))


@functools.cache
def _published_spread(family: Family) -> FloatArray:
    """Relative deviation of the resistance in the family's table, its ends held. [-]"""
    table = load_chemistry(family).resistance_temperature
    return np.array([table.band(float(degc)).relative_deviation for degc in TEMPERATURE_GRID_DEGC])


def cell_mass_kg(cell: Cell) -> tuple[float, Basis]:
    """Give the mass of a cell, from its sheet or from its size. [kg]

    Parameters
    ----------
    cell : Cell
        The cell.

    Returns
    -------
    tuple of float and Basis
        The mass and where it comes from.
    """
    if cell.mass_kg is not None:
        return cell.mass_kg, cell.basis_of("mass_kg")
    volume_l = outer_volume_l(cell, by_code=False)
    if volume_l is None:
        return cell.capacity_ah * cell.nominal_v / _ENERGY_WH_PER_KG, Basis.ASSUMED
    return volume_l / 1000 * _DENSITY_KG_PER_M3[cell.form], Basis.ASSUMED


def _nominal_shift(
    cell: Cell, standard: StandardDischarge, *, curve: OcvCurve
) -> tuple[float, FloatArray]:
    """Move the curve toward the nominal voltage printed, each by its weight; give the doubt left.

    The nominal voltage is taken as the mean of the standard discharge (common practice, no source).
    A curve measured on the same part number hardly moves; one computed or of the family moves the
    more, the more digits are printed. Where curve and sheet disagree by more than their spreads
    explain, the doubt grows in that proportion (the Birge ratio; R. T. Birge, Phys. Rev. 40, 207,
    1932).

    Returns
    -------
    tuple of float and array
        The move, and the standard deviation of the curve after it on ``SOC_GRID``. [V]
    """
    nominal_v = cell.nominal_v
    one_digit = abs(nominal_v * 10 - round(nominal_v * 10)) < 1e-6
    printed_v = _NOMINAL_SPREAD_ONE_DIGIT_V if one_digit else _NOMINAL_SPREAD_V
    spread_v = np.interp(SOC_GRID, curve.soc, curve.spread_v)
    curve_v = float(np.mean(spread_v))
    apart_v = nominal_v - standard.mean_v()
    both_v = float(np.hypot(curve_v, printed_v))
    weight = (curve_v / both_v) ** 2
    birge = max(1.0, abs(apart_v) / both_v)
    return weight * apart_v, birge * printed_v / both_v * spread_v
