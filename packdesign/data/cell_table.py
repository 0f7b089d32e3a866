"""The cells that can be chosen: the shipped table, and the rows a user adds to it."""

from __future__ import annotations

import functools
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from packdesign.data.cell_columns import CELL_COLUMNS
from packdesign.data.cell_limits import check_cell
from packdesign.data.cell_row import cell_from_row
from packdesign.data.cells import Cell, CellForm, Family
from packdesign.data.csv_reader import read_rows
from packdesign.data.folder import table_path
from packdesign.foundation.errors import UnknownNameError

__all__ = ["CellTable", "load_cells"]

_LEAST_ALIKE = 3
"""Fewer letters and digits than this are no likeness. [-]"""
_NOT_IN_A_NAME = re.compile(r"[^\w.+]+|_+")


class CellTable:
    """Cells by name, in the order of the file.

    Parameters
    ----------
    cells : iterable of Cell
        The cells; names differ.
    """

    __slots__ = ("_by_name", "_by_part", "_cells")

    def __init__(self, cells: Iterable[Cell]) -> None:
        self._cells = tuple(cells)
        self._by_name = {_key(cell.name): cell for cell in self._cells}
        self._by_part: dict[str, list[Cell]] = {}
        for cell in self._cells:
            self._by_part.setdefault(_key(cell.part_number), []).append(cell)

    def __iter__(self) -> Iterator[Cell]:
        return iter(self._cells)

    def __len__(self) -> int:
        return len(self._cells)

    @property
    def names(self) -> tuple[str, ...]:
        """Name of each cell, maker and part number."""
        return tuple(cell.name for cell in self._cells)

    def find(self, name: str) -> Cell:
        """Find a cell by maker and part number, or by the part number alone where it is the only.

        Parameters
        ----------
        name : str
            Upper and lower case, spaces and hyphens do not matter.

        Returns
        -------
        Cell
            The cell.

        Raises
        ------
        UnknownNameError
            If there is none, or several makers use the part number; with the nearest names.

        Examples
        --------
        >>> load_cells().find("inr18650-30q").name
        'Samsung SDI INR18650-30Q'
        """
        key = _key(name)
        if key in self._by_name:
            return self._by_name[key]
        same_part = self._by_part.get(key, [])
        if len(same_part) == 1:
            return same_part[0]
        raise UnknownNameError(kind="cell", name=name, known=self._alike(name, same_part))

    def rows_with(
        self,
        *,
        form: CellForm | None = None,
        family: Family | None = None,
        size_code: str | None = None,
    ) -> tuple[Cell, ...]:
        """Cells that are all of what is asked for."""
        return tuple(
            cell
            for cell in self._cells
            if (form is None or cell.form is form)
            and (family is None or cell.family is family)
            and (size_code is None or cell.size_code == size_code)
        )

    def _alike(self, name: str, same_part: list[Cell]) -> tuple[str, ...]:
        if same_part:
            return tuple(cell.name for cell in same_part)
        words = [word for word in _NOT_IN_A_NAME.split(name.lower()) if word]
        hits = [each for each in self.names if all(word in each.lower() for word in words)]
        return tuple(hits) if words and hits else self._beginning_alike(name) or self.names

    def _beginning_alike(self, name: str) -> tuple[str, ...]:
        """Give the names that hold the most of the beginning of what was asked for."""
        key = _key(name)
        for length in range(len(key), _LEAST_ALIKE - 1, -1):
            hits = [each for each in self.names if key[:length] in _key(each)]
            if hits:
                return tuple(hits)
        return ()


def load_cells(extra: Path | None = None) -> CellTable:
    """Load the shipped cells and, after them, the rows of a user's own table.

    Parameters
    ----------
    extra : Path, optional
        A table with the same columns. It needs maker, part_number, form, size_code, capacity_mah,
        nominal_v, full_v, cutoff_v, and family or chemistry; the rest may be left out. A figure
        without a stated ``basis`` counts as assumed.

    Returns
    -------
    CellTable
        All cells.

    Raises
    ------
    TableError
        If the table cannot be read, or a row of it cannot be a cell; with file, line and column.

    Examples
    --------
    >>> load_cells().find("Molicel INR-21700-P42A").capacity_ah
    4.2
    """
    if extra is None:
        return _shipped()
    shipped = _shipped()
    taken = {_key(cell.name): "the shipped table" for cell in shipped}
    return CellTable([*shipped, *_read(extra, taken)])


@functools.cache
def _shipped() -> CellTable:
    return CellTable(_read(table_path("cells.csv"), {}))


def _read(path: Path, taken: dict[str, str]) -> Iterator[Cell]:
    for row in read_rows(path, CELL_COLUMNS):
        cell = cell_from_row(row)
        check_cell(cell, row)
        key = _key(cell.name)
        if key in taken:
            problem = f"'{cell.name}' is already in {taken[key]}; give it a name of its own"
            raise row.error(column="part_number", problem=problem)
        taken[key] = f"line {row.line}"
        yield cell


def _key(name: str) -> str:
    return _NOT_IN_A_NAME.sub("", name.lower()) or name.strip()
