"""Hold a figure, with its band, against a limit: the one way in which every family makes a verdict.

A check is judged on its unfavourable end. If the likely value fails, the verdict is stop; if only
the end of its band fails, caution; if figure or limit is not known, unknown. The margin is the room
of the likely value, as a fraction of the limit.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from packdesign.foundation.basis import Band, Basis
from packdesign.foundation.spoken_time import spoken_time
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = [
    "Check",
    "Figure",
    "at_least",
    "at_most",
    "band_of",
    "relative_margin",
    "share_of",
    "slug",
    "spoken",
]

_FEWEST_DIGITS: Final = 3
_MOST_DIGITS: Final = 5
_SPOKEN_IN_MICROAMPERES_A: Final = 1e-3
_ONE_PERCENT: Final = 0.01
_SPOKEN_IN_TIMES: Final = 2.0
"""Share from which it is read as a multiple; own choice. [-]"""

Figure = Band | float | None
"""A figure with or without a band, or not known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """Everything that one comparison needs."""

    id: str
    what: str
    """What is judged, as the subject of a sentence: "the burst current of a cell"."""
    value: Figure
    against: str
    """What it is held against: "the cell's pulse rating"."""
    limit: float | None
    unit: str
    fix: str
    """What to change where it fails."""
    find_out: str
    """What to find out where figure or limit is not known, or where there is a doubt."""
    basis: Basis = Basis.ASSUMED
    source: str = ""
    tolerance: float = 0.0
    """How far past the limit still counts as on it (reading error), in ``unit``."""
    may_stop: bool = True
    """False where a failure hurts nobody: it is then a caution, not a stop."""
    note: str = ""
    """What is said after the sentence and changes nothing; whole sentences."""
    doubt: str = ""
    """Why even a pass is no more than a caution; one sentence, empty where there is no doubt."""


def at_most(check: Check) -> Verdict:
    """Judge a figure that must not exceed its limit.

    Parameters
    ----------
    check : Check
        Figure and limit.

    Returns
    -------
    Verdict
        Stop, caution, ok or unknown.

    Examples
    --------
    >>> from packdesign.foundation.basis import Band
    >>> check = Check(id="burst", what="the burst current", value=Band(8.0, 9.0, 11.0),
    ...     against="the rating", limit=10.0, unit="A", fix="add a cell", find_out="")
    >>> at_most(check).status, at_most(check).margin
    (<Status.CAUTION: 'caution'>, 0.1)
    """
    if check.value is None or check.limit is None:
        return _unknown(check)
    band = band_of(check.value)
    if band.mid > check.limit + check.tolerance:
        return _made(check, Status.STOP, margin=check.limit - band.mid, words="above")
    if band.high > check.limit + check.tolerance:
        words = f"but may reach {_figure(band.high, check)}, above"
        return _made(check, Status.CAUTION, margin=check.limit - band.mid, words=words)
    return _made(check, Status.OK, margin=check.limit - band.mid, words="within")


def at_least(check: Check) -> Verdict:
    """Judge a figure that must reach its limit.

    Parameters
    ----------
    check : Check
        Figure and limit.

    Returns
    -------
    Verdict
        Stop, caution, ok or unknown.
    """
    if check.value is None or check.limit is None:
        return _unknown(check)
    band = band_of(check.value)
    if band.mid < check.limit - check.tolerance:
        return _made(check, Status.STOP, margin=band.mid - check.limit, words="below")
    if band.low < check.limit - check.tolerance:
        words = f"but may fall to {_figure(band.low, check)}, below"
        return _made(check, Status.CAUTION, margin=band.mid - check.limit, words=words)
    return _made(check, Status.OK, margin=band.mid - check.limit, words="at or above")


def relative_margin(room: float, *, limit: float) -> float | None:
    """Give the room to a limit as a fraction of it; None where the limit is zero. [-]

    Parameters
    ----------
    room : float
        How far the likely value is from the limit, below zero beyond it.
    limit : float
        The limit, in the same unit.
    """
    return room / abs(limit) if limit else None


def slug(name: str) -> str:
    """Make a name fit to be part of an id: small letters, digits, underscores.

    Examples
    --------
    >>> slug("5 V rail (LEDs)")
    '5_v_rail_leds'
    """
    kept = "".join(letter if letter.isalnum() else " " for letter in name.lower())
    return "_".join(kept.split())


def band_of(value: Band | float) -> Band:
    """Give a figure its band, one of no width where it has none."""
    return value if isinstance(value, Band) else Band.exact(float(value))


def spoken(number: float, unit: str = "", *, digits: int = 3) -> str:
    """Write a figure as it is read: three digits; a time in the units that suit it.

    Parameters
    ----------
    number : float
        The figure, in ``unit``.
    unit : str
        Its unit, empty for a ratio.
    digits : int
        Digits that count. [-]

    Examples
    --------
    >>> spoken(15332.0, "s"), spoken(9813.7, "ohm"), spoken(0.1241)
    ('4 h 16 min', '9810 ohm', '0.124')
    >>> spoken(9.0e-5, "A"), spoken(1.8, "A")
    ('90 uA', '1.8 A')
    """
    if unit == "s":
        return spoken_time(number, digits=digits)
    if unit == "A" and 0 < abs(number) < _SPOKEN_IN_MICROAMPERES_A:
        number, unit = number * 1e6, "uA"
    rounded = float(f"{number:.{digits}g}")
    text = f"{rounded:.{digits}g}"
    if "e" in text:
        text = f"{rounded:.0f}" if abs(rounded) >= 1 else f"{rounded:.1e}"
    return f"{text} {unit}".rstrip()


def share_of(share: float) -> str:
    """Write a share as it goes on in a sentence: percent of, or times, what follows.

    Parameters
    ----------
    share : float
        0 or more. [-]

    Examples
    --------
    >>> share_of(0.004), share_of(0.453), share_of(1.5), share_of(37.21)
    ('under 1 % of', '45 % of', '150 % of', '37.2 times')
    """
    if share < _ONE_PERCENT:
        return "under 1 % of"
    if share < _SPOKEN_IN_TIMES:
        return f"{share * 100:.0f} % of"
    return f"{spoken(share)} times"


def _figure(number: float, check: Check) -> str:
    """Write a figure with as many digits as tell it from the limit."""
    digits = _FEWEST_DIGITS if check.limit is None else _digits(number, check.limit, check.unit)
    return spoken(number, check.unit, digits=digits)


def _digits(number: float, limit: float, unit: str) -> int:
    """Digits that tell a figure from its limit, three at least."""
    digits = _FEWEST_DIGITS
    while (
        digits < _MOST_DIGITS
        and number != limit
        and spoken(number, unit, digits=digits) == spoken(limit, unit, digits=digits)
    ):
        digits += 1
    return digits


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


def _unknown(check: Check) -> Verdict:
    missing = check.what if check.value is None else check.against
    return Verdict(
        id=check.id,
        status=Status.UNKNOWN,
        value=None if check.value is None else band_of(check.value).mid,
        limit=check.limit,
        unit=check.unit,
        reason=f"Not known: {missing}.",
        fix=check.find_out,
        basis=Basis.ASSUMED,
        source=check.source,
    )


def _made(check: Check, status: Status, *, margin: float, words: str) -> Verdict:
    value, limit = check.value, check.limit
    if value is None or limit is None:
        return _unknown(check)
    mid = band_of(value).mid
    sentence = (
        f"{_sentence(check.what)} is {_figure(mid, check)}, {words} {check.against} "
        f"({spoken(limit, check.unit, digits=_digits(mid, limit, check.unit))})."
    )
    sentence = " ".join(part for part in (sentence, check.doubt, check.note) if part)
    if status is Status.STOP and not check.may_stop:
        status = Status.CAUTION
    fix = "" if status is Status.OK else check.fix
    if status is Status.OK and check.doubt:
        status, fix = Status.CAUTION, check.find_out
    return Verdict(
        id=check.id,
        status=status,
        value=mid,
        limit=limit,
        unit=check.unit,
        margin=relative_margin(margin, limit=limit),
        reason=sentence,
        fix=fix,
        basis=check.basis,
        source=check.source,
        note=check.note,
    )
