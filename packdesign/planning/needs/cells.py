"""Which cells there are, and which one the brief names."""

from __future__ import annotations

from dataclasses import replace

from packdesign.data.cell_table import CellTable, load_cells
from packdesign.data.cells import Cell
from packdesign.foundation.errors import BriefError
from packdesign.planning.brief.schema import Brief

__all__ = ["cell_table_of", "named_cell"]


def cell_table_of(brief: Brief) -> CellTable:
    """Give the shipped cells and those of the brief's own table, with the prices of the brief.

    Parameters
    ----------
    brief : Brief
        The brief.

    Raises
    ------
    TableError
        If a row of the brief's table cannot be used.
    UnknownNameError
        If the brief gives the price of a cell that does not exist.
    BriefError
        If prices are in several currencies, or a price is missing.
    """
    table = load_cells(brief.cell_table)
    given = brief.preferences.prices if brief.preferences is not None else ()
    priced = {}
    for each in given:
        if each.price is None:
            msg = f"preferences.prices: {each.cell or 'an entry'} has no price; add price, above 0"
            raise BriefError(msg)
        cell = table.find(each.cell)
        priced[cell.name] = replace(cell, price=each.price, currency=each.currency.upper())
    if priced:
        table = CellTable(priced.get(cell.name, cell) for cell in table)
    _check_one_currency(table)
    return table


def _check_one_currency(table: CellTable) -> None:
    found = sorted({cell.currency for cell in table if cell.price is not None})
    if len(found) > 1:
        msg = (
            f"prices of cells are in {' and '.join(found)}; give all of them in one currency, in "
            "the cell table and in [[preferences.prices]]"
        )
        raise BriefError(msg)


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
