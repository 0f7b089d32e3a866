"""What hangs on a rail: plain loads, lights, radios, each with its usual and its worst."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from packdesign.engineering.demand.rails import Draw
from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "BATTERY",
    "RailLoad",
    "light_strip",
    "light_watts",
    "pixel_lights",
    "radio",
]

BATTERY: Final = "battery"
"""Name of the rail that is the pack itself."""
PIXEL_FULL_WHITE_A: Final = 0.06
"""One addressable pixel, three colours at full (20 mA each; from memory of 5 V parts)."""
PIXEL_DARK_A: Final = 0.001
"""The same pixel when dark: its chip alone (from memory)."""
PIXEL_TYPICAL_SHARE: Final = 1 / 3
"""Mixed colours at usual brightness against full white (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RailLoad:
    """One load on one rail: what it asks for on average, and at its worst."""

    name: str
    rail: str = BATTERY
    """Rail that feeds it."""
    mean: Draw
    """Average over time."""
    peak: Draw
    """Largest at any instant."""
    lowest_v: float = 0.0
    """Least voltage it works at, on its own rail. [V]"""

    def __post_init__(self) -> None:
        for draw in (self.mean, self.peak):
            if draw.current_a < 0 or draw.power_w < 0:
                msg = f"{self.name}: a load asks for 0 or more; got {draw}"
                raise OutOfRangeError(msg)


def _checked_share(value: float, *, what: str) -> float:
    if not 0 <= value <= 1:
        msg = f"{what} is {value}; it must lie between 0 and 1"
        raise OutOfRangeError(msg)
    return value


def pixel_lights(
    *,
    name: str,
    pixels: int,
    rail: str,
    full_white_a: float = PIXEL_FULL_WHITE_A,
    dark_a: float = PIXEL_DARK_A,
    typical_fraction: float = PIXEL_TYPICAL_SHARE,
    on_fraction: float = 1.0,
) -> RailLoad:
    """Addressable pixels: usual brightness on average, all at full white at worst.

    Parameters
    ----------
    name : str
        What they are.
    pixels : int
        How many. [-]
    rail : str
        Rail that feeds them.
    full_white_a : float
        One pixel at full white. [A]
    dark_a : float
        One pixel when dark; it never goes lower. [A]
    typical_fraction : float
        Usual brightness against full white. [-]
    on_fraction : float
        Share of the time they shine. [-]

    Examples
    --------
    >>> strip = pixel_lights(name="ring", pixels=24, rail="5 V")
    >>> round(strip.peak.current_a, 2), round(strip.mean.current_a, 3)
    (1.44, 0.496)
    """
    lit = full_white_a - dark_a
    share = _checked_share(typical_fraction, what="typical_fraction")
    share *= _checked_share(on_fraction, what="on_fraction")
    return RailLoad(
        name=name,
        rail=rail,
        mean=Draw(current_a=pixels * (dark_a + share * lit)),
        peak=Draw(current_a=pixels * full_white_a),
    )


def light_watts(*, name: str, power_w: float, rail: str, on_fraction: float = 1.0) -> RailLoad:
    """Lamp known by its watts.

    Parameters
    ----------
    name : str
        What it is.
    power_w : float
        Power while on. [W]
    rail : str
        Rail that feeds it.
    on_fraction : float
        Share of the time it is on. [-]

    Examples
    --------
    >>> light_watts(name="lamp", power_w=2.5, rail="5 V", on_fraction=0.6).mean.power_w
    1.5
    """
    share = _checked_share(on_fraction, what="on_fraction")
    return RailLoad(
        name=name, rail=rail, mean=Draw(power_w=power_w * share), peak=Draw(power_w=power_w)
    )


def light_strip(
    *, name: str, power_w_per_m: float, length_m: float, rail: str, on_fraction: float = 1.0
) -> RailLoad:
    """Light strip known by its watts for each metre.

    Parameters
    ----------
    name : str
        What it is.
    power_w_per_m : float
        Power of one metre. [W/m]
    length_m : float
        Length. [m]
    rail : str
        Rail that feeds it.
    on_fraction : float
        Share of the time it is on. [-]

    Examples
    --------
    >>> light_strip(name="strip", power_w_per_m=9.6, length_m=0.5, rail="12 V").peak.power_w
    4.8
    """
    return light_watts(
        name=name, power_w=power_w_per_m * length_m, rail=rail, on_fraction=on_fraction
    )


def radio(
    *,
    name: str,
    rail: str,
    idle_a: float,
    burst_a: float,
    burst_s: float,
    period_s: float,
) -> RailLoad:
    """Radio that sends in bursts.

    Parameters
    ----------
    name : str
        What it is.
    rail : str
        Rail that feeds it.
    idle_a : float
        Current between bursts. [A]
    burst_a : float
        Current in a burst. [A]
    burst_s : float
        Length of a burst. [s]
    period_s : float
        From burst to burst. [s]

    Raises
    ------
    OutOfRangeError
        If a burst is longer than its period.

    Examples
    --------
    >>> radio(name="link", rail="3.3 V", idle_a=0.02, burst_a=0.42, burst_s=0.05,
    ...       period_s=1.0).mean.current_a
    0.04
    """
    if not 0 < burst_s <= period_s:
        msg = f"{name}: a burst of {burst_s} s must be above 0 and fit in its period, {period_s} s"
        raise OutOfRangeError(msg)
    mean_a = idle_a + (burst_a - idle_a) * burst_s / period_s
    return RailLoad(
        name=name,
        rail=rail,
        mean=Draw(current_a=mean_a),
        peak=Draw(current_a=max(burst_a, idle_a)),
    )
