"""The gauge in one call: thresholds, divider, errors, drain and firmware constants together."""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass
from typing import Any, Final

from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.gauge.adc import Adc
from packdesign.planning.gauge.divider import Divider, choose_divider
from packdesign.planning.gauge.error_budget import ErrorBudget, error_budget
from packdesign.planning.gauge.firmware import (
    FirmwareThreshold,
    firmware_thresholds,
    microvolt_per_count,
)
from packdesign.planning.gauge.thresholds import GaugePack, Thresholds, thresholds

__all__ = [
    "OVER_FULL_FRACTION",
    "Gauge",
    "drain_days",
    "gauge",
    "gauge_as_json",
    "gauge_notes",
    "raised_words",
    "unseen_words",
]

OVER_FULL_FRACTION: Final = 0.05
"""Room above the full pack that still reads true, for chargers and braking; chosen here. [-]"""

_DRAIN_SHARE_FRACTION: Final = 0.05
_PERCENT: Final = 100.0
_SEEN_V: Final = 0.005
"""Difference between two voltages that shows in print. [V]"""
_MILLI_PER_UNIT: Final = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauge:
    """Everything that the firmware and the builder need to read the pack."""

    pack: GaugePack
    adc: Adc
    divider: Divider
    thresholds: Thresholds
    error: ErrorBudget
    """At the full pack, where it is largest."""
    firmware: tuple[FirmwareThreshold, ...]
    microvolt_per_count: int
    most_drain_a: float = math.inf
    """What the builder lets the divider draw; no pair may meet it. [A]"""


def gauge(
    pack: GaugePack,
    *,
    adc: Adc,
    divider: Divider | None = None,
    series: str = "E24",
    tolerance_fraction: float = 0.01,
    most_drain_a: float = math.inf,
    calibrated_fraction: float | None = None,
) -> Gauge:
    """Work out the gauge.

    Parameters
    ----------
    pack : GaugePack
        Cell, rail and sag.
    adc : Adc
        The controller's input.
    divider : Divider, optional
        The resistors, where they exist already. Left out: chosen.
    series : str
        Resistor series to choose from: "E24" or "E96".
    tolerance_fraction : float
        Tolerance of each resistor that is chosen. [-]
    most_drain_a : float
        Largest current that the divider should draw without pause; where no pair draws so little,
        one is chosen without regard to it, and a verdict says so. [A]
    calibrated_fraction : float, optional
        What is left of the gain error if each device is calibrated once. [-]

    Returns
    -------
    Gauge
        The gauge.
    """
    full_v = pack.series * pack.cell_full_v
    if divider is None:
        choose = functools.partial(
            choose_divider,
            highest_v=full_v * (1 + OVER_FULL_FRACTION),
            adc=adc,
            series=series,
            tolerance_fraction=tolerance_fraction,
        )
        try:
            divider = choose(most_drain_a=most_drain_a)
        except OutOfRangeError:
            divider = choose()
    error = error_budget(
        divider=divider, adc=adc, pack_v=full_v, calibrated_fraction=calibrated_fraction
    )
    found = thresholds(pack, error_v=error.converter_v)
    at_floor = error_budget(
        divider=divider,
        adc=adc,
        pack_v=found.hard_cut.loaded_v,
        calibrated_fraction=calibrated_fraction,
    )
    constants = firmware_thresholds(
        found.in_order, divider=divider, adc=adc, error_v=at_floor.worst_v
    )
    return Gauge(
        pack=pack,
        adc=adc,
        divider=divider,
        thresholds=found,
        error=error,
        firmware=constants,
        microvolt_per_count=microvolt_per_count(divider=divider, adc=adc),
        most_drain_a=most_drain_a,
    )


def drain_days(found: Gauge, *, capacity_ah: float) -> float:
    """Days in which the divider alone takes 5 % of the pack. [days]

    Parameters
    ----------
    found : Gauge
        The gauge.
    capacity_ah : float
        Capacity of the pack. [A h]
    """
    per_day_mah = found.divider.drain_mah_per_day(pack_v=found.thresholds.full_v)
    return _DRAIN_SHARE_FRACTION * capacity_ah * _MILLI_PER_UNIT / per_day_mah


def raised_words(found: Gauge) -> str:
    """Say which counts are raised by the error of a reading, and what they would be without it.

    Parameters
    ----------
    found : Gauge
        The gauge.

    Returns
    -------
    str
        One or two sentences; empty where no count is raised.
    """
    raised = [each for each in found.firmware if each.counts > each.plain_counts]
    if not raised:
        return ""
    names = ", ".join(
        f"{each.name.replace('_', ' ')} ({each.plain_counts} without)" for each in raised
    )
    return (
        "Counts raised by what a reading may be off, so that a device that reads high still acts "
        f"in time: {names}. They act above the volts beside them; calibrate each device and the "
        "plain counts will do."
    )


def unseen_words(found: Gauge) -> str:
    """Say why the hard cut stands above the cells' cut-off where only the sum of groups is seen.

    Parameters
    ----------
    found : Gauge
        The gauge.

    Returns
    -------
    str
        One sentence; empty where that lifts nothing.
    """
    pack = found.pack
    plain_v = max(pack.series * pack.cell_cutoff_v, pack.rail_minimum_v)
    if pack.floor_v - plain_v < _SEEN_V:
        return ""
    percent = _PERCENT * pack.behind_fraction
    return (
        f"Nothing watches each group, so the floor is {pack.floor_v:.2f} V and not {plain_v:.2f} "
        f"V: a group that is {percent:.1f} % behind the others, as in one batch balanced when "
        "full, is at its cut-off there already."
    )


def gauge_notes(found: Gauge) -> tuple[str, ...]:
    """Give what is to be said beside the thresholds, nothing where all is plain.

    Parameters
    ----------
    found : Gauge
        The gauge.
    """
    return tuple(words for words in (unseen_words(found), raised_words(found)) if words)


def gauge_as_json(found: Gauge) -> dict[str, Any]:
    """Give the gauge as plain values, with the keys of the machine contract first.

    Parameters
    ----------
    found : Gauge
        The gauge.

    Returns
    -------
    dict
        Numbers, strings and lists only.
    """
    levels, divider, error = found.thresholds, found.divider, found.error
    return {
        "full_v": levels.full_v,
        "warn_v": levels.warn.loaded_v,
        "limit_v": levels.limit.loaded_v,
        "stop_v": levels.stop.loaded_v,
        "hard_cut_v": levels.hard_cut.loaded_v,
        "r_top_ohm": divider.r_top_ohm,
        "r_bottom_ohm": divider.r_bottom_ohm,
        "controller": found.adc.name,
        "count_unit": "millivolt at the pin" if found.adc.reads_millivolt else "converter count",
        "source_ohm": divider.source_ohm,
        "pin_full_v": divider.pin_v(pack_v=levels.full_v),
        "drain_a": divider.drain_a(pack_v=levels.full_v),
        "drain_mah_per_day": divider.drain_mah_per_day(pack_v=levels.full_v),
        "lsb_v": error.lsb_v,
        "error_worst_v": error.worst_v,
        "error_rss_v": error.rss_v,
        "microvolt_per_count": found.microvolt_per_count,
        "thresholds": [
            {
                "name": level.name,
                "loaded_v": level.loaded_v,
                "resting_v": level.resting_v,
                "soc_fraction": level.soc_fraction,
                "release_v": level.release_v,
                "hold_ms": constant.hold_ms,
                "counts": constant.counts,
                "plain_counts": constant.plain_counts,
                "release_counts": constant.release_counts,
            }
            for level, constant in zip(levels.in_order, found.firmware, strict=True)
        ],
        "basis": Basis.ASSUMED.value,
        "source": "own design of the thresholds; 3.3 and 3.0 V per cell are common practice, no "
        "source",
    }
