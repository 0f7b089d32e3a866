"""Connectors as sellers and makers rate them; where they differ, design on the lower figure."""

from __future__ import annotations

import functools
from dataclasses import dataclass

from packdesign.data.record_reader import read_records
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import UnknownNameError

__all__ = ["Connector", "find_connector", "load_connectors"]

_COLUMNS = (
    "series", "trade_name", "kind", "contacts_min", "contacts_max", "pitch_mm", "rated_a",
    "burst_a", "rated_v", "contact_resistance_milliohm", "aged_contact_resistance_milliohm",
    "awg_thickest", "awg_thinnest", "lowest_degc", "highest_degc", "mating_cycles", "rise_k",
    "rise_at_a", "condition", "basis", "source", "notes",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Connector:
    """One rating of one connector, by one source."""

    series: str
    trade_name: str
    kind: str
    contacts_min: int | None
    contacts_max: int | None
    pitch_m: float | None
    rated_a: float | None
    """Per contact. [A]"""
    burst_a: float | None
    """Short time, duration not stated by the source. [A]"""
    rated_v: float | None
    contact_resistance_ohm: float | None
    """Of one mated contact, at most. [ohm]"""
    aged_contact_resistance_ohm: float | None
    awg_thickest: int | None
    awg_thinnest: int | None
    lowest_degc: float | None
    highest_degc: float | None
    mating_cycles: int | None
    rise_k: float | None
    """Temperature rise at ``rise_at_a``. [K]"""
    rise_at_a: float | None
    condition: str
    basis: Basis
    source: str
    notes: str


@functools.cache
def load_connectors() -> tuple[Connector, ...]:
    """Every row of the shipped table."""
    return read_records("connectors.csv", Connector, columns=_COLUMNS)


def find_connector(name: str) -> Connector:
    """Find a connector by series or trade name: the row with the lowest rating.

    Raises
    ------
    UnknownNameError
        If there is none; with the nearest names.

    Examples
    --------
    >>> find_connector("XT60").rated_a
    30.0
    """
    wanted = name.lower()
    rows = [
        each
        for each in load_connectors()
        if wanted in (each.series.lower(), each.trade_name.lower()) and each.rated_a is not None
    ]
    if rows:
        return min(rows, key=lambda each: each.rated_a or 0.0)
    known = [each.trade_name for each in load_connectors()]
    raise UnknownNameError(kind="connector", name=name, known=known)
