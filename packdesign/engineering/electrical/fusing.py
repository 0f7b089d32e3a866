"""The current at which a wire melts: Preece for good, Onderdonk within a time."""

from __future__ import annotations

import math
from typing import Final

from packdesign.foundation.errors import OutOfRangeError, UnknownNameError

__all__ = [
    "PREECE_A_PER_IN_1_5",
    "current_melting_wire_onderdonk",
    "current_melting_wire_preece",
    "time_melting_wire_onderdonk",
]

PREECE_A_PER_IN_1_5: Final = {
    "copper": 10244.0,
    "aluminium": 7585.0,
    "iron": 3148.0,
    "tin": 1642.0,
    "lead": 1379.0,
}
"""Preece's constants, nessengr.com/techdata/fuse. [A / inch^1.5]"""

_INCH_M: Final = 0.0254
_CIRCULAR_MIL_M2: Final = math.pi / 4 * (_INCH_M / 1000) ** 2
_COPPER_MELTS_DEGC: Final = 1083.0
_COPPER_ZERO_DEGC: Final = 234.0
_ONDERDONK: Final = 33.0
_LONGEST_ADIABATIC_S: Final = 10.0


def current_melting_wire_preece(*, diameter_m: float, metal: str = "copper") -> float:
    r"""Current that melts a bare wire in free air sooner or later. [A]

    Parameters
    ----------
    diameter_m : float
        Of the metal, above zero. [m]
    metal : str
        One of `PREECE_A_PER_IN_1_5`.

    Returns
    -------
    float
        Melting current. [A]

    Raises
    ------
    OutOfRangeError
        If the diameter is not above zero.
    UnknownNameError
        If the metal is unknown.

    Notes
    -----
    :math:`I = a\,d^{1.5}` (W. H. Preece, 1884), for long wires hung in still air. Insulation, a
    bundle or a closed cavity melt much sooner; this is no current to use a wire at.

    Examples
    --------
    16 AWG is 0.05082 inch and melts near 117 A:

    >>> round(current_melting_wire_preece(diameter_m=0.05082 * 0.0254), 1)
    117.4
    """
    if diameter_m <= 0:
        msg = f"diameter_m is {diameter_m}; a wire has one above 0"
        raise OutOfRangeError(msg)
    try:
        constant = PREECE_A_PER_IN_1_5[metal]
    except KeyError:
        raise UnknownNameError(kind="fusing metal", name=metal, known=PREECE_A_PER_IN_1_5) from None
    return float(constant * (diameter_m / _INCH_M) ** 1.5)


def current_melting_wire_onderdonk(
    *, area_m2: float, time_s: float, ambient_degc: float = 25.0
) -> float:
    r"""Current that melts a copper wire within a short time. [A]

    Parameters
    ----------
    area_m2 : float
        Cross section of the copper, above zero. [m2]
    time_s : float
        Time, above zero, up to 10. [s]
    ambient_degc : float
        Temperature of the wire before. [degC]

    Returns
    -------
    float
        Melting current. [A]

    Raises
    ------
    OutOfRangeError
        If the area is not above zero or the time outside the range.

    Notes
    -----
    :math:`I = A \sqrt{\log_{10}(1 + (T_m - T_a)/(234 + T_a)) / (33\,t)}` with A in circular mils
    (I. M. Onderdonk, formula from memory). All heat stays in the wire, so it holds up to some 10 s.
    The sign under the line is plus: 234 + T is the distance from the temperature at which copper's
    resistance would vanish. A forum answer that takes 234 - T gets 5 % too much.

    Examples
    --------
    16 AWG, 5 s, from 25 degC:

    >>> round(current_melting_wire_onderdonk(area_m2=1.3087e-6, time_s=5.0))
    169
    """
    if area_m2 <= 0 or not 0 < time_s <= _LONGEST_ADIABATIC_S:
        msg = (
            f"area_m2 is {area_m2} and time_s is {time_s}; Onderdonk's formula needs an area above "
            f"0 and a time from 0 to {_LONGEST_ADIABATIC_S:g} s"
        )
        raise OutOfRangeError(msg)
    return math.sqrt(_onderdonk_i2t(area_m2=area_m2, ambient_degc=ambient_degc) / time_s)


def time_melting_wire_onderdonk(
    *, area_m2: float, current_a: float, ambient_degc: float = 25.0
) -> float:
    """Time in which a current melts a copper wire if all heat stays in it. [s]

    Parameters
    ----------
    area_m2 : float
        Cross section of the copper, above zero. [m2]
    current_a : float
        Current, above zero. [A]
    ambient_degc : float
        Temperature of the wire before. [degC]

    Returns
    -------
    float
        Time; beyond some 10 s too short, for heat then leaves the wire: the safe side. [s]

    Raises
    ------
    OutOfRangeError
        If the area or the current is not above zero.

    Notes
    -----
    `current_melting_wire_onderdonk` solved for the time.

    Examples
    --------
    >>> round(time_melting_wire_onderdonk(area_m2=1.3087e-6, current_a=169.0), 1)
    5.0
    """
    if min(area_m2, current_a) <= 0:
        msg = f"area_m2 and current_a must be above 0; got {area_m2} and {current_a}"
        raise OutOfRangeError(msg)
    return _onderdonk_i2t(area_m2=area_m2, ambient_degc=ambient_degc) / current_a**2


def _onderdonk_i2t(*, area_m2: float, ambient_degc: float) -> float:
    if not -_COPPER_ZERO_DEGC < ambient_degc < _COPPER_MELTS_DEGC:
        msg = f"ambient_degc is {ambient_degc}; it must lie from -234 to 1083"
        raise OutOfRangeError(msg)
    room = (_COPPER_MELTS_DEGC - ambient_degc) / (_COPPER_ZERO_DEGC + ambient_degc)
    return (area_m2 / _CIRCULAR_MIL_M2) ** 2 * math.log10(1 + room) / _ONDERDONK
