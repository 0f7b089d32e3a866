"""A builder's own cells, row by row: every row that can be used, and every one that cannot.

Loading a table for a design stops at the first fault; here all of them are wanted at once, to be
put right together.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from packdesign.data.cell_columns import CELL_COLUMNS
from packdesign.data.cell_limits import check_cell
from packdesign.data.cell_row import cell_from_row
from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Cell
from packdesign.data.csv_reader import read_rows
from packdesign.foundation.errors import TableError

__all__ = ["CheckedCells", "checked_cells"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckedCells:
    """What a table of own cells holds."""

    cells: tuple[Cell, ...]
    problems: tuple[TableError, ...]
    """One for each row that cannot be used, with line and column."""


def checked_cells(path: Path) -> CheckedCells:
    """Check every row of a table of own cells.

    Parameters
    ----------
    path : Path
        The table.

    Returns
    -------
    CheckedCells
        Usable cells and problems. A table that cannot be read at all is one problem.
    """
    try:
        rows = read_rows(path, CELL_COLUMNS)
    except TableError as error:
        return CheckedCells(cells=(), problems=(error,))
    cells: list[Cell] = []
    problems: list[TableError] = []
    for row in rows:
        try:
            cell = cell_from_row(row)
            check_cell(cell, row)
        except TableError as error:
            problems.append(error)
        else:
            cells.append(cell)
    if not problems:
        problems = _as_a_whole(path)
    return CheckedCells(cells=tuple(cells), problems=tuple(problems))


def _as_a_whole(path: Path) -> list[TableError]:
    """Look for what shows only between rows: a name twice, a name of the shipped table."""
    try:
        load_cells(path)
    except TableError as error:
        return [error]
    return []
