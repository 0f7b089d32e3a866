"""How hot a short strong current makes a copper wire before any heat has left it."""

from __future__ import annotations

import math
from typing import Final

from packdesign.engineering.electrical.conductors import WIRE_LAY
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["wire_after_current_degc"]

_COPPER_K: Final = 226.0
"""Root of volume heat times (beta + 20) over resistivity of copper, in A s^0.5 per mm2: IEC
60364-5-54 and IEC 60949, from memory. [A s^0.5/mm2]"""
_COPPER_BETA_DEGC: Final = 234.5
"""Reciprocal of the temperature coefficient of copper at 0 degC; the same standards, from memory.
[degC]"""
_MM2_PER_M2: Final = 1e6
_MELTS_DEGC: Final = 1083.0


def wire_after_current_degc(
    *, area_m2: float, current_a: float, time_s: float, start_degc: float
) -> float:
    r"""Temperature of a copper wire that has carried a current for a time and kept all its heat.

    Parameters
    ----------
    area_m2 : float
        Cross section of the copper, above zero. [m2]
    current_a : float
        Steady current. [A]
    time_s : float
        How long it flows, zero or more. [s]
    start_degc : float
        Temperature of the wire before. [degC]

    Returns
    -------
    float
        Temperature; infinite where the copper would melt. A wire that gives heat off stays below
        it. [degC]

    Raises
    ------
    OutOfRangeError
        If the cross section is not above zero, the time is negative, or the wire is colder than
        copper's figures reach.

    Notes
    -----
    :math:`I^2 t = k^2 S^2`, :math:`k = 226 \sqrt{\ln(1 + (\theta_f - \theta_i)/(234.5 +
    \theta_i))}` with S in square millimetres: the adiabatic equation of IEC 60364-5-54 for copper
    [1]_, solved for the final temperature. The heat is taken for the highest resistance of stranded
    lead wire, that of `WIRE_LAY`.

    Examples
    --------
    16 AWG, 1.31 mm2, that starts at 40 degC, after half a second at 60 A:

    >>> round(wire_after_current_degc(
    ...     area_m2=1.309e-6, current_a=60.0, time_s=0.5, start_degc=40.0))
    47

    References
    ----------
    .. [1] IEC 60364-5-54, "Selection and erection of electrical equipment - Earthing arrangements
       and protective conductors", formula for k; from memory.
    """
    if area_m2 <= 0 or not time_s >= 0 or start_degc <= -_COPPER_BETA_DEGC:
        msg = (
            f"a wire needs a cross section above 0, a time of 0 or more and a start above "
            f"{-_COPPER_BETA_DEGC} degC; got {area_m2} m2, {time_s} s and {start_degc} degC"
        )
        raise OutOfRangeError(msg)
    density = current_a / (_COPPER_K * area_m2 * _MM2_PER_M2)
    growth = density**2 * time_s * WIRE_LAY.high
    most = math.log((_COPPER_BETA_DEGC + _MELTS_DEGC) / (_COPPER_BETA_DEGC + start_degc))
    if growth > most:
        return math.inf
    return start_degc + (_COPPER_BETA_DEGC + start_degc) * math.expm1(growth)
