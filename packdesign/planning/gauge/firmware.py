"""Whole numbers for the firmware: counts of the converter at each threshold, and the scale."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from packdesign.planning.gauge.adc import Adc
from packdesign.planning.gauge.divider import Divider
from packdesign.planning.gauge.thresholds import Threshold, Thresholds

__all__ = ["FirmwareThreshold", "counts_at", "firmware_thresholds", "microvolt_per_count"]

_MICRO: Final = 1e6
_MILLI: Final = 1e3


@dataclass(frozen=True, slots=True, kw_only=True)
class FirmwareThreshold:
    """One threshold as the firmware compares it."""

    name: str
    counts: int
    """Act when the reading stays below this. [-]"""
    plain_counts: int
    """The same for a device that reads without error: not raised. [-]"""
    release_counts: int | None
    hold_ms: int
    acts_v: float
    """Pack voltage below which a device that reads true acts at these counts. [V]"""


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


def firmware_thresholds(
    plain: Thresholds, raised: Thresholds, *, divider: Divider, adc: Adc
) -> tuple[FirmwareThreshold, ...]:
    """Turn thresholds into counts, each by itself: their order is judged, not forced.

    Parameters
    ----------
    plain : Thresholds
        Those of a device that reads true.
    raised : Thresholds
        The same, raised by what a reading may be off.
    divider : Divider
        The resistors.
    adc : Adc
        The input.

    Returns
    -------
    tuple of FirmwareThreshold
        Counts and milliseconds, from the highest to the lowest.
    """
    per_count_v = adc.lsb_v / divider.ratio_fraction
    return tuple(
        _constant(true, level, per_count_v=per_count_v, divider=divider, adc=adc)
        for true, level in zip(plain.in_order, raised.in_order, strict=True)
    )


def _constant(
    plain: Threshold, raised: Threshold, *, per_count_v: float, divider: Divider, adc: Adc
) -> FirmwareThreshold:
    def counts(pack_v: float) -> int:
        return counts_at(pack_v=pack_v, divider=divider, adc=adc)

    return FirmwareThreshold(
        name=plain.name,
        counts=counts(raised.loaded_v),
        plain_counts=counts(plain.loaded_v),
        release_counts=None if raised.release_v is None else counts(raised.release_v),
        hold_ms=round(plain.hold_s * _MILLI),
        acts_v=counts(raised.loaded_v) * per_count_v,
    )
