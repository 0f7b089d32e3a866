"""How hot a touched surface may be, by material and time of contact.

Most rows are recalled from paid standards and say so: check the clause before quoting one.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass

from packdesign.data.record_reader import read_records
from packdesign.foundation.basis import Basis

__all__ = ["TouchLimit", "load_touch_limits"]

_COLUMNS = (
    "document", "contact", "shortest_s", "longest_s", "material", "low_degc", "high_degc",
    "meaning", "basis", "source", "notes",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class TouchLimit:
    """One threshold."""

    document: str
    contact: str
    shortest_s: float | None
    longest_s: float | None
    """Time of contact up to which it holds. [s]"""
    material: str
    low_degc: float
    """Low end of the printed range; equal to ``high_degc`` for a single figure. [degC]"""
    high_degc: float
    meaning: str
    basis: Basis
    source: str
    notes: str


@functools.cache
def load_touch_limits() -> tuple[TouchLimit, ...]:
    """Every row of the shipped table."""
    return read_records("touch_limits.csv", TouchLimit, columns=_COLUMNS)
