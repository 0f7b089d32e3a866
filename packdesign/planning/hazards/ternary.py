"""Logic of three values for judging on facts that may be missing: yes, no and not known (None).

The rules are Kleene's: an "and" is no as soon as one part is no, an "or" is yes as soon as one part
is yes, and what is not known never turns into a no by itself.
"""

from __future__ import annotations

from collections.abc import Collection

__all__ = ["Ternary", "above", "all_of", "any_of", "at_least", "below", "is_one_of", "negated"]

Ternary = bool | None


def all_of(*parts: Ternary) -> Ternary:
    """Yes if every part is yes, no if any part is no, else not known.

    Examples
    --------
    >>> all_of(True, None) is None
    True
    >>> all_of(False, None)
    False
    """
    if any(part is False for part in parts):
        return False
    return None if None in parts else True


def any_of(*parts: Ternary) -> Ternary:
    """Yes if any part is yes, no if every part is no, else not known.

    Examples
    --------
    >>> any_of(True, None)
    True
    >>> any_of(False, None) is None
    True
    """
    if any(part is True for part in parts):
        return True
    return None if None in parts else False


def negated(part: Ternary) -> Ternary:
    """The opposite; not known stays not known."""
    return None if part is None else not part


def above(value: float | None, limit: float | None) -> Ternary:
    """Whether a value lies above a limit, not known if either is."""
    return None if value is None or limit is None else value > limit


def below(value: float | None, limit: float | None) -> Ternary:
    """Whether a value lies below a limit, not known if either is."""
    return None if value is None or limit is None else value < limit


def at_least(value: float | None, limit: float | None) -> Ternary:
    """Whether a value reaches a limit, not known if either is."""
    return None if value is None or limit is None else value >= limit


def is_one_of(value: str | None, names: Collection[str]) -> Ternary:
    """Whether a word is among several, not known if the word is."""
    return None if value is None else value in names
