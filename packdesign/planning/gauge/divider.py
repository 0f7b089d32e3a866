"""The two resistors between the pack and the controller's pin."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.gauge.adc import Adc
from packdesign.planning.gauge.preferred import preferred_ohm

__all__ = ["Divider", "choose_divider"]

_HOURS_PER_DAY: Final = 24.0
_MILLI: Final = 1000.0
_WORTH_GIVING_FRACTION: Final = 0.05
"""Share of the input range given up for a smaller drain; chosen here. [-]"""
_LEAST_RANGE_FRACTION: Final = 0.5
"""Least share of the input range that a pair must use to count as one; chosen here. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Divider:
    """Two resistors in series across the pack, the pin between them."""

    r_top_ohm: float
    r_bottom_ohm: float
    tolerance_fraction: float = 0.01
    """Tolerance of each resistor. [-]"""

    def __post_init__(self) -> None:
        if self.r_top_ohm < 0 or self.r_bottom_ohm <= 0:
            msg = (
                "a divider needs 0 ohm or more above the pin and more than 0 ohm below it; got "
                f"{self.r_top_ohm} and {self.r_bottom_ohm}"
            )
            raise OutOfRangeError(msg)

    @property
    def ratio_fraction(self) -> float:
        """Voltage at the pin over the voltage of the pack. [-]"""
        return self.r_bottom_ohm / (self.r_top_ohm + self.r_bottom_ohm)

    @property
    def source_ohm(self) -> float:
        """Impedance that the pin sees. [ohm]"""
        return self.r_top_ohm * self.ratio_fraction

    def pin_v(self, *, pack_v: float) -> float:
        """Voltage at the pin. [V]

        Parameters
        ----------
        pack_v : float
            Voltage of the pack. [V]
        """
        return pack_v * self.ratio_fraction

    def highest_pin_v(self, *, pack_v: float) -> float:
        """Voltage at the pin with both resistors off to the unfavourable side. [V]

        Parameters
        ----------
        pack_v : float
            Voltage of the pack. [V]
        """
        low = self.r_top_ohm * (1 - self.tolerance_fraction)
        high = self.r_bottom_ohm * (1 + self.tolerance_fraction)
        return pack_v * high / (low + high)

    def drain_a(self, *, pack_v: float) -> float:
        """Current that the divider draws without pause. [A]

        Parameters
        ----------
        pack_v : float
            Voltage of the pack. [V]
        """
        return pack_v / (self.r_top_ohm + self.r_bottom_ohm)

    def drain_mah_per_day(self, *, pack_v: float) -> float:
        """Charge that the divider takes out of the pack each day. [mA h]

        Parameters
        ----------
        pack_v : float
            Voltage of the pack. [V]
        """
        return self.drain_a(pack_v=pack_v) * _HOURS_PER_DAY * _MILLI


def choose_divider(
    *,
    highest_v: float,
    adc: Adc,
    series: str = "E24",
    tolerance_fraction: float = 0.01,
    most_drain_a: float = math.inf,
) -> Divider:
    """Choose two resistors that can be bought: the range used well, the drain kept small.

    Of all pairs that keep the pin within the input at ``highest_v`` (both resistors off to the bad
    side) and the source impedance within the limit, those that use the range to within 5 % of the
    best are kept; of these the pair with the smallest drain is given.

    Parameters
    ----------
    highest_v : float
        Highest voltage that has to read true. [V]
    adc : Adc
        The input.
    series : str
        "E24" or "E96".
    tolerance_fraction : float
        Tolerance of each resistor. [-]
    most_drain_a : float
        Largest current that the divider may draw without pause. [A]

    Returns
    -------
    Divider
        The pair.

    Raises
    ------
    OutOfRangeError
        If no pair meets all conditions.
    """
    values = preferred_ohm(series)
    top, bottom = values[:, None], values[None, :]
    ratio = bottom / (top + bottom)
    worst_top, worst_bottom = top * (1 - tolerance_fraction), bottom * (1 + tolerance_fraction)
    worst_ratio = worst_bottom / (worst_top + worst_bottom)
    fits = (highest_v * worst_ratio <= adc.input_max_v) & (top * ratio <= adc.max_source_ohm)
    fits &= highest_v / (top + bottom) <= most_drain_a
    fits &= ratio >= _LEAST_RANGE_FRACTION * min(1.0, adc.input_max_v / highest_v)
    if not bool(np.any(fits)):
        msg = (
            f"no pair of {series} resistors brings {highest_v:.4g} V down to {adc.input_max_v:.4g} "
            f"V with a source of {adc.max_source_ohm:.4g} ohm or less and a drain of "
            f"{most_drain_a:.4g} A or less; buffer the divider, or switch it off between readings"
        )
        raise OutOfRangeError(msg)
    best = float(np.max(np.where(fits, ratio, 0.0)))
    kept = fits & (ratio >= (1 - _WORTH_GIVING_FRACTION) * best)
    flat = int(np.argmax(np.where(kept, top + bottom, 0.0)))
    row, column = np.unravel_index(flat, kept.shape)
    return Divider(
        r_top_ohm=float(values[row]),
        r_bottom_ohm=float(values[column]),
        tolerance_fraction=tolerance_fraction,
    )
