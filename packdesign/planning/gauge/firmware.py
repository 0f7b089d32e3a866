"""Whole numbers for the firmware: counts of the converter at each threshold, and the scale."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from packdesign.planning.gauge.adc import Adc
from packdesign.planning.gauge.divider import Divider
from packdesign.planning.gauge.thresholds import Threshold

__all__ = ["FirmwareThreshold", "counts_at", "firmware_threshold", "microvolt_per_count"]

_MICRO: Final = 1e6
_MILLI: Final = 1e3


@dataclass(frozen=True, slots=True, kw_only=True)
class FirmwareThreshold:
    """One threshold as the firmware compares it."""

    name: str
    counts: int
    """Act when the reading stays below this. [-]"""
    release_counts: int | None
    hold_ms: int


def counts_at(*, pack_v: float, divider: Divider, adc: Adc) -> int:
    """Reading at a pack voltage, rounded up and kept within the converter. [-]

    Parameters
    ----------
    pack_v : float
        Voltage of the pack. [V]
    divider : Divider
        The resistors.
    adc : Adc
        The input.
    """
    exact = divider.pin_v(pack_v=pack_v) / adc.lsb_v
    # A hair below a whole number is that number: 1e-9 of a count is rounding of the arithmetic.
    return min(adc.steps, max(0, math.ceil(exact - 1e-9)))


def microvolt_per_count(*, divider: Divider, adc: Adc) -> int:
    """Pack microvolts per count: multiply a reading by this in 32 bits and divide by 1000. [uV]

    Parameters
    ----------
    divider : Divider
        The resistors.
    adc : Adc
        The input.
    """
    return round(adc.lsb_v / divider.ratio_fraction * _MICRO)


def firmware_threshold(
    threshold: Threshold, *, divider: Divider, adc: Adc, error_v: float
) -> FirmwareThreshold:
    """Turn a threshold into counts, raised by the reading error so that it never acts too late.

    Parameters
    ----------
    threshold : Threshold
        The true voltages.
    divider : Divider
        The resistors.
    adc : Adc
        The input.
    error_v : float
        How far a reading may be off. [V]

    Returns
    -------
    FirmwareThreshold
        Counts and milliseconds.
    """
    release = threshold.release_v
    return FirmwareThreshold(
        name=threshold.name,
        counts=counts_at(pack_v=threshold.loaded_v + error_v, divider=divider, adc=adc),
        release_counts=None
        if release is None
        else counts_at(pack_v=release + error_v, divider=divider, adc=adc),
        hold_ms=round(threshold.hold_s * _MILLI),
    )
