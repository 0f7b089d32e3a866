"""How cold a cell may be charged: one floor for zones, label, checks and dangers alike.

What a charger gives in that cold is for :mod:`packdesign.engineering.charging.zones`.
"""

from __future__ import annotations

from typing import Final

from packdesign.data.cells import Cell, Family
from packdesign.foundation.basis import Basis

__all__ = ["FREEZING_DEGC", "NO_GRAPHITE", "coldest_charge_degc", "is_held_above_its_sheet"]

FREEZING_DEGC: Final = 0.0
"""Below it lithium plates out on graphite. [degC]"""
# US Fire Administration and NFPA, as quoted in planning/hazards/sources.py; the zones of the
# guideline in cell_data/chemistries/charge_bands.csv end there as well

NO_GRAPHITE: Final = frozenset({Family.LTO, Family.NA_ION})
"""Families whose sheets may allow less: no lithium plates on graphite in them."""


def coldest_charge_degc(cell: Cell) -> float:
    """Give the lowest temperature at which a cell is charged here. [degC]

    Parameters
    ----------
    cell : Cell
        The cell.

    Returns
    -------
    float
        Freezing, or what the sheet prints where that is warmer, or where the cell has no graphite
        and its sheet was seen. [degC]

    Notes
    -----
    Some sheets of cells with graphite print charging below freezing, at a current that the table
    does not hold. Fire services say never; so the careful one counts and the maker must be asked.

    Examples
    --------
    >>> from packdesign.data.cell_table import load_cells
    >>> coldest_charge_degc(load_cells().find("Molicel INR-21700-P50B"))
    0.0
    >>> coldest_charge_degc(load_cells().find("Panasonic NCR18650GA"))
    10.0
    >>> coldest_charge_degc(load_cells().find("TOB New Energy TOB-18650-C-Na"))
    -20.0
    """
    printed = cell.charge_min_degc
    if printed is None:
        return FREEZING_DEGC
    may_be_lower = (
        cell.family in NO_GRAPHITE and cell.basis_of("charge_min_degc") is Basis.DATASHEET
    )
    return printed if may_be_lower else max(FREEZING_DEGC, printed)


def is_held_above_its_sheet(cell: Cell) -> bool:
    """Tell whether the sheet prints a lower charge temperature than is held to here.

    Parameters
    ----------
    cell : Cell
        The cell.
    """
    printed = cell.charge_min_degc
    return printed is not None and printed < coldest_charge_degc(cell)
