"""What is said where a maker's sheet allows charging colder than it is done here."""

from __future__ import annotations

from packdesign.data.cells import Cell
from packdesign.engineering.charging.coldest import coldest_charge_degc, is_held_above_its_sheet
from packdesign.foundation.basis import Basis
from packdesign.planning.hazards import sources

__all__ = ["cold_charge_words", "cold_limit_origin"]


def cold_charge_words(cell: Cell) -> str:
    """Name the lower charge temperature of a sheet, and why it is not held to; else nothing.

    Parameters
    ----------
    cell : Cell
        The cell.

    Examples
    --------
    >>> from packdesign.data.cell_table import load_cells
    >>> cold_charge_words(load_cells().find("Samsung SDI INR18650-30Q"))
    ''
    """
    if not is_held_above_its_sheet(cell):
        return ""
    return (
        f"The table has {cell.charge_min_degc:g} degC as the maker's own lowest charge "
        "temperature, and not the reduced current that goes with it below freezing; so "
        f"{coldest_charge_degc(cell):g} degC is held to everywhere here. The maker's word comes "
        "first: ask for the current at each temperature before any colder charge."
    )


def cold_limit_origin(cell: Cell) -> tuple[Basis, str]:
    """Say where the lowest charge temperature of a cell comes from.

    Parameters
    ----------
    cell : Cell
        The cell.
    """
    if is_held_above_its_sheet(cell):
        return Basis.PUBLISHED, f"{sources.USFA}; {sources.NFPA}"
    return cell.basis_of("charge_min_degc"), cell.source
