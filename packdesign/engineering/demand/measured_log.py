"""A measured log, time and current and perhaps more, as the demand on the pack.

Any common delimiter, decimal comma, quotes. Logs below a million rows are read; rows of equal
current become one piece, and where very many are left they are averaged, which ``notes`` says.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np

from packdesign.engineering.demand.log_columns import Column, find_column
from packdesign.engineering.demand.log_pieces import FEWEST_ROWS, demand_of_rows, rows_with_pack
from packdesign.engineering.demand.profile import Demand, FloatArray
from packdesign.foundation.errors import LogError

__all__ = ["LogColumns", "MeasuredLog", "read_log"]

LARGEST_ROWS: Final = 999_999
LARGEST_PIECES: Final = 20_000
LARGEST_A: Final = 10_000.0
"""More than this is a slip of the unit or a broken row: own choice. [A]"""
COLDEST_DEGC: Final = -60.0
HOTTEST_DEGC: Final = 150.0
"""A surface or cell outside these was read in another unit, or by a broken sensor: own choice; the
electrolyte of a lithium cell freezes and its separator melts within them. [degC]"""
_SURE_DEGC: Final = 60.0
"""Up to here a heading without a unit is taken as degrees Celsius: most cells may get no hotter,
and a room is 68 to 77 degF. Own choice. [degC]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class LogColumns:
    """What the builder says of the log where its headings do not."""

    time: str | None = None
    """Heading of the time; None looks for a usual one, as with the others."""
    current: str | None = None
    voltage: str | None = None
    temperature: str | None = None
    time_unit: str | None = None
    """Unit of the time where its heading has none: "s", "ms", "min", "h"."""
    current_unit: str | None = None
    """Unit of the current where its heading has none: "A", "mA"."""
    discharge_is_negative: bool = False
    """The log writes discharge with a minus."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredLog:
    """The rows of a log in SI, and the demand made from them."""

    time_s: FloatArray
    """From the first row, which is 0. Shape (n,). [s]"""
    current_a: FloatArray
    """Discharge positive. Shape (n,). [A]"""
    voltage_v: FloatArray | None
    """NaN where a row has none. Shape (n,). [V]"""
    temperature_degc: FloatArray | None
    """NaN where a row has none. Shape (n,). [degC]"""
    demand: Demand
    """Pieces of constant current, done once."""
    notes: tuple[str, ...] = ()
    """What was merged or averaged, and what it cost."""


def read_log(
    path: Path,
    *,
    columns: LogColumns | None = None,
    repeats: bool = False,
    largest_pieces: int = LARGEST_PIECES,
) -> MeasuredLog:
    """Read a log of a real device.

    Parameters
    ----------
    path : Path
        The file.
    columns : LogColumns or None
        Which column is which, where the headings do not say.
    repeats : bool
        The log starts again at its end.
    largest_pieces : int
        Above this many pieces of different current they are averaged. [-]

    Returns
    -------
    MeasuredLog
        Rows and demand. Between two rows the current is their mean.

    Raises
    ------
    LogError
        If the file cannot be read, is empty, holds text or NaN where a time or current belongs,
        holds a current that nothing draws or a temperature that no cell has, runs backwards in
        time, or has a million rows or more; with the line.
    """
    told = columns or LogColumns()
    text = _text_of(path)
    heading_line, headings, delimiter, body = _headings(text, name=path.name)
    where = f"{path.name} line {heading_line}"
    wanted = [
        find_column(headings, kind="time", wanted=told.time, unit=told.time_unit,
                    where=where, required=True),
        find_column(headings, kind="current", wanted=told.current, unit=told.current_unit,
                    where=where, required=True),
        find_column(headings, kind="voltage", wanted=told.voltage, unit=None,
                    where=where, required=False),
        find_column(headings, kind="temperature", wanted=told.temperature, unit=None,
                    where=where, required=False),
    ]  # fmt: skip
    found = [column for column in wanted if column is not None]
    table = _Table(path.name, heading_line, len(headings), delimiter, body)
    values = table.numbers(found)
    by_kind = iter(values.T)
    time_s, current_a, voltage_v, temperature_degc = (
        None if column is None else next(by_kind) * column.scale + column.zero for column in wanted
    )
    if time_s is None or current_a is None:
        msg = f"{where}: no time or no current"
        raise LogError(msg)
    table.check_rising(time_s)
    table.check_current(current_a)
    if temperature_degc is not None and wanted[3] is not None:
        table.check_temperature(temperature_degc, wanted[3])
    if told.discharge_is_negative:
        current_a = -current_a
    time_s = time_s - time_s[0]
    kept = rows_with_pack(current_a, voltage_v)
    cut_off = len(time_s) - kept
    time_s, current_a = time_s[:kept], current_a[:kept]
    voltage_v = None if voltage_v is None else voltage_v[:kept]
    temperature_degc = None if temperature_degc is None else temperature_degc[:kept]
    demand, notes = demand_of_rows(
        time_s, current_a, repeats=repeats, largest_pieces=largest_pieces
    )
    if cut_off:
        notes = (f"left out: {cut_off:,} rows at the end, at 0 V with the pack cut off", *notes)
    return MeasuredLog(
        time_s=time_s,
        current_a=current_a,
        voltage_v=voltage_v,
        temperature_degc=temperature_degc,
        demand=demand,
        notes=notes,
    )


def _text_of(path: Path) -> str:
    try:
        raw = path.read_bytes()
    except OSError as error:
        msg = f"{path.name}: the log cannot be read ({error.strerror}); check its name and folder"
        raise LogError(msg) from None
    if b"\0" in raw[:4096]:
        msg = f"{path.name}: this is not a text file; save the log as CSV"
        raise LogError(msg)
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        return raw.decode("latin-1")


def _headings(text: str, *, name: str) -> tuple[int, list[str], str | None, str]:
    """Find the heading: its line, its cells, the delimiter, and everything behind it."""
    position = 0
    for number, line in enumerate(text.splitlines(keepends=True), start=1):
        position += len(line)
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        delimiter = next((mark for mark in (";", "\t", ",", "|") if mark in line), None)
        cells = _cells(line, delimiter)
        if all(_number(cell) is not None for cell in cells if cell.strip()):
            msg = (
                f"{name} line {number}: numbers where the headings belong; begin the file with a "
                "line like 'time_s,current_a'"
            )
            raise LogError(msg)
        return number, cells, delimiter, text[position:]
    msg = f"{name} line 1: the log is empty; it needs a heading and at least two rows"
    raise LogError(msg)


def _cells(line: str, delimiter: str | None) -> list[str]:
    if delimiter is None:
        return line.split()
    return next(csv.reader([line.rstrip("\r\n")], delimiter=delimiter, skipinitialspace=True))


def _number(cell: str) -> float | None:
    plain = cell.strip()
    if "," in plain and "." not in plain:
        plain = plain.replace(",", ".", 1)
    try:
        return float(plain)
    except ValueError:
        return None


@dataclass(frozen=True, slots=True)
class _Table:
    """Everything below the heading."""

    name: str
    heading_line: int
    width: int
    delimiter: str | None
    body: str

    def numbers(self, columns: Sequence[Column]) -> FloatArray:
        """Read the columns: all at once where every row is plain, else row by row."""
        count = self.body.count("\n") + 1
        if count > LARGEST_ROWS:
            msg = (
                f"{self.name}: about {count:,} rows; up to {LARGEST_ROWS:,} are read: keep every "
                "tenth row, or cut the log into parts"
            )
            raise LogError(msg)
        values = self._at_once(columns)
        if values is None:
            values = self._row_by_row(columns)
        if len(values) < FEWEST_ROWS:
            msg = (
                f"{self.name} line {self.heading_line + 1}: {len(values)} rows below the heading; "
                "a log needs at least 2"
            )
            raise LogError(msg)
        return values

    def _at_once(self, columns: Sequence[Column]) -> FloatArray | None:
        text = self.body.strip("\r\n")
        if self.delimiter is not None:
            rows = text.count("\n") + 1
            if text.count(self.delimiter) != rows * (self.width - 1) or '"' in text:
                return None
        if self.delimiter != ",":
            text = text.replace(",", ".")
        try:
            values = np.loadtxt(
                io.StringIO(text),
                delimiter=self.delimiter,
                usecols=[column.position for column in columns],
                ndmin=2,
                comments=None,
            )
        except ValueError:
            return None
        return values if np.all(np.isfinite(values)) else None

    def _rows(self) -> Iterator[tuple[int, list[str]]]:
        for number, line in enumerate(self.body.splitlines(), start=self.heading_line + 1):
            if line.strip() and not line.lstrip().startswith("#"):
                yield number, _cells(line, self.delimiter)

    def _row_by_row(self, columns: Sequence[Column]) -> FloatArray:
        found = []
        for number, cells in self._rows():
            while len(cells) > self.width and not cells[-1].strip():
                cells.pop()
            if len(cells) != self.width:
                msg = (
                    f"{self.name} line {number}: {len(cells)} cells under {self.width} headings; "
                    "with decimal commas separate the cells by semicolons"
                )
                raise LogError(msg)
            found.append(
                [
                    self._cell(cells[column.position], column, number, optional=place > 1)
                    for place, column in enumerate(columns)
                ]
            )
        return np.array(found).reshape(len(found), len(columns))

    def _cell(self, cell: str, column: Column, line: int, *, optional: bool) -> float:
        value = _number(cell)
        if value is not None and math.isfinite(value):
            return value
        blank = not cell.strip() or (value is not None and math.isnan(value))
        if optional and blank:
            return math.nan
        written = cell.strip() or "nothing"
        msg = (
            f"{self.name} line {line}, column '{column.heading}': '{written}' is not a finite "
            "number; correct the row or take it out"
        )
        raise LogError(msg)

    def check_rising(self, time_s: FloatArray) -> None:
        """Refuse a time that runs backwards; two rows at one time are a step."""
        falls = np.flatnonzero(np.diff(time_s) < 0)
        if len(falls):
            row = int(falls[0]) + 1
            line = next(number for place, (number, _) in enumerate(self._rows()) if place == row)
            msg = (
                f"{self.name} line {line}: time runs backwards, from {time_s[row - 1]:g} s to "
                f"{time_s[row]:g} s; sort the rows, or cut the log where it starts anew"
            )
            raise LogError(msg)
        if time_s[-1] <= time_s[0]:
            msg = f"{self.name}: all rows have the time {time_s[0]:g} s; a log must last"
            raise LogError(msg)

    def check_current(self, current_a: FloatArray) -> None:
        """Refuse a current that no pack here could carry."""
        beyond = np.flatnonzero(np.abs(current_a) > LARGEST_A)
        if len(beyond):
            row = int(beyond[0])
            line = next(number for place, (number, _) in enumerate(self._rows()) if place == row)
            msg = (
                f"{self.name} line {line}: the current is {current_a[row]:g} A; allowed: up to "
                f"{LARGEST_A:,.0f} A either way; correct the row, or the unit in the heading"
            )
            raise LogError(msg)

    def check_temperature(self, temperature_degc: FloatArray, column: Column) -> None:
        """Refuse what no cell has lived through, and what may be in degrees Fahrenheit."""
        most_degc = HOTTEST_DEGC if column.has_unit else _SURE_DEGC
        beyond = np.flatnonzero((temperature_degc < COLDEST_DEGC) | (temperature_degc > most_degc))
        if not len(beyond):
            return
        row = int(beyond[0])
        line = next(number for place, (number, _) in enumerate(self._rows()) if place == row)
        value = float(temperature_degc[row])
        if column.has_unit or not COLDEST_DEGC <= value <= HOTTEST_DEGC:
            told = f"allowed: {COLDEST_DEGC:g} to {HOTTEST_DEGC:g} degC"
        else:
            told = "and its heading names no unit"
        msg = (
            f"{self.name} line {line}, column '{column.heading}': the temperature is {value:g} "
            f"degC; {told}; correct the row, or head the column temperature_c, temperature_f "
            "(degrees Fahrenheit) or temperature_k (kelvin)"
        )
        raise LogError(msg)
