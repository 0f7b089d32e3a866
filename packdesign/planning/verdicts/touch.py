"""How hot a touched surface may be, by material and by how long it is touched.

The standard's own table could not be read here: these figures are from memory, and two of them
(metal 48 and 70 degC, plastic 77 degC) were seen second-hand. Check the standard before you quote
them; go by feel and common sense, and cooler, where it is in doubt.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Final

__all__ = ["TOUCH_SOURCE", "Contact", "Surface", "touch_limit_degc"]

TOUCH_SOURCE: Final = "IEC 62368-1:2018 Table 38, TS1, from memory; check the standard"


class Contact(StrEnum):
    """How a surface is touched."""

    HELD = "held"
    """In the hand for over a minute: handles, grips."""
    SHORT = "short"
    """Held or touched now and then, 10 s to 1 min."""
    BRIEF = "brief"
    """1 s to 10 s."""
    NONE = "none"
    """Need not be touched, under 1 s."""


class Surface(StrEnum):
    """What the surface is made of."""

    METAL = "metal"
    GLASS = "glass"
    PLASTIC = "plastic"
    WOOD = "wood"


_MATERIALS: Final = (Surface.METAL, Surface.GLASS, Surface.PLASTIC, Surface.WOOD)
_LIMITS_DEGC: Final = {
    Contact.HELD: (48.0, 48.0, 48.0, 48.0),
    Contact.SHORT: (51.0, 56.0, 60.0, 60.0),
    Contact.BRIEF: (60.0, 71.0, 77.0, 107.0),
    Contact.NONE: (70.0, 85.0, 94.0, 140.0),
}


def touch_limit_degc(*, surface: Surface, contact: Contact) -> float:
    """Give the hottest that a surface may get. [degC]

    Parameters
    ----------
    surface : Surface
        Its material.
    contact : Contact
        How it is touched.

    Examples
    --------
    >>> touch_limit_degc(surface=Surface.PLASTIC, contact=Contact.HELD)
    48.0
    """
    return _LIMITS_DEGC[contact][_MATERIALS.index(surface)]
