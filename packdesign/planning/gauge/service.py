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
from packdesign.planning.gauge.pack import GaugePack
from packdesign.planning.gauge.raised import raised_thresholds
from packdesign.planning.gauge.thresholds import Thresholds, thresholds

__all__ = [
    "OVER_FULL_FRACTION",
    "Gauge",
    "drain_days",
    "gauge",
    "gauge_as_json",
]

OVER_FULL_FRACTION: Final = 0.05
"""Room above the full pack that still reads true, for chargers and braking; chosen here. [-]"""

_DRAIN_SHARE_FRACTION: Final = 0.05
_MILLI_PER_UNIT: Final = 1000.0
_ROUNDING: Final = 1e-9
"""A hair below a whole count is that count: rounding of the arithmetic. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauge:
    """Everything that the firmware and the builder need to read the pack."""

    pack: GaugePack
    adc: Adc
    divider: Divider
    thresholds: Thresholds
    """Those of a device that reads true."""
    acting: Thresholds
    """The same as the firmware is given them, raised by what a reading may be off."""
    error: ErrorBudget
    """At the full pack, where it is largest."""
    firmware: tuple[FirmwareThreshold, ...]
    microvolt_per_count: int
    most_drain_a: float = math.inf
    """What the builder lets the divider draw; no pair may meet it. [A]"""
    calibrated_fraction: float | None = None
    """What is left of the gain error where each device is calibrated. [-]"""

    def read_v(self, *, pack_v: float, lowest: bool = False) -> float:
        """What a device makes of a pack voltage, in whole counts. [V]

        Parameters
        ----------
        pack_v : float
            Voltage of the pack; below 0 it reads 0. [V]
        lowest : bool
            Whether it is the device that reads lowest, and not one that reads true.
        """
        if lowest:
            error = error_budget(
                divider=self.divider,
                adc=self.adc,
                pack_v=pack_v,
                calibrated_fraction=self.calibrated_fraction,
            )
            pack_v -= error.worst_v
        per_count_v = self.adc.lsb_v / self.divider.ratio_fraction
        counts = math.floor(pack_v / per_count_v + _ROUNDING)
        return min(max(counts, 0), self.adc.steps) * per_count_v


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
    acting = raised_thresholds(pack, found, high_v=at_floor.worst_v, error_v=error.converter_v)
    return Gauge(
        pack=pack,
        adc=adc,
        divider=divider,
        thresholds=found,
        error=error,
        acting=acting,
        calibrated_fraction=calibrated_fraction,
        firmware=firmware_thresholds(found, acting, divider=divider, adc=adc),
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
                "acts_v": constant.acts_v,
            }
            for level, constant in zip(levels.in_order, found.firmware, strict=True)
        ],
        "basis": Basis.ASSUMED.value,
        "source": "own design of the thresholds; 3.3 and 3.0 V per cell are common practice, no "
        "source",
    }
