"""Whole numbers for the firmware: counts of the converter at each threshold, and the scale."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from packdesign.planning.gauge.adc import Adc
from packdesign.planning.gauge.divider import Divider
from packdesign.planning.gauge.thresholds import Threshold

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
    levels: Sequence[Threshold], *, divider: Divider, adc: Adc, error_v: float
) -> tuple[FirmwareThreshold, ...]:
    """Turn thresholds into counts.

    The lowest, the floor, is raised by the error of a reading, so that it never acts too late. The
    others lie above it and keep their own counts, pushed up only where the raised floor would reach
    them: errors of gain move all of them together and leave their order alone.

    Parameters
    ----------
    levels : sequence of Threshold
        From the highest to the lowest.
    divider : Divider
        The resistors.
    adc : Adc
        The input.
    error_v : float
        How far a reading near the floor may be off. [V]

    Returns
    -------
    tuple of FirmwareThreshold
        Counts and milliseconds, from the highest to the lowest.
    """
    made: list[FirmwareThreshold] = []
    for level in reversed(levels):
        exact = counts_at(pack_v=level.loaded_v, divider=divider, adc=adc)
        if made:
            counts = max(exact, made[-1].counts + 1)
        else:
            counts = counts_at(pack_v=level.loaded_v + error_v, divider=divider, adc=adc)
        release = None
        if level.release_v is not None:
            release = counts_at(pack_v=level.release_v, divider=divider, adc=adc)
            release = max(release, counts + 1)
        made.append(
            FirmwareThreshold(
                name=level.name,
                counts=counts,
                plain_counts=exact,
                release_counts=release,
                hold_ms=round(level.hold_s * _MILLI),
            )
        )
    return tuple(reversed(made))
