"""Fuses with their opening gates, and resettable fuses.

A gate says how long a fuse lasts at a share of its rating: at the least, and at the most. A rating
for alternating voltage is none for direct voltage; ``rated_v_dc`` stays ``None`` where the sheet
prints none.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass

from packdesign.data.csv_reader import Row
from packdesign.data.record_reader import read_records
from packdesign.foundation.basis import Basis

__all__ = ["Fuse", "FuseGate", "ResettableFuse", "load_fuses", "load_resettable_fuses"]

_PERCENTS = (100, 110, 135, 150, 160, 200, 210, 250, 275, 300, 350, 400, 600, 800, 1000)
_PLAIN = (
    "series", "maker", "body", "speed", "rated_a", "rated_v_dc", "rated_v_ac",
    "breaking_capacity_a", "breaking_condition", "cold_resistance_milliohm", "melting_i2t_a2s",
    "drop_at_rated_mv", "basis", "source", "notes",
)  # fmt: skip
_GATES = tuple(
    f"gate_{percent}_percent_{end}_s" for percent in _PERCENTS for end in ("shortest", "longest")
)
_RESETTABLE = (
    "series", "maker", "body", "hold_a", "trip_a", "highest_v", "highest_a", "trip_test_a",
    "trip_time_longest_s", "resistance_least_milliohm", "resistance_most_milliohm",
    "resistance_after_trip_milliohm", "tripped_w", "basis", "source", "notes",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseGate:
    """How long a fuse lasts at one share of its rating."""

    rating_fraction: float
    """Current as a multiple of the rating: 1.35 for 135 %. [-]"""
    shortest_s: float | None
    """It opens no sooner. [s]"""
    longest_s: float | None
    """It opens no later; ``None`` where the gate is only one of carrying. [s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fuse:
    """One rating of one series."""

    series: str
    maker: str
    body: str
    speed: str
    rated_a: float
    rated_v_dc: float | None
    """Highest direct voltage that it can open. [V]"""
    rated_v_ac: float | None
    breaking_capacity_a: float | None
    """Largest current that it can open, under ``breaking_condition``. [A]"""
    breaking_condition: str
    cold_resistance_ohm: float | None
    melting_i2t_a2s: float | None
    """Nominal, until the element melts. [A² s]"""
    drop_at_rated_v: float | None
    basis: Basis
    source: str
    notes: str
    gates: tuple[FuseGate, ...]
    """Opening gates, lowest current first."""

    @property
    def name(self) -> str:
        """Series and rating."""
        return f"{self.series} {self.rated_a:g} A"


@dataclass(frozen=True, slots=True, kw_only=True)
class ResettableFuse:
    """A fuse that recovers once cool (PTC); figures near 20 to 23 degC in still air."""

    series: str
    maker: str
    body: str
    hold_a: float
    """Current that it carries for good. [A]"""
    trip_a: float
    """Current at which it trips for certain. [A]"""
    highest_v: float
    highest_a: float | None
    trip_test_a: float | None
    trip_time_longest_s: float | None
    """At ``trip_test_a``. [s]"""
    resistance_least_ohm: float | None
    resistance_most_ohm: float | None
    resistance_after_trip_ohm: float | None
    """Largest, one hour after a trip. [ohm]"""
    tripped_w: float | None
    """Heat while tripped. [W]"""
    basis: Basis
    source: str
    notes: str

    @property
    def name(self) -> str:
        """Series and hold current."""
        return f"{self.series} {self.hold_a:g} A"


@functools.cache
def load_fuses() -> tuple[Fuse, ...]:
    """Every fuse of the shipped table.

    Examples
    --------
    >>> fuse = next(each for each in load_fuses() if each.name == "ATO 257/287 10 A")
    >>> [gate.longest_s for gate in fuse.gates if gate.rating_fraction == 2.0]
    [5.0]
    """
    return read_records("fuses.csv", Fuse, columns=_PLAIN, more_columns=_GATES, made=_gates)


@functools.cache
def load_resettable_fuses() -> tuple[ResettableFuse, ...]:
    """Every resettable fuse of the shipped table."""
    return read_records("resettable_fuses.csv", ResettableFuse, columns=_RESETTABLE)


def _gates(row: Row) -> dict[str, object]:
    gates = []
    for percent in _PERCENTS:
        longest_column = f"gate_{percent}_percent_longest_s"
        shortest = row.number(f"gate_{percent}_percent_shortest_s", low=0)
        longest = row.number(longest_column, low=0)
        if shortest is not None and longest is not None and shortest > longest:
            problem = f"is {longest:g} s, below the shortest time ({shortest:g} s)"
            raise row.error(column=longest_column, problem=problem)
        if shortest is not None or longest is not None:
            gate = FuseGate(rating_fraction=percent / 100, shortest_s=shortest, longest_s=longest)
            gates.append(gate)
    return {"gates": tuple(gates)}
