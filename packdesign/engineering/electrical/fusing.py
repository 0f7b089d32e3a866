"""The time in which a current melts a wire, after Onderdonk."""

from __future__ import annotations

import math
from typing import Final

from packdesign.foundation.errors import OutOfRangeError

__all__ = ["time_melting_wire_onderdonk"]

_INCH_M: Final = 0.0254
_CIRCULAR_MIL_M2: Final = math.pi / 4 * (_INCH_M / 1000) ** 2
_COPPER_MELTS_DEGC: Final = 1083.0
_COPPER_ZERO_DEGC: Final = 234.0
_ONDERDONK: Final = 33.0


def time_melting_wire_onderdonk(
    *, area_m2: float, current_a: float, ambient_degc: float = 25.0
) -> float:
    r"""Time in which a current melts a copper wire if all heat stays in it. [s]

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
    :math:`t = A^2 \log_{10}(1 + (T_m - T_a)/(234 + T_a)) / (33\,I^2)` with A in circular mils
    (I. M. Onderdonk, formula from memory). All heat stays in the wire, so it holds up to some 10 s.
    The sign under the line is plus: 234 + T is the distance from the temperature at which copper's
    resistance would vanish. A forum answer that takes 234 - T gets 5 % too much current.

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
