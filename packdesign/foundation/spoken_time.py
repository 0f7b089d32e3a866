"""How a time is written for a person, wherever one is: "2 h 16 min", "2 min 31 s", "0.4 s"."""

from __future__ import annotations

import math
from typing import Final

__all__ = ["spoken_time"]

_UNITS: Final = (("d", 86400), ("h", 3600), ("min", 60), ("s", 1))
"""Units of a time and their seconds, largest first."""
_USUAL_DIGITS: Final = 3
_USUAL_PARTS: Final = 2


def spoken_time(time_s: float, *, digits: int = _USUAL_DIGITS) -> str:
    """Write a time in the two units that suit it, one where the second would be 0.

    Parameters
    ----------
    time_s : float
        The time. [s]
    digits : int
        Digits that count: below a minute as they are; beyond, each above three adds a unit. [-]

    Examples
    --------
    >>> [spoken_time(each) for each in (0.4, 75.0, 151.2, 3600.0, 8145.0, 200000.0, math.inf)]
    ['0.4 s', '1 min 15 s', '2 min 31 s', '1 h', '2 h 16 min', '2 d 8 h', 'without end']
    >>> spoken_time(8145.0, digits=4), spoken_time(59.96), spoken_time(-75.0)
    ('2 h 15 min 45 s', '1 min', '-1 min 15 s')
    """
    if not math.isfinite(time_s):
        return "without end" if time_s > 0 else "not known"
    if time_s < 0:
        return f"-{spoken_time(-time_s, digits=digits)}"
    least = float(f"{time_s:.{digits}g}")
    if least < dict(_UNITS)["min"]:
        text = f"{least:.{digits}g}"
        return f"{text if 'e' not in text else f'{least:.1e}'} s"
    parts = _USUAL_PARTS + max(digits - _USUAL_DIGITS, 0)
    for first in range(len(_UNITS) - 1):
        units = _UNITS[first : first + parts]
        smallest_s = units[-1][1]
        left_s = round(time_s / smallest_s) * smallest_s
        if left_s >= units[0][1]:
            break
    words = []
    for name, unit_s in units:
        count, left_s = divmod(left_s, unit_s)
        if count:
            words.append(f"{count} {name}")
    return " ".join(words)
