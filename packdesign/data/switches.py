"""Relays, switches, transistors and diodes in the current path.

P-channel parts have negative voltages and currents, as their sheets print them.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass

from packdesign.data.record_reader import find_named, read_records
from packdesign.foundation.basis import Basis

__all__ = ["SwitchPart", "find_switch", "load_switches"]

_COLUMNS = (
    "part", "maker", "kind", "coil_v", "coil_ohm", "coil_w", "coil_min_w", "coil_max_w",
    "must_operate_v", "must_release_v", "highest_coil_v", "dc_rating_a", "dc_rating_v",
    "dc_inductive_a", "dc_inductive_v", "inrush_a", "contact_resistance_milliohm",
    "contact_resistance_most_milliohm", "blocking_v", "current_a", "gate_most_v",
    "on_resistance_at_10v_milliohm", "on_resistance_at_5v_milliohm",
    "on_resistance_at_4v5_milliohm", "on_resistance_at_2v5_milliohm",
    "on_resistance_at_1v8_milliohm", "threshold_min_v", "threshold_max_v",
    "junction_to_air_k_per_w", "junction_to_case_k_per_w", "forward_v", "forward_at_a", "basis",
    "source", "notes",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class SwitchPart:
    """One part."""

    part: str
    maker: str
    kind: str
    coil_v: float | None
    coil_ohm: float | None
    coil_w: float | None
    coil_min_w: float | None
    coil_max_w: float | None
    must_operate_v: float | None
    must_release_v: float | None
    highest_coil_v: float | None
    dc_rating_a: float | None
    dc_rating_v: float | None
    dc_inductive_a: float | None
    dc_inductive_v: float | None
    inrush_a: float | None
    contact_resistance_ohm: float | None
    contact_resistance_most_ohm: float | None
    blocking_v: float | None
    current_a: float | None
    """Continuous, of a transistor or diode. [A]"""
    gate_most_v: float | None
    on_resistance_at_10v_ohm: float | None
    on_resistance_at_5v_ohm: float | None
    on_resistance_at_4v5_ohm: float | None
    """At most, at a gate voltage of 4.5 V. [ohm]"""
    on_resistance_at_2v5_ohm: float | None
    on_resistance_at_1v8_ohm: float | None
    threshold_min_v: float | None
    threshold_max_v: float | None
    junction_to_air_k_per_w: float | None
    junction_to_case_k_per_w: float | None
    forward_v: float | None
    forward_at_a: float | None
    basis: Basis
    source: str
    notes: str


@functools.cache
def load_switches() -> tuple[SwitchPart, ...]:
    """Every part of the shipped table."""
    return read_records(
        "switches.csv", SwitchPart, columns=_COLUMNS, signed=("blocking_v", "current_a")
    )


def find_switch(name: str) -> SwitchPart:
    """Find a switching part by its name, upper and lower case alike.

    Raises
    ------
    UnknownNameError
        If there is none; with the nearest names.

    Examples
    --------
    >>> find_switch("AO3400A").gate_most_v
    12.0
    """
    return find_named(load_switches(), name, kind="switch", names=lambda each: (each.part,))
