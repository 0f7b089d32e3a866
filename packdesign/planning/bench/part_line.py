"""One line of the list of parts, and the words for what the brief does or does not say of it."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["PartLine", "fitted", "sized", "told"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PartLine:
    """One line of the list of parts."""

    part: str
    count: int | None
    """How many; None: not known, or not a thing to count. [-]"""
    what: str
    """What to ask for, in words; says "not known" where nobody knows."""
    known_from: str
    area_m2: float | None = None
    """Cross-section of metal, of a conductor. [m2]"""
    length_m: float | None = None
    """Of all of it together, straight, without slack. [m]"""


def sized(value: float | None, unit: str) -> str:
    """Write a size, or that nobody knows it.

    Parameters
    ----------
    value : float or None
        The size.
    unit : str
        Its unit.

    Examples
    --------
    >>> sized(15.0, "A"), sized(None, "A")
    ('15 A', 'not known')
    """
    return "not known" if value is None else f"{value:.4g} {unit}"


def told(answer: bool | None, yes: str, no: str, unknown: str) -> str:
    """Choose words by what is known.

    Parameters
    ----------
    answer : bool or None
        What the brief says; None: nothing.
    yes, no, unknown : str
        The words.
    """
    if answer is None:
        return unknown
    return yes if answer else no


def fitted(has: bool | None) -> str:
    """Say whether a part is asked for.

    Parameters
    ----------
    has : bool or None
        What the brief says; None: nothing.
    """
    asked, none = "asked for by the brief; type not known", "the brief says there is none"
    return told(has, asked, none, "not known")
