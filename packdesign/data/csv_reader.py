"""Read a CSV table into rows that know their file, line and columns, and reject what is wrong.

Shared by every loader of this layer. Comma, semicolon or tab; UTF-8 with or without a byte order
mark, or the Windows code page. With semicolons a decimal comma is understood.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Final, TypeVar

from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import TableError, nearest_names

__all__ = ["Columns", "Row", "read_rows"]

_MOST_BYTES: Final = 50_000_000
_WHOLE_FILE: Final = "(whole file)"
_YES_NO: Final = {"yes": True, "no": False, "true": True, "false": False, "1": True, "0": False}
Word = TypeVar("Word", bound=StrEnum)


@dataclass(frozen=True, slots=True)
class Columns:
    """The headings a table must have, and those it may have besides."""

    required: tuple[str, ...]
    optional: tuple[str, ...] = ()


class Row:
    """One row of a table. Reading a cell checks it; a blank is ``None`` or an empty text."""

    __slots__ = ("_values", "decimal_comma", "file", "line")

    def __init__(
        self, values: Mapping[str, str], *, file: str, line: int, decimal_comma: bool = False
    ) -> None:
        self._values, self.file, self.line = values, file, line
        self.decimal_comma = decimal_comma

    def error(self, *, column: str, problem: str) -> TableError:
        """Make the error that points at one cell of this row."""
        return TableError(file=self.file, line=self.line, column=column, problem=problem)

    def text(self, column: str) -> str:
        """Text of a cell, empty where blank or where the table has no such column."""
        return self._values.get(column, "")

    def needed_text(self, column: str) -> str:
        """Text of a cell that must be filled."""
        found = self.text(column)
        if not found:
            raise self.error(column=column, problem="is empty; it must be filled in each row")
        return found

    def number(
        self, column: str, *, low: float = -math.inf, high: float = math.inf
    ) -> float | None:
        """Number in a cell, in the unit its heading ends in, or ``None`` where blank.

        Parameters
        ----------
        column : str
            Heading.
        low, high : float
            Least and greatest number accepted. [unit of the column]
        """
        found = self._values.get(column)
        if not found:
            return None
        plain = found.replace(",", ".") if self.decimal_comma else found
        try:
            value = float(plain if plain.isascii() and "_" not in plain else "no number")
        except ValueError:
            problem = f"'{found}' is not a number; write a plain number without a unit, or nothing"
            raise self.error(column=column, problem=problem) from None
        if not math.isfinite(value):
            raise self.error(
                column=column,
                problem=f"'{found}' is not a finite number; leave unknown cells empty",
            )
        if not low <= value <= high:
            raise self.error(column=column, problem=f"is {found}; accepted: {_range(low, high)}")
        return value

    def needed(self, column: str, *, low: float = -math.inf, high: float = math.inf) -> float:
        """Number in a cell that must be filled. [unit of the column]"""
        value = self.number(column, low=low, high=high)
        if value is None:
            raise self.error(
                column=column, problem=f"is empty; it needs a number, {_range(low, high)}"
            )
        return value

    def yes_no(self, column: str) -> bool | None:
        """Read yes or no; ``None`` where blank."""
        found = self.text(column).lower()
        if not found:
            return None
        if found not in _YES_NO:
            raise self.error(column=column, problem=f"'{found}' is neither yes nor no")
        return _YES_NO[found]

    def choice(self, column: str, kind: type[Word]) -> Word:
        """Read one of the words of an enumeration."""
        found = self.needed_text(column).lower()
        try:
            return kind(found)
        except ValueError:
            words = [str(word) for word in kind]
            near = nearest_names(found, words, count=1)
            hint = f"; did you mean '{near[0]}'?" if near else ""
            problem = f"'{found}' is not known; accepted: {', '.join(words)}{hint}"
            raise self.error(column=column, problem=problem) from None

    def basis(self, column: str = "basis") -> Basis:
        """Basis of the row."""
        return self.choice(column, Basis)


def read_rows(path: Path, columns: Columns, *, name: str = "") -> list[Row]:
    """Read a table.

    Parameters
    ----------
    path : Path
        The file.
    columns : Columns
        Headings that must and may be there. Lines above them that begin with ``#`` are comments.
    name : str
        Name of the table for messages; the file's name where empty.

    Returns
    -------
    list of Row
        The rows that hold anything, in order.

    Raises
    ------
    TableError
        If the file is missing, empty, binary or too big, if a heading is missing, doubled or not
        known, or if a row has more cells than there are headings.
    """
    name = name or path.name
    text = _read_text(path, name=name)
    delimiter = _delimiter(text)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        return list(_rows(reader, columns, name=name, decimal_comma=delimiter == ";"))
    except csv.Error as error:
        raise TableError(
            file=name, line=reader.line_num, column=_WHOLE_FILE, problem=f"not readable: {error}"
        ) from None


def _rows(
    reader: Iterator[list[str]], columns: Columns, *, name: str, decimal_comma: bool
) -> Iterator[Row]:
    headings: list[str] | None = None
    line = 1
    for cells in reader:
        first, line = line, _line_number(reader) + 1
        if not any(cell.strip() for cell in cells):
            continue
        if headings is None:
            if cells[0].lstrip().startswith("#"):
                continue
            headings = [cell.strip() for cell in cells]
            _check_headings(headings, columns, name=name, line=first)
            continue
        if len(cells) > len(headings) and any(cell.strip() for cell in cells[len(headings) :]):
            problem = (
                f"has {len(cells)} cells under {len(headings)} headings; quote text with commas"
            )
            raise TableError(file=name, line=first, column=headings[-1], problem=problem)
        values = {key: cell.strip() for key, cell in zip(headings, cells, strict=False)}
        yield Row(values, file=name, line=first, decimal_comma=decimal_comma)
    if headings is None:
        raise _whole(name, "is empty; the first line must hold the headings")


def _line_number(reader: Iterator[list[str]]) -> int:
    return int(getattr(reader, "line_num", 0))


def _check_headings(headings: list[str], columns: Columns, *, name: str, line: int) -> None:
    known = (*columns.required, *columns.optional)
    for heading in headings:
        if heading not in known:
            near = nearest_names(heading, known, count=1)
            hint = f"; nearest: {near[0]}" if near else f"; known: {', '.join(known)}"
            problem = f"no such column{hint}"
            raise TableError(file=name, line=line, column=heading or "(no name)", problem=problem)
        if headings.count(heading) > 1:
            raise TableError(file=name, line=line, column=heading, problem="is there twice")
    for needed in columns.required:
        if needed not in headings:
            problem = f"is missing; each table of this kind needs {', '.join(columns.required)}"
            raise TableError(file=name, line=line, column=needed, problem=problem)


def _read_text(path: Path, *, name: str) -> str:
    try:
        if path.stat().st_size > _MOST_BYTES:
            raise _whole(name, f"is larger than {_MOST_BYTES // 1_000_000} MB; not a cell table")
        raw = path.read_bytes()
    except OSError as error:
        reason = (
            "there is no such file" if not path.exists() else f"cannot be read: {error.strerror}"
        )
        raise _whole(name, f"{reason} ({path})") from None
    if b"\x00" in raw:
        raise _whole(name, "is not text; save it as CSV in UTF-8")
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        pass
    try:
        text = raw.decode("cp1252")
    except UnicodeDecodeError:
        text = "\x01"
    if any(ord(sign) < ord(" ") and sign not in "\t\r\n" for sign in text):
        raise _whole(name, "is not text; save it as CSV in UTF-8")
    return text


def _delimiter(text: str) -> str:
    lines = (line for line in text.splitlines() if line.strip() and not line.startswith("#"))
    heading = next(lines, "")
    return max((",", ";", "\t"), key=heading.count)


def _whole(name: str, problem: str) -> TableError:
    return TableError(file=name, line=1, column=_WHOLE_FILE, problem=problem)


def _range(low: float, high: float) -> str:
    if math.isinf(low) and math.isinf(high):
        return "any number"
    if math.isinf(high):
        return f"{low:g} or more"
    return f"{low:g} to {high:g}"
