"""Regulators: input window, dropout, efficiency, quiescent current."""

from __future__ import annotations

import functools
from dataclasses import dataclass

from packdesign.data.record_reader import find_named, read_records
from packdesign.foundation.basis import Basis

__all__ = ["Regulator", "find_regulator", "load_regulators"]

_COLUMNS = (
    "part", "maker", "kind", "input_min_v", "input_max_v", "output_v", "dropout_v",
    "dropout_at_a", "dropout_most_v", "output_most_a", "switch_limit_a", "efficiency_percent",
    "efficiency_min_percent", "efficiency_max_percent", "efficiency_condition", "quiescent_ua",
    "quiescent_min_ua", "quiescent_max_ua", "quiescent_most_ua", "shutdown_ua",
    "shutdown_most_ua", "basis", "source", "notes",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Regulator:
    """One regulator."""

    part: str
    maker: str
    kind: str
    input_min_v: float | None
    input_max_v: float | None
    output_v: float | None
    """Where fixed. [V]"""
    dropout_v: float | None
    dropout_at_a: float | None
    dropout_most_v: float | None
    output_most_a: float | None
    switch_limit_a: float | None
    efficiency_fraction: float | None
    efficiency_min_fraction: float | None
    efficiency_max_fraction: float | None
    efficiency_condition: str
    quiescent_a: float | None
    """Drawn without load, typical. [A]"""
    quiescent_min_a: float | None
    quiescent_max_a: float | None
    quiescent_most_a: float | None
    shutdown_a: float | None
    shutdown_most_a: float | None
    basis: Basis
    source: str
    notes: str


@functools.cache
def load_regulators() -> tuple[Regulator, ...]:
    """Every regulator of the shipped table."""
    return read_records("regulators.csv", Regulator, columns=_COLUMNS)


def find_regulator(name: str) -> Regulator:
    """Find a regulator by its name, upper and lower case alike.

    Raises
    ------
    UnknownNameError
        If there is none; with the nearest names.

    Examples
    --------
    >>> find_regulator("LM2596-5.0").input_min_v
    7.0
    """
    return find_named(load_regulators(), name, kind="regulator", names=lambda each: (each.part,))
