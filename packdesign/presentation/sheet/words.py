"""How the sheet writes figures: with unit and range, and "not known" where nobody knows."""

from __future__ import annotations

import math
from typing import Final

from packdesign.foundation.basis import Band
from packdesign.presentation.page.wording import duration, figure

__all__ = ["NOT_KNOWN", "band_words", "count_words", "known", "time_band", "time_words"]

NOT_KNOWN: Final = "not known"


def known(value: float | None, unit: str = "", *, digits: int = 3) -> str:
    """Write a figure with its unit.

    Parameters
    ----------
    value : float or None
        The figure; None or not a number: nobody knows it.
    unit : str
        Its unit.
    digits : int
        Digits that mean something. [-]

    Examples
    --------
    >>> known(12.6, "V"), known(None, "V")
    ('12.6 V', 'not known')
    """
    if value is None or math.isnan(value):
        return NOT_KNOWN
    return figure(value, unit, digits=digits)


def band_words(band: Band | None, unit: str, *, digits: int = 3) -> tuple[str, str, str]:
    """Write low, middle and high of a band.

    Parameters
    ----------
    band : Band or None
        The band; None: nobody knows it.
    unit : str
        Its unit.
    digits : int
        Digits that mean something. [-]

    Examples
    --------
    >>> band_words(Band(8.1, 8.4, 8.6), "V")
    ('8.10 V', '8.40 V', '8.60 V')
    """
    if band is None:
        return (NOT_KNOWN,) * 3
    low, mid, high = (known(each, unit, digits=digits) for each in (band.low, band.mid, band.high))
    return low, mid, high


def time_words(time_s: float | None) -> str:
    """Write a time as a person says it.

    Parameters
    ----------
    time_s : float or None
        The time. [s]

    Examples
    --------
    >>> time_words(8144.8), time_words(None)
    ('2 h 16 min', 'not known')
    """
    return NOT_KNOWN if time_s is None else duration(time_s)


def time_band(band: Band) -> tuple[str, str, str]:
    """Write low, middle and high of a time.

    Parameters
    ----------
    band : Band
        The time. [s]
    """
    return time_words(band.low), time_words(band.mid), time_words(band.high)


def count_words(count: int, one: str, many: str = "") -> str:
    """Write a count with its noun.

    Parameters
    ----------
    count : int
        How many. [-]
    one : str
        The noun for one.
    many : str
        The noun for several; empty: with an s.

    Examples
    --------
    >>> count_words(1, "cell"), count_words(3, "cell"), count_words(2, "stop")
    ('1 cell', '3 cells', '2 stops')
    """
    return f"{count} {one if count == 1 else many or one + 's'}"
