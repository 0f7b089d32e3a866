"""Which cells there are, and which one the brief names."""

from __future__ import annotations

from packdesign.data.cell_table import CellTable, load_cells
from packdesign.data.cells import Cell
from packdesign.planning.brief.schema import Brief

__all__ = ["cell_table_of", "named_cell"]


def cell_table_of(brief: Brief) -> CellTable:
    """Give the shipped cells and those of the brief's own table.

    Parameters
    ----------
    brief : Brief
        The brief.

    Raises
    ------
    TableError
        If a row of the brief's table cannot be used.
    """
    return load_cells(brief.cell_table)


def named_cell(brief: Brief, table: CellTable) -> Cell | None:
    """Give the cell that the brief names, or None where it leaves the choice open.

    Parameters
    ----------
    brief : Brief
        The brief.
    table : CellTable
        Where to look.

    Raises
    ------
    UnknownNameError
        If no cell has that name.
    """
    if brief.pack is None or brief.pack.cell is None:
        return None
    return table.find(brief.pack.cell)
