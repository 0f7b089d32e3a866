"""Fill frozen records from a shipped table: the column's unit becomes SI, the heading the field.

A column ``cold_resistance_milliohm`` fills the field ``cold_resistance_ohm``, and so on by the unit
that the heading ends in. A field typed ``float`` or ``int`` must be filled in each row; one that
may be ``None`` may be blank.
"""

from __future__ import annotations

import typing
from collections.abc import Callable, Collection, Iterable
from enum import StrEnum
from typing import Any, Final, TypeVar

from packdesign.data.csv_reader import Columns, Row, read_rows
from packdesign.data.folder import table_path
from packdesign.foundation.errors import UnknownNameError

__all__ = ["field_of_column", "find_named", "read_records"]

_INTO_SI: Final[tuple[tuple[str, str, float], ...]] = (
    ("_milliohm_per_m", "_ohm_per_m", 1e-3),
    ("_mnm_per_a", "_nm_per_a", 1e-3),
    ("_milliohm", "_ohm", 1e-3),
    ("_kohm", "_ohm", 1e3),
    ("_mah", "_ah", 1e-3),
    ("_mm2", "_m2", 1e-6),
    ("_mm", "_m", 1e-3),
    ("_mv", "_v", 1e-3),
    ("_ma", "_a", 1e-3),
    ("_ua", "_a", 1e-6),
    ("_us", "_s", 1e-6),
    ("_percent", "_fraction", 1e-2),
    ("_mnm", "_nm", 1e-3),
    ("_gcm2", "_kg_m2", 1e-7),
    ("_pf", "_f", 1e-12),
)
_Record = TypeVar("_Record")


def field_of_column(column: str) -> tuple[str, float]:
    """Field that a column fills, and the factor from the column's unit into SI. [-]

    Examples
    --------
    >>> field_of_column("drop_at_rated_mv")
    ('drop_at_rated_v', 0.001)
    """
    for suffix, si_suffix, factor in _INTO_SI:
        if column.endswith(suffix):
            return column.removesuffix(suffix) + si_suffix, factor
    return column, 1.0


def read_records(
    table: str,
    kind: type[_Record],
    *,
    columns: tuple[str, ...],
    signed: Collection[str] = (),
    more_columns: tuple[str, ...] = (),
    made: Callable[[Row], dict[str, object]] | None = None,
) -> tuple[_Record, ...]:
    """Read a shipped table into records.

    Parameters
    ----------
    table : str
        File below ``cell_data``.
    kind : type
        Record with one field for each column.
    columns : tuple of str
        Headings that each fill a field, all of them required.
    signed : collection of str
        Columns that may be negative besides temperatures.
    more_columns : tuple of str
        Headings that only ``made`` reads.
    made : callable, optional
        Gives the fields made from a whole row.

    Returns
    -------
    tuple
        One record per row.

    Raises
    ------
    TableError
        If a heading is missing or not known, or a cell cannot be read.
    """
    hints = typing.get_type_hints(kind)
    records = []
    for row in read_rows(table_path(table), Columns((*columns, *more_columns))):
        fields: dict[str, Any] = made(row) if made else {}
        for column in columns:
            name, factor = field_of_column(column)
            lowest = -1e9 if column in signed or column.endswith("_degc") else 0.0
            fields[name] = _value(row, column, hints[name], factor=factor, lowest=lowest)
        records.append(kind(**fields))
    return tuple(records)


def find_named(
    records: Iterable[_Record], name: str, *, kind: str, names: Callable[[_Record], tuple[str, ...]]
) -> _Record:
    """Find the first record that bears a name, upper and lower case alike.

    Parameters
    ----------
    records : iterable
        Where to look.
    name : str
        What is asked for.
    kind : str
        What a record is, for the message.
    names : callable
        Gives the names of a record, the usual one first.

    Returns
    -------
    record
        The record.

    Raises
    ------
    UnknownNameError
        If there is none; with the nearest names.
    """
    known: list[str] = []
    for each in records:
        own = names(each)
        if name.lower() in (word.lower() for word in own):
            return each
        known.append(own[0])
    raise UnknownNameError(kind=kind, name=name, known=known)


def _value(row: Row, column: str, hint: Any, *, factor: float, lowest: float) -> Any:
    if hint is str:
        return row.text(column)
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return row.choice(column, hint)
    if hint in (float, int):
        number: float | None = row.needed(column, low=lowest)
    else:
        number = row.number(column, low=lowest)
    if number is None:
        return None
    if hint is int or int in typing.get_args(hint):
        return int(number)
    return number * factor if factor != 1.0 else number
