"""Protection circuits and boards: thresholds, delays, resistance, balancing.

A ``_min`` and ``_max`` pair is what can be ordered or what the source prints as a range, not a
tolerance; the tolerance is plus and minus. A board is no fuse: its trip current is twice its
rating and more.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass

from packdesign.data.record_reader import find_named, read_records
from packdesign.foundation.basis import Basis

__all__ = ["Board", "find_board", "load_boards"]

_COLUMNS = (
    "part", "maker", "kind", "cells_in_series_min", "cells_in_series_max", "overcharge_v",
    "overcharge_min_v", "overcharge_max_v", "overcharge_tolerance_v", "overcharge_delay_s",
    "overcharge_release_v", "overcharge_release_min_v", "overcharge_release_max_v",
    "overcharge_release_tolerance_v", "overdischarge_v", "overdischarge_min_v",
    "overdischarge_max_v", "overdischarge_tolerance_v", "overdischarge_delay_s",
    "overdischarge_release_v", "overdischarge_release_min_v", "overdischarge_release_max_v",
    "overdischarge_release_tolerance_v", "overcurrent_mv", "overcurrent_min_mv",
    "overcurrent_max_mv", "overcurrent_tolerance_mv", "overcurrent_a", "overcurrent_min_a",
    "overcurrent_max_a", "overcurrent_delay_s", "second_overcurrent_mv",
    "second_overcurrent_min_mv", "second_overcurrent_max_mv", "second_overcurrent_tolerance_mv",
    "second_overcurrent_delay_s", "short_v", "short_min_v", "short_max_v", "short_tolerance_v",
    "short_delay_us", "charge_overcurrent_mv", "charge_overcurrent_min_mv",
    "charge_overcurrent_max_mv", "charge_overcurrent_tolerance_mv", "idle_ua", "idle_most_ua",
    "powerdown_ua", "powerdown_most_ua", "zero_volt_charge", "balance_start_v", "bleed_ma",
    "continuous_a", "continuous_min_a", "continuous_max_a", "resistance_milliohm",
    "resistance_most_milliohm", "basis", "source", "notes",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """One protection circuit or board."""

    part: str
    maker: str
    kind: str
    cells_in_series_min: int | None
    cells_in_series_max: int | None
    overcharge_v: float | None
    overcharge_min_v: float | None
    overcharge_max_v: float | None
    overcharge_tolerance_v: float | None
    overcharge_delay_s: float | None
    overcharge_release_v: float | None
    overcharge_release_min_v: float | None
    overcharge_release_max_v: float | None
    overcharge_release_tolerance_v: float | None
    overdischarge_v: float | None
    overdischarge_min_v: float | None
    overdischarge_max_v: float | None
    overdischarge_tolerance_v: float | None
    overdischarge_delay_s: float | None
    overdischarge_release_v: float | None
    overdischarge_release_min_v: float | None
    overdischarge_release_max_v: float | None
    overdischarge_release_tolerance_v: float | None
    overcurrent_v: float | None
    """Across the sense element: two transistors, or a resistor. [V]"""
    overcurrent_min_v: float | None
    overcurrent_max_v: float | None
    overcurrent_tolerance_v: float | None
    overcurrent_a: float | None
    overcurrent_min_a: float | None
    overcurrent_max_a: float | None
    overcurrent_delay_s: float | None
    second_overcurrent_v: float | None
    second_overcurrent_min_v: float | None
    second_overcurrent_max_v: float | None
    second_overcurrent_tolerance_v: float | None
    second_overcurrent_delay_s: float | None
    short_v: float | None
    short_min_v: float | None
    short_max_v: float | None
    short_tolerance_v: float | None
    short_delay_s: float | None
    charge_overcurrent_v: float | None
    charge_overcurrent_min_v: float | None
    charge_overcurrent_max_v: float | None
    charge_overcurrent_tolerance_v: float | None
    idle_a: float | None
    idle_most_a: float | None
    powerdown_a: float | None
    """Drawn once cut off. [A]"""
    powerdown_most_a: float | None
    zero_volt_charge: str
    balance_start_v: float | None
    bleed_a: float | None
    """Balancing current. [A]"""
    continuous_a: float | None
    continuous_min_a: float | None
    continuous_max_a: float | None
    resistance_ohm: float | None
    """In the current path. [ohm]"""
    resistance_most_ohm: float | None
    basis: Basis
    source: str
    notes: str


@functools.cache
def load_boards() -> tuple[Board, ...]:
    """Every row of the shipped table."""
    return read_records(
        "boards.csv",
        Board,
        columns=_COLUMNS,
        signed=("charge_overcurrent_mv", "charge_overcurrent_min_mv", "charge_overcurrent_max_mv"),
    )


def find_board(name: str) -> Board:
    """Find a board or circuit by its name, upper and lower case alike.

    Raises
    ------
    UnknownNameError
        If there is none; with the nearest names.

    Examples
    --------
    >>> find_board("HX-2S-D20").continuous_a
    13.0
    """
    return find_named(
        load_boards(),
        name,
        kind="board",
        names=lambda each: (each.part, f"{each.maker} {each.part}"),
    )
