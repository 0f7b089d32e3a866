"""Tables by family that a simulation does not need: spread in a batch, self-discharge, charging.

The tables are in ``cell_data/chemistries``; every row carries its basis and source.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass

from packdesign.data.record_reader import find_named, read_records
from packdesign.foundation.basis import Basis

__all__ = [
    "BatchSpread",
    "ChargeBand",
    "SelfDischarge",
    "batch_spread",
    "load_batch_spreads",
    "load_charge_bands",
    "load_self_discharge",
]

_BATCH = ("batch", "capacity_sd_percent", "resistance_sd_percent", "use", "basis", "source")
_LOSS = (
    "family", "temperature_degc", "soc_fraction", "percent_per_month", "basis", "source",
)  # fmt: skip
_BANDS = (
    "kind", "part_number", "family", "low_degc", "high_degc", "c_rate", "end_voltage_v", "basis",
    "source",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchSpread:
    """Standard deviation between new cells of one lot."""

    batch: str
    """"single" and "mixed" are the ones to design with."""
    capacity_sd_fraction: float
    """Of capacity, as a fraction of its mean. [-]"""
    resistance_sd_fraction: float
    """Of resistance, as a fraction of its mean. [-]"""
    use: str
    """"design", or "measured": kept for comparison."""
    basis: Basis
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SelfDischarge:
    """Loss on the shelf, under one condition."""

    family: str
    temperature_degc: float
    soc_fraction: float
    percent_per_month: float
    """Of the full capacity. [%/month]"""
    basis: Basis
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeBand:
    """Charge current or voltage allowed in one range of cell temperature."""

    kind: str
    """"sheet": one maker's sheet; "jeita": the published guideline."""
    part_number: str
    family: str
    low_degc: float
    high_degc: float
    c_rate: float | None
    """Highest current as a multiple of the capacity per hour, where printed. [1/h]"""
    end_voltage_v: float | None
    """Highest charge voltage per cell, where printed. [V]"""
    basis: Basis
    source: str


@functools.cache
def load_batch_spreads() -> tuple[BatchSpread, ...]:
    """Every row of the table."""
    return read_records("chemistries/batch_spread.csv", BatchSpread, columns=_BATCH)


def batch_spread(batch: str) -> BatchSpread:
    """Find the spread to design with.

    Parameters
    ----------
    batch : str
        "single": new cells of one lot; "mixed": several lots, or cells from a marketplace.

    Raises
    ------
    UnknownNameError
        If there is none; with the nearest names.

    Examples
    --------
    >>> batch_spread("mixed").resistance_sd_fraction
    0.06
    """
    return find_named(load_batch_spreads(), batch, kind="batch", names=lambda each: (each.batch,))


@functools.cache
def load_self_discharge() -> tuple[SelfDischarge, ...]:
    """Every row of the table."""
    return read_records("chemistries/self_discharge.csv", SelfDischarge, columns=_LOSS)


@functools.cache
def load_charge_bands() -> tuple[ChargeBand, ...]:
    """Every row of the table."""
    return read_records("chemistries/charge_bands.csv", ChargeBand, columns=_BANDS)
