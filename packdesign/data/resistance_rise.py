"""Load readings of whole cells: resistance over charge and temperature, for the rise toward empty.

The table is ``cell_data/chemistries/resistance_rise.csv``. What its readings say is worked out in
the engineering layer.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from enum import StrEnum

from packdesign.data.cells import Family
from packdesign.data.record_reader import read_records
from packdesign.foundation.basis import Basis

__all__ = ["ResistancePart", "RiseReading", "SourceGrade", "load_rise_readings"]

_COLUMNS = (
    "cell", "family", "part", "pulse_s", "temperature_degc", "soc_fraction", "resistance_ohm",
    "capacity_mah", "source_grade", "basis", "source",
)  # fmt: skip


class ResistancePart(StrEnum):
    """What of the drop a reading covers."""

    TOTAL = "total"
    """The whole drop."""
    INSTANT = "instant"
    SLOW = "slow"
    """The sum of the RC elements."""


class SourceGrade(StrEnum):
    """How well the way a cell was read is known, best first."""

    METHOD_KNOWN = "a"
    """A paper or a laboratory, the method known."""
    METHOD_PARTLY_KNOWN = "b"
    """A named cell and a laboratory, the method partly known."""
    METHOD_UNKNOWN = "c"
    """A maker's table; how it was read is not said."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RiseReading:
    """One reading of one cell."""

    cell: str
    family: Family
    part: ResistancePart
    pulse_s: float | None
    """Length of the load; ``None`` where not stated. [s]"""
    temperature_degc: float
    soc_fraction: float
    resistance_ohm: float
    capacity_ah: float
    """Near room temperature. [A h]"""
    source_grade: SourceGrade
    basis: Basis
    source: str


@functools.cache
def load_rise_readings() -> tuple[RiseReading, ...]:
    """Every row of the table.

    Returns
    -------
    tuple of RiseReading
        In the order of the table.

    Raises
    ------
    TableError
        If the table cannot be read.

    Examples
    --------
    >>> load_rise_readings()[0].cell
    'Kokam power pouch'
    """
    return read_records("chemistries/resistance_rise.csv", RiseReading, columns=_COLUMNS)
