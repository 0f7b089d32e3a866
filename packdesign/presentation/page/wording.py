"""How figures, times and verdicts are written on the page."""

from __future__ import annotations

import html
import math
import re
from typing import Final

from packdesign.foundation.basis import Band
from packdesign.foundation.spoken_time import spoken_time
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = [
    "MARKS",
    "WORDS",
    "checked",
    "duration",
    "escaped",
    "figure",
    "ordered",
    "readable",
    "spoken",
    "title_of",
    "with_band",
]

MARKS: Final[dict[Status, str]] = {
    Status.STOP: "\u2715",
    Status.CAUTION: "\u25b3",
    Status.UNKNOWN: "?",
    Status.OK: "\u2713",
}
"""A sign beside each word, for colour is never alone."""
WORDS: Final[dict[Status, str]] = {
    Status.STOP: "Stop",
    Status.CAUTION: "Caution",
    Status.UNKNOWN: "Not known",
    Status.OK: "In order",
}
_GRAVEST_FIRST: Final = (Status.STOP, Status.CAUTION, Status.UNKNOWN, Status.OK)
_SHOWN_UNITS: Final = {
    "degC": "\u00b0C", "degF": "\u00b0F", "ohm": "\u03a9", "mohm": "m\u03a9", "N*m": "N\u00b7m",
    "uF": "\u00b5F", "uH": "\u00b5H", "uA": "\u00b5A", "mm**2": "mm\u00b2", "m**2": "m\u00b2",
    "g*cm**2": "g\u00b7cm\u00b2", "kg*m**2": "kg\u00b7m\u00b2", "mN*m/A": "mN\u00b7m/A",
    "percent": "%", "dimensionless": "", "inch": "in", "lbf*inch": "lbf\u00b7in", "1": "",
}  # fmt: skip
_UNITS_IN_TEXT: Final = (
    (re.compile(r"\bdegC\b"), "\u00b0C"),
    (re.compile(r"\b([kMm])?ohm\b"), "\\1\u03a9"),
    (re.compile(r"\buA\b"), "\u00b5A"),
    (re.compile(r"\bmm2\b"), "mm\u00b2"),
    (re.compile(r"(?<=\d )m2\b"), "m\u00b2"),
)
"""Units as sentences for the terminal and for files hold them, and as a person writes them."""
_WRITTEN: Final = (
    (re.compile(r"(?<=\d )v\b"), "V"),
    (re.compile(r"(?<=\d )a\b"), "A"),
    (re.compile(r"\bawg\b"), "AWG"),
    (re.compile(r"\bpwm\b"), "PWM"),
    (re.compile(r"\bwh\b"), "Wh"),
    (re.compile(r"\bcutoff\b"), "cut-off"),
    (re.compile(r"\bbms\b"), "board"),
)
"""How words of an id are written."""
_PREFIXED: Final = ("A", "V", "W", "F", "ohm", "s")
_SMALL: Final = 0.01
_LARGE: Final = 1000.0


def figure(value: float | None, unit: str = "", *, digits: int = 3) -> str:
    """Write a figure with its unit; a dash where it is not known.

    Parameters
    ----------
    value : float or None
        The figure.
    unit : str
        Its unit, as pint or a verdict writes it.
    digits : int
        Digits that mean something. [-]

    Examples
    --------
    >>> figure(11.0904, "V"), figure(24618.0, "s", digits=2), figure(None, "V")
    ('11.1 V', '24618 s', '\u2013')
    """
    if value is None or math.isnan(value):
        return "\u2013"
    if math.isinf(value):
        return "no limit"
    if unit in _PREFIXED and 0 < abs(value) < _SMALL:
        prefix, factor = ("\u00b5", 1e6) if abs(value) < _SMALL / 1000 else ("m", 1e3)
        return figure(value * factor, digits=digits) + f" {prefix}{_SHOWN_UNITS.get(unit, unit)}"
    if unit == "ohm" and abs(value) >= _LARGE:
        return figure(value / 1e3, digits=digits) + " k\u03a9"
    if value == 0:
        text = "0"
    else:
        places = max(digits - 1 - math.floor(math.log10(abs(value))), 0)
        text = f"{value:.{places}f}"
        if "." in text and float(text) == round(float(text)):
            text = text.rstrip("0").rstrip(".")
    shown = _SHOWN_UNITS.get(unit, unit)
    return f"{text}\u202f{shown}" if shown == "%" else f"{text} {shown}".rstrip()


def duration(time_s: float | None) -> str:
    """Write a time as a person says it.

    Examples
    --------
    >>> duration(8144.8), duration(0.42), duration(74838.0), duration(40.0)
    ('2 h 16 min', '0.42 s', '20 h 47 min', '40 s')
    """
    if time_s is None or math.isnan(time_s):
        return "\u2013"
    return spoken_time(time_s)


def checked(value: float | None, unit: str, *, digits: int = 3) -> str:
    """Write the figure of a check: a time as a person says it, everything else with its unit.

    Parameters
    ----------
    value : float or None
        The figure or its limit.
    unit : str
        Its unit, as a verdict writes it.
    digits : int
        Digits that mean something. [-]

    Examples
    --------
    >>> checked(74901.0, "s"), checked(14.4, "V"), checked(0.0164, "s")
    ('20 h 48 min', '14.4 V', '0.0164 s')
    """
    if unit == "s":
        return duration(value)
    return figure(value, unit, digits=digits)


def with_band(band: Band, unit: str, *, digits: int = 3) -> str:
    """Write the range that a figure may lie in.

    Examples
    --------
    >>> with_band(Band(8.1, 8.4, 8.6), "V")
    '8.10 to 8.60 V'
    """
    return f"{figure(band.low, digits=digits)} to {figure(band.high, unit, digits=digits)}"


def title_of(verdict: Verdict) -> str:
    """Write the id of a verdict as words.

    Examples
    --------
    >>> title_of(Verdict(id="burst_current", status=Status.OK))
    'Burst current'
    >>> title_of(Verdict(id="wire_current_18_awg", status=Status.OK))
    'Wire current 18 AWG'
    """
    words = verdict.id.replace("_", " ")
    for pattern, written in _WRITTEN:
        words = pattern.sub(written, words)
    return words[:1].upper() + words[1:]


def ordered(verdicts: tuple[Verdict, ...]) -> tuple[Verdict, ...]:
    """Put verdicts in order, gravest first, within a status the one with the least room."""

    def rank(verdict: Verdict) -> tuple[int, float]:
        room = math.inf if verdict.margin is None else verdict.margin
        return _GRAVEST_FIRST.index(verdict.status), room

    return tuple(sorted(verdicts, key=rank))


def readable(text: str) -> str:
    """Write the units in a sentence as the figures beside it have them.

    Parameters
    ----------
    text : str
        A sentence that the terminal and the files have too, where letters alone must do.

    Examples
    --------
    >>> readable("0 to 45 degC"), readable("150 kohm above, AWG 18 (0.823 mm2)")
    ('0 to 45 °C', '150 kΩ above, AWG 18 (0.823 mm²)')
    """
    for pattern, shown in _UNITS_IN_TEXT:
        text = pattern.sub(shown, text)
    return text


def escaped(text: str) -> str:
    """Make text safe to stand in HTML, its units as a person writes them."""
    return html.escape(readable(text), quote=True)


def spoken(key: str) -> str:
    """Write a key or a choice of the brief as words.

    Examples
    --------
    >>> spoken("stepped_tube"), spoken("li_ion")
    ('stepped tube', 'Li-ion')
    """
    known = {"li_ion": "Li-ion", "na_ion": "Na-ion", "lfp": "LFP", "lto": "LTO", "nimh": "NiMH",
             "usb_pd": "USB PD"}  # fmt: skip
    return known.get(key, key.replace("_", " "))
