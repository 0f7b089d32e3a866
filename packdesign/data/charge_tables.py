"""Charge bands against temperature and self-discharge, as the shipped tables give them."""

from __future__ import annotations

import functools
from dataclasses import dataclass

from packdesign.data.cells import Family
from packdesign.data.csv_reader import Columns, read_rows
from packdesign.data.folder import table_path
from packdesign.foundation.basis import Basis

__all__ = [
    "ChargeBand",
    "GuidelineZone",
    "SelfDischarge",
    "guideline_zones",
    "printed_charge_bands",
    "self_discharge_rows",
]

_BAND_COLUMNS = Columns(
    (
        "kind", "part_number", "family", "low_degc", "high_degc", "c_rate", "current_fraction",
        "end_voltage_v", "basis", "source",
    )
)  # fmt: skip
_REST_COLUMNS = Columns(
    ("family", "temperature_degc", "soc_fraction", "percent_per_month", "basis", "source")
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeBand:
    """Charge rate that a sheet allows between two cell temperatures."""

    part_number: str
    low_degc: float
    high_degc: float
    c_rate: float
    """Charge current as a multiple of capacity per hour. [1/h]"""
    basis: Basis
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GuidelineZone:
    """A zone of the published charging guideline, for a cell of 4.2 V."""

    low_degc: float
    high_degc: float
    current_fraction: float
    """Share of the set current. [-]"""
    full_v: float
    """Charge voltage of a cell that takes 4.2 V elsewhere. [V]"""
    basis: Basis
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SelfDischarge:
    """One figure of charge lost at rest."""

    family: Family
    temperature_degc: float
    soc: float
    percent_per_month: float
    basis: Basis
    source: str


@functools.cache
def _bands() -> tuple[ChargeBand, ...]:
    rows = read_rows(table_path("chemistries/charge_bands.csv"), _BAND_COLUMNS)
    return tuple(
        ChargeBand(
            part_number=row.needed_text("part_number"),
            low_degc=row.needed("low_degc"),
            high_degc=row.needed("high_degc"),
            c_rate=row.needed("c_rate", low=0.001),
            basis=row.basis(),
            source=row.needed_text("source"),
        )
        for row in rows
        if row.text("kind") == "sheet"
    )


@functools.cache
def guideline_zones() -> tuple[GuidelineZone, ...]:
    """Give the cool, the normal and the warm zone of the published charging guideline.

    Examples
    --------
    >>> [zone.current_fraction for zone in guideline_zones()]
    [0.2, 1.0, 1.0]
    """
    rows = read_rows(table_path("chemistries/charge_bands.csv"), _BAND_COLUMNS)
    zones = (
        GuidelineZone(
            low_degc=row.needed("low_degc"),
            high_degc=row.needed("high_degc"),
            current_fraction=row.needed("current_fraction", low=0.001, high=1),
            full_v=row.needed("end_voltage_v", low=1, high=5),
            basis=row.basis(),
            source=row.needed_text("source"),
        )
        for row in rows
        if row.text("kind") == "jeita"
    )
    return tuple(sorted(zones, key=lambda zone: zone.low_degc))


def printed_charge_bands(part_number: str) -> tuple[ChargeBand, ...]:
    """Give the bands printed for one part number, coldest first; empty where none is known.

    Parameters
    ----------
    part_number : str
        As a cell table writes it; case, blanks and hyphens do not matter.

    Examples
    --------
    >>> [band.c_rate for band in printed_charge_bands("INR21700-M50T")]
    [0.3, 0.7]
    """
    wanted = _plain(part_number)
    found = (band for band in _bands() if _plain(band.part_number) == wanted)
    return tuple(sorted(found, key=lambda band: band.low_degc))


def _plain(name: str) -> str:
    return "".join(letter for letter in name.lower() if letter.isalnum())


@functools.cache
def self_discharge_rows(family: Family) -> tuple[SelfDischarge, ...]:
    """Give what is known of the self-discharge of a family; empty where nothing is.

    Parameters
    ----------
    family : Family
        Chemistry family.

    Examples
    --------
    >>> len(self_discharge_rows(Family.NMC)) > 1
    True
    """
    rows = read_rows(table_path("chemistries/self_discharge.csv"), _REST_COLUMNS)
    return tuple(
        SelfDischarge(
            family=family,
            temperature_degc=row.needed("temperature_degc"),
            soc=row.needed("soc_fraction", low=0, high=1),
            percent_per_month=row.needed("percent_per_month", low=0),
            basis=row.basis(),
            source=row.needed_text("source"),
        )
        for row in rows
        if row.choice("family", Family) is family
    )
