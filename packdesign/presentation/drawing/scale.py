"""Round numbers for the axes of a chart, and times in the unit that suits them."""

from __future__ import annotations

import math
from typing import Final

__all__ = ["round_marks", "time_unit"]

_STEPS: Final = (1.0, 2.0, 5.0, 10.0)
_TIME_UNITS: Final = ((2 * 86400.0, "days", 86400.0), (5400.0, "h", 3600.0), (120.0, "min", 60.0))
"""From how long on, name, seconds in one."""
_A_HAIR: Final = 1e-9


def round_marks(low: float, high: float, *, most: int = 6) -> tuple[float, ...]:
    """Give round numbers from at or below ``low`` to at or above ``high``.

    Parameters
    ----------
    low, high : float
        What must lie between the first and the last. [same]
    most : int
        About how many at most. [-]

    Examples
    --------
    >>> round_marks(7.5, 12.6)
    (7.0, 8.0, 9.0, 10.0, 11.0, 12.0, 13.0)
    >>> round_marks(3.0, 3.0, most=2)
    (2.5, 3.0, 3.5)
    """
    if high - low < _A_HAIR * max(1.0, abs(high)):
        low, high = low - 0.5, high + 0.5
    rough = (high - low) / most
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(each * power for each in _STEPS if each * power >= rough * (1 - _A_HAIR))
    first, last = math.floor(low / step + _A_HAIR), math.ceil(high / step - _A_HAIR)
    digits = max(0, -math.floor(math.log10(step)))
    return tuple(round(number * step, digits) for number in range(first, last + 1))


def time_unit(longest_s: float) -> tuple[str, float]:
    """Give the unit in which a time is plotted, and the seconds in one of it.

    Parameters
    ----------
    longest_s : float
        The longest time shown. [s]

    Examples
    --------
    >>> time_unit(8145.0), time_unit(600.0)
    (('h', 3600.0), ('min', 60.0))
    """
    for from_s, name, seconds in _TIME_UNITS:
        if longest_s >= from_s:
            return name, seconds
    return "s", 1.0
