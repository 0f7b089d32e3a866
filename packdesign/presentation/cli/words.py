"""Numbers as a person reads them: short, with their unit."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from packdesign.foundation.spoken_time import spoken_time
from packdesign.presentation.export.plain import DUST

if TYPE_CHECKING:
    from packdesign.foundation.basis import Band

__all__ = ["amount", "band_text", "duration", "duration_band"]

_NONE: Final = "not known"


def amount(value: float | None, unit: str, *, digits: int = 3) -> str:
    """Give a number of some digits with its unit.

    Parameters
    ----------
    value : float or None
        The number.
    unit : str
        Its unit, or empty.
    digits : int
        Significant digits. [-]

    Examples
    --------
    >>> amount(12.6000001, "V"), amount(0.05, "ohm"), amount(1250.0, "mAh"), amount(None, "V")
    ('12.6 V', '0.05 ohm', '1250 mAh', 'not known')
    >>> amount(-4e-16, "V")
    '0 V'
    """
    if value is None:
        return _NONE
    text = _short(value, digits=digits)
    return f"{text} {unit}" if unit else text


def _short(value: float, *, digits: int) -> str:
    if not math.isfinite(value):
        return "no limit"
    if abs(value) < DUST:
        return "0"
    whole_digits = math.floor(math.log10(abs(value))) + 1
    decimals = max(0, digits - whole_digits)
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def band_text(band: Band, unit: str, *, digits: int = 3) -> str:
    """Give a figure with its range.

    Parameters
    ----------
    band : Band
        The figure.
    unit : str
        Its unit.
    digits : int
        Significant digits. [-]
    """
    low, mid, high = (_short(each, digits=digits) for each in (band.low, band.mid, band.high))
    if low == high:
        return f"{mid} {unit}"
    return f"{mid} {unit} ({low} to {high})"


def duration(time_s: float | None) -> str:
    """Give a time in the two units that suit it.

    Parameters
    ----------
    time_s : float or None
        The time. [s]

    Examples
    --------
    >>> [duration(each) for each in (0.4, 75.0, 8145.0, 200000.0, None)]
    ['0.4 s', '1 min 15 s', '2 h 16 min', '2 d 8 h', 'not known']
    """
    return _NONE if time_s is None else spoken_time(time_s)


def duration_band(band: Band) -> str:
    """Give a time with its range.

    Parameters
    ----------
    band : Band
        The time. [s]
    """
    low, mid, high = duration(band.low), duration(band.mid), duration(band.high)
    return mid if low == high else f"{mid} ({low} to {high})"
