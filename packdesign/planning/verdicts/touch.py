"""How hot a touched surface may be, by material and by how long it is touched.

The standard's own table could not be read here: the figures are from memory, and a few were seen
second-hand. Check the standard before you quote them; where in doubt, cooler.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Final

from packdesign.data.touch_limits import load_touch_limits
from packdesign.foundation.errors import UnknownNameError

__all__ = ["TOUCH_SOURCE", "Contact", "Surface", "touch_limit_degc"]

TOUCH_SOURCE: Final = "IEC 62368-1:2018 Table 38, TS1, from memory; check the standard"

_DOCUMENT: Final = "IEC 62368-1:2018 Table 38 TS1"


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


_CONTACT_S: Final = {
    Contact.HELD: (60.0, None),
    Contact.SHORT: (10.0, 60.0),
    Contact.BRIEF: (1.0, 10.0),
    Contact.NONE: (None, 1.0),
}
"""Shortest and longest time of contact of the rows in the table."""


def touch_limit_degc(*, surface: Surface, contact: Contact) -> float:
    """Give the hottest that a surface may get. [degC]

    Parameters
    ----------
    surface : Surface
        Its material.
    contact : Contact
        How it is touched.

    Raises
    ------
    UnknownNameError
        If the table has no such row.

    Examples
    --------
    >>> touch_limit_degc(surface=Surface.PLASTIC, contact=Contact.HELD)
    48.0
    """
    wanted = (_DOCUMENT, surface.value, *_CONTACT_S[contact])
    rows = {
        (row.document, row.material, row.shortest_s, row.longest_s): row.low_degc
        for row in load_touch_limits()
    }
    if wanted not in rows:
        raise UnknownNameError(
            kind="touch limit", name=f"{surface}, {contact}", known=[row[1] for row in rows]
        )
    return rows[wanted]
