"""The figures by which a pack is named and compared: counts, volts, energy, resistance, mass."""

from __future__ import annotations

import functools
import statistics
from dataclasses import dataclass
from typing import Final

from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Cell, CellForm, Family
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.hazards.transport import energy_wh

__all__ = ["PackFigures", "pack_figures"]

_SOC: Final = 0.5
_DEGC: Final = 25.0
_PULSE_S: Final = 10.0
"""Half charged, 25 degC, 10 s at 1C: the usual way to read a resistance; common practice."""
_GRAMS_PER_KG: Final = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PackFigures:
    """One pack in short."""

    cell: str
    series: int
    parallel: int
    arrangement: str
    fits: bool
    capacity_ah: float
    energy_wh: float
    least_capacity_ah: float
    """What the maker promises at least, by which label and carrying count. [A h]"""
    least_energy_wh: float
    """With it, at the nominal voltage. [W h]"""
    full_v: float
    nominal_v: float
    cutoff_v: float
    resistance_ohm: float
    """At the terminals, half charged, at 25 degC, after 10 s at 1C. [ohm]"""
    mass_g: float
    """Cells and strips; board, wires and shell are not in it. [g]"""
    mass_is_estimated: bool
    """Whether the sheet is silent on the cell's mass, so that it comes from cells alike."""


def pack_figures(design: PackDesign) -> PackFigures:
    """Give the figures of a pack.

    Parameters
    ----------
    design : PackDesign
        The pack.
    """
    cell, model = design.cell, design.model
    cell_ohm = model.cell.pulse_ohm(
        soc=_SOC, temperature_degc=_DEGC, current_a=cell.capacity_ah, pulse_s=_PULSE_S
    )
    least_ah = design.parallel * cell.promised_capacity_ah
    arrangement = design.arrangement
    mass_kg = arrangement.mass_kg
    if mass_kg is None:
        count = design.series * design.parallel
        mass_kg = count * _likely_cell_mass_kg(cell) + arrangement.strip_mass_kg
    return PackFigures(
        cell=cell.name,
        series=design.series,
        parallel=design.parallel,
        arrangement=arrangement.name,
        fits=arrangement.fits,
        capacity_ah=design.capacity_ah,
        energy_wh=design.energy_wh,
        least_capacity_ah=least_ah,
        least_energy_wh=energy_wh(nominal_v=design.nominal_v, capacity_ah=least_ah),
        full_v=design.full_v,
        nominal_v=design.nominal_v,
        cutoff_v=design.cutoff_v,
        resistance_ohm=cell_ohm * design.series / design.parallel + model.path_ohm,
        mass_g=mass_kg * _GRAMS_PER_KG,
        mass_is_estimated=arrangement.mass_kg is None,
    )


def _likely_cell_mass_kg(cell: Cell) -> float:
    """Mass from the energy, at the middle energy per mass of shipped cells alike. [kg]"""
    return cell.capacity_ah * cell.nominal_v / _median_wh_per_kg(cell.form, cell.family)


@functools.cache
def _median_wh_per_kg(form: CellForm, family: Family) -> float:
    known = [cell for cell in load_cells() if cell.mass_kg]
    alike = [cell for cell in known if cell.form is form and cell.family is family]
    alike = alike or [cell for cell in known if cell.family is family] or known
    return statistics.median(
        cell.capacity_ah * cell.nominal_v / cell.mass_kg for cell in alike if cell.mass_kg
    )
