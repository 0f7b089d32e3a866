"""How resistance grows as capacity is lost, and what a colder day then does to a pack.

For a motor the resistance limit usually bites before the capacity limit.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from scipy.optimize import brentq

from packdesign.data.cells import Family
from packdesign.foundation.basis import Band
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["GROWTH_SOURCE", "coldest_burst", "resistance_from_capacity"]

_GROWTH: Final[dict[Family, Band]] = {
    Family.NMC: Band(1.7, 2.1, 3.0),
    Family.LFP: Band(0.5, 1.0, 1.4),
}
# Gain of resistance over loss of capacity, both as shares of new. NMC111 18650 (Schmalstieg 2014):
# 2.1 and 2.0 at 25 degC, 1.7 at 40 degC full, 3.0 in daily cycles. LFP 26650: 1.0, 0.55 and 1.4 at
# the same rests, 0.84 in daily cycles. Five-year runs of blast-lite 1.1.1, 2026-11-25.
GROWTH_SOURCE: Final = (
    "resistance against capacity in five-year runs of published NMC111 18650 and LFP 26650 models; "
    "NCA and LCO are given the figure of NMC (assumed); no figure for power cells under tool load "
    "was found"
)


def resistance_from_capacity(family: Family, capacity_fraction: Band) -> Band | None:
    """Estimate how far resistance has grown from how much capacity is left.

    Parameters
    ----------
    family : Family
        Chemistry family.
    capacity_fraction : Band
        Capacity over that of the new cell. [-]

    Returns
    -------
    Band or None
        Resistance over that of the new cell; None for LTO, LMO and Na-ion. [-]

    Notes
    -----
    A straight line through published five-year runs; see ``GROWTH_SOURCE``.

    Examples
    --------
    >>> resistance_from_capacity(Family.NMC, Band.exact(0.8))
    Band(low=1.34, mid=1.42, high=1.6)
    """
    like = Family.NMC if family in {Family.NCA, Family.LCO} else family
    growth = _GROWTH.get(like)
    if growth is None:
        return None
    return Band(
        round(1 + growth.low * (1 - capacity_fraction.high), 6),
        round(1 + growth.mid * (1 - capacity_fraction.mid), 6),
        round(1 + growth.high * (1 - capacity_fraction.low), 6),
    )


def coldest_burst(
    lowest_v_at: Callable[[float], float],
    *,
    needed_v: float,
    coldest_degc: float = -20.0,
    warmest_degc: float = 40.0,
) -> float | None:
    """Find the cell temperature below which a burst pulls the rail under what it needs. [degC]

    Parameters
    ----------
    lowest_v_at : callable
        Lowest terminal voltage in the burst [V] at a cell temperature [degC], with the aged
        resistance already in it.
    needed_v : float
        Voltage that the device needs. [V]
    coldest_degc, warmest_degc : float
        Where to look. [degC]

    Returns
    -------
    float or None
        Temperature; None if it works even at the coldest. [degC]

    Raises
    ------
    OutOfRangeError
        If the burst fails even at the warmest.

    Notes
    -----
    A root of the voltage over temperature by Brent's method; voltage must rise with temperature.

    Examples
    --------
    A pack that gives 9 V at 0 degC and 0.05 V more per kelvin, for a device that needs 9.4 V:

    >>> round(coldest_burst(lambda degc: 9.0 + 0.05 * degc, needed_v=9.4), 3)
    8.0
    """
    if lowest_v_at(coldest_degc) >= needed_v:
        return None
    if lowest_v_at(warmest_degc) < needed_v:
        msg = (
            f"the burst falls below {needed_v:g} V even at {warmest_degc:g} degC; the pack is too "
            "weak at any temperature"
        )
        raise OutOfRangeError(msg)
    return float(
        brentq(lambda degc: lowest_v_at(degc) - needed_v, coldest_degc, warmest_degc, xtol=1e-3)
    )
