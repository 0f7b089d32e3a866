"""Published closed forms for ageing at rest: time, temperature, state of charge.

Each holds for the one cell it was fitted to. Which family uses which, and how far it is trusted, is
in :mod:`packdesign.engineering.ageing.calendar`.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from packdesign.foundation.constants import ZERO_CELSIUS_K
from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "LONGEST_DAYS",
    "capacity_nca_keil",
    "capacity_nmc_schmalstieg",
    "open_circuit_nmc_schmalstieg",
    "resistance_nmc_schmalstieg",
]

LONGEST_DAYS: Final = 15 * 365.25
"""Beyond this no estimate is given; the data behind the laws span one to three years."""
_LEAST_DEGC: Final = 0.0
_MOST_DEGC: Final = 50.0
_SOC_POINTS: Final = (0.20, 0.50, 1.00)
_VOLTS_AT_POINTS: Final = (3.5812, 3.6974, 4.1620)
# open-circuit voltages of the UR18650E that go with the law, as the reference runs use them


def open_circuit_nmc_schmalstieg(*, soc: float) -> float:
    """Open-circuit voltage of the cell of the NMC law, between its three known points. [V]

    Parameters
    ----------
    soc : float
        State of charge; below 0.20 the voltage at 0.20 is taken. [-]

    Notes
    -----
    Straight lines between 3.5812, 3.6974 and 4.1620 V at 20, 50 and 100 %.

    Examples
    --------
    >>> open_circuit_nmc_schmalstieg(soc=0.5)
    3.6974
    """
    return float(np.interp(soc, _SOC_POINTS, _VOLTS_AT_POINTS))


def _checked(temperature_degc: float, days: float) -> tuple[float, float]:
    """Give kelvin and days, or refuse what lies beyond all data."""
    if not _LEAST_DEGC <= temperature_degc <= _MOST_DEGC:
        msg = (
            f"the storage temperature is {temperature_degc} degC; the published laws are used from "
            f"{_LEAST_DEGC:g} to {_MOST_DEGC:g} degC only"
        )
        raise OutOfRangeError(msg)
    if not 0 <= days <= LONGEST_DAYS:
        msg = f"the time is {days} days; 0 to {LONGEST_DAYS:.0f} days can be estimated"
        raise OutOfRangeError(msg)
    return temperature_degc + ZERO_CELSIUS_K, days


def capacity_nmc_schmalstieg(
    *, temperature_degc: float, open_circuit_v: float, days: float
) -> float:
    r"""Capacity left after rest, NMC111 18650 cell (Sanyo UR18650E). [-]

    Parameters
    ----------
    temperature_degc : float
        Cell temperature. [degC]
    open_circuit_v : float
        Rested voltage of the cell. [V]
    days : float
        Time at rest. [day]

    Returns
    -------
    float
        Capacity over that of the new cell, 0 to 1. [-]

    Raises
    ------
    OutOfRangeError
        Below 0 or above 50 degC, or beyond 15 years.

    Notes
    -----
    .. math:: q = 1 - (7.543 V - 23.75) \cdot 10^6 \, e^{-6976/T} \, t^{0.75}

    The cell was tested from 20 to 40 degC. At 50 degC and full it falls to nearly nothing in five
    years, which is outside its data.

    Examples
    --------
    25 degC, 50 %, 1825 days; the reference run of the same law gives 0.92027:

    >>> round(capacity_nmc_schmalstieg(temperature_degc=25, open_circuit_v=3.6974, days=1825), 4)
    0.9203

    References
    ----------
    .. [1] J. Schmalstieg, S. Käbitz, M. Ecker, D. U. Sauer, J. Power Sources 257 (2014) 325,
       doi:10.1016/j.jpowsour.2014.02.012
    """
    kelvin, days = _checked(temperature_degc, days)
    factor = max(0.0, 7.543 * open_circuit_v - 23.75) * 1e6
    loss = factor * math.exp(-6976.0 / kelvin) * math.pow(days, 0.75)
    return min(1.0, max(0.0, 1.0 - loss))


def resistance_nmc_schmalstieg(
    *, temperature_degc: float, open_circuit_v: float, days: float
) -> float:
    r"""Resistance after rest relative to new, NMC111 18650 cell (Sanyo UR18650E). [-]

    Parameters
    ----------
    temperature_degc : float
        Cell temperature. [degC]
    open_circuit_v : float
        Rested voltage of the cell. [V]
    days : float
        Time at rest. [day]

    Returns
    -------
    float
        Resistance over that of the new cell. [-]

    Raises
    ------
    OutOfRangeError
        Below 0 or above 50 degC, or beyond 15 years.

    Notes
    -----
    .. math:: r = 1 + (5.270 V - 16.32) \cdot 10^5 \, e^{-5986/T} \, t^{0.75}

    Examples
    --------
    25 degC, 50 %, 1825 days; the reference run of the same law gives 1.16872:

    >>> round(resistance_nmc_schmalstieg(temperature_degc=25, open_circuit_v=3.6974, days=1825), 3)
    1.169

    References
    ----------
    .. [1] J. Schmalstieg, S. Käbitz, M. Ecker, D. U. Sauer, J. Power Sources 257 (2014) 325,
       doi:10.1016/j.jpowsour.2014.02.012
    """
    kelvin, days = _checked(temperature_degc, days)
    factor = max(0.0, 5.270 * open_circuit_v - 16.32) * 1e5
    return 1.0 + factor * math.exp(-5986.0 / kelvin) * math.pow(days, 0.75)


def capacity_nca_keil(*, temperature_degc: float, soc: float, days: float) -> float:
    r"""Capacity left after rest, NCA 18650 cell (Panasonic NCR18650B). [-]

    Parameters
    ----------
    temperature_degc : float
        Cell temperature. [degC]
    soc : float
        State of charge, 0 to 1. [-]
    days : float
        Time at rest. [day]

    Returns
    -------
    float
        Capacity over that of the new cell, 0 to 1. [-]

    Raises
    ------
    OutOfRangeError
        Below 0 or above 50 degC, beyond 15 years, or a charge outside 0 to 1.

    Notes
    -----
    .. math:: q = 1 - 75.4 \, e^{-3340/T} \, e^{353 s/T} \, t^{0.512}

    A fit to the data of [1]_, tested from 15 to 35 degC. The data themselves step with the state
    of charge in plateaus of 20 to 30 %; the fit is smooth.

    Examples
    --------
    25 degC, 50 %, 1825 days; the reference run of the same law gives 0.91304:

    >>> round(capacity_nca_keil(temperature_degc=25, soc=0.5, days=1825), 4)
    0.9131

    References
    ----------
    .. [1] P. Keil et al., J. Electrochem. Soc. 163 (2016) A1872
    """
    kelvin, days = _checked(temperature_degc, days)
    if not 0 <= soc <= 1:
        msg = f"the state of charge is {soc}; it must lie from 0 to 1"
        raise OutOfRangeError(msg)
    pace = 75.4 * math.exp(-3340.0 / kelvin) * math.exp(353.0 * soc / kelvin)
    loss = pace * math.pow(days, 0.512)
    return min(1.0, max(0.0, 1.0 - loss))
