"""Sources of charging power (USB levels) and charger circuits.

A USB level is a supply, not a charger.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from enum import StrEnum

from packdesign.data.record_reader import find_named, read_records
from packdesign.foundation.basis import Basis

__all__ = [
    "ChargerCircuit",
    "SupplyLevel",
    "UsbKind",
    "find_charger_circuit",
    "load_charger_circuits",
    "load_supply_levels",
]

_COLUMNS = (
    "level", "kind", "lowest_v", "highest_v", "step_v", "most_a", "most_w", "basis", "source",
    "notes",
)  # fmt: skip


class UsbKind(StrEnum):
    """How the voltage of a level is set, as the table writes it."""

    PLAIN = "plain"
    FIXED = "fixed"
    PROGRAMMABLE = "programmable"
    """PPS: small steps with a current limit."""
    ADJUSTABLE = "adjustable"
    """AVS: voltage steps only, no current limit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyLevel:
    """One level that a USB source may offer."""

    level: str
    kind: UsbKind
    lowest_v: float
    highest_v: float
    step_v: float | None
    most_a: float
    most_w: float | None
    basis: Basis
    source: str
    notes: str


@functools.cache
def load_supply_levels() -> tuple[SupplyLevel, ...]:
    """Every USB level of the shipped table."""
    return read_records("supplies.csv", SupplyLevel, columns=_COLUMNS)


_COLUMNS_CHARGERS = (
    "part", "maker", "kind", "topology", "cells_in_series_min", "cells_in_series_max",
    "charge_min_a", "charge_max_a", "end_voltage_v", "end_voltage_accuracy_percent",
    "precharge_percent", "precharge_min_percent", "precharge_max_percent", "precharge_below_v",
    "termination_percent", "termination_min_percent", "termination_max_percent", "timer_note",
    "thermistor_note", "input_min_v", "input_max_v", "quiescent_ua", "basis", "source", "notes",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargerCircuit:
    """One charger circuit or module."""

    part: str
    maker: str
    kind: str
    topology: str
    cells_in_series_min: int | None
    cells_in_series_max: int | None
    charge_min_a: float | None
    charge_max_a: float | None
    end_voltage_v: float | None
    """For the whole pack, where fixed. [V]"""
    end_voltage_accuracy_fraction: float | None
    precharge_fraction: float | None
    precharge_min_fraction: float | None
    precharge_max_fraction: float | None
    precharge_below_v: float | None
    termination_fraction: float | None
    termination_min_fraction: float | None
    termination_max_fraction: float | None
    timer_note: str
    thermistor_note: str
    input_min_v: float | None
    input_max_v: float | None
    quiescent_a: float | None
    basis: Basis
    source: str
    notes: str


@functools.cache
def load_charger_circuits() -> tuple[ChargerCircuit, ...]:
    """Every charger circuit of the shipped table."""
    return read_records("chargers.csv", ChargerCircuit, columns=_COLUMNS_CHARGERS)


def find_charger_circuit(name: str) -> ChargerCircuit:
    """Find a charger circuit by its part number.

    Parameters
    ----------
    name : str
        Part number, as the table writes it.

    Raises
    ------
    UnknownNameError
        If there is none; with the nearest names.

    Examples
    --------
    >>> find_charger_circuit("mcp73213").cells_in_series_max
    2
    """
    return find_named(
        load_charger_circuits(), name, kind="charger circuit", names=lambda each: (each.part,)
    )
