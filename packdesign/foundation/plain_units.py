"""The units most briefs are written in, by their size in SI.

Loading pint costs a third of a second, as much as half of a shortlist; a brief in these units does
without. A test holds every line against pint, and whatever is not here goes to pint.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final

__all__ = ["PLAIN_UNITS", "plain_conversion"]

PLAIN_UNITS: Final[Mapping[str, tuple[str, float]]] = {
    "m": ("m", 1.0), "cm": ("m", 1e-2), "mm": ("m", 1e-3), "in": ("m", 0.0254),
    "inch": ("m", 0.0254), "mm**2": ("m**2", 1e-6), "m**2": ("m**2", 1.0),
    "V": ("V", 1.0), "mV": ("V", 1e-3),
    "A": ("A", 1.0), "mA": ("A", 1e-3), "uA": ("A", 1e-6),
    "W": ("W", 1.0), "mW": ("W", 1e-3),
    "ohm": ("ohm", 1.0), "mohm": ("ohm", 1e-3), "milliohm": ("ohm", 1e-3),
    "kohm": ("ohm", 1e3), "kiloohm": ("ohm", 1e3),
    "A*h": ("A*h", 1.0), "Ah": ("A*h", 1.0), "mAh": ("A*h", 1e-3), "mA*h": ("A*h", 1e-3),
    "W*h": ("W*h", 1.0), "Wh": ("W*h", 1.0),
    "F": ("F", 1.0), "uF": ("F", 1e-6), "H": ("H", 1.0), "mH": ("H", 1e-3), "uH": ("H", 1e-6),
    "s": ("s", 1.0), "ms": ("s", 1e-3), "min": ("s", 60.0), "minute": ("s", 60.0),
    "h": ("s", 3600.0), "hour": ("s", 3600.0), "day": ("s", 86400.0), "days": ("s", 86400.0),
    "g": ("kg", 1e-3), "kg": ("kg", 1.0),
    "N*m": ("N*m", 1.0), "mN*m": ("N*m", 1e-3),
    "kg*m**2": ("kg*m**2", 1.0), "g*cm**2": ("kg*m**2", 1e-7),
    "rpm": ("rad/s", math.tau / 60.0), "rad/s": ("rad/s", 1.0),
    "Hz": ("Hz", 1.0), "kHz": ("Hz", 1e3),
    "degC": ("degC", 1.0),
    "W/K": ("W/K", 1.0), "J/K": ("J/K", 1.0),
    "dimensionless": ("dimensionless", 1.0), "percent": ("dimensionless", 1e-2),
    "%": ("dimensionless", 1e-2),
}  # fmt: skip
"""Unit as written after spelling is settled: the unit it is a multiple of, and how many. By
definition of the SI, the inch and the minute; a temperature only as it stands."""


def plain_conversion(number: float, written_unit: str, *, unit: str) -> float | None:
    """Convert between two of these units.

    Parameters
    ----------
    number : float
        The number. [written_unit]
    written_unit, unit : str
        Unit it is in, and unit wanted.

    Returns
    -------
    float or None
        The number in ``unit``; None where either unit is not here or the two are of other kinds.

    Examples
    --------
    >>> plain_conversion(46.0, "mm", unit="m")
    0.046
    >>> plain_conversion(46.0, "mm", unit="V") is None
    True
    """
    if written_unit == unit and unit in PLAIN_UNITS:
        return number
    base, size = PLAIN_UNITS.get(written_unit, ("", 1.0))
    wanted, its_size = PLAIN_UNITS.get(unit, (None, 1.0))
    return number * (size / its_size) if base == wanted else None
