"""A change of a brief, in a builder's words and as its keys."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

__all__ = ["Change"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A change in words and as keys of a brief."""

    words: str
    keys: Mapping[str, object]
    """Dotted keys with their new values; None takes a key away. Empty where words must do."""
