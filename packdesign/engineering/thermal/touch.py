"""How hot a pack or handle may be where somebody touches it, and for how long.

The thresholds are those of ``data.touch_limits``, most of them recalled from paid standards: each
answer carries its document, its basis and its source, so that a verdict can say so.
"""

from __future__ import annotations

import math
from typing import Final

from packdesign.data.touch_limits import TouchLimit, load_touch_limits
from packdesign.foundation.errors import OutOfRangeError, UnknownNameError

__all__ = ["HELD_S", "TOUCH_MATERIALS", "touch_limit"]

HELD_S: Final = 600.0
"""Contact of a grip that is held while it works. [s]"""

TOUCH_MATERIALS: Final = ("metal", "glass", "plastic", "wood")

_LIMIT: Final = "limit"
_THRESHOLD: Final = "burn threshold"
_STRICT: Final = "TS1"


def touch_limit(*, material: str, contact_s: float = HELD_S) -> TouchLimit:
    """Find the lowest published limit for a material and a time of contact.

    Parameters
    ----------
    material : str
        What is touched: metal, glass, plastic or wood; metal also for painted metal.
    contact_s : float
        How long it is touched, above zero; left out: held. [s]

    Returns
    -------
    TouchLimit
        The limit to keep, with the document it is from; judge against its ``low_degc``.

    Raises
    ------
    UnknownNameError
        If the material is not in the table.
    OutOfRangeError
        If the time is not above zero, or no limit covers it.

    Notes
    -----
    Only limits for parts that are meant to be touched (the stricter class of IEC 62368-1) and burn
    thresholds of ISO 13732-1 are used, of the latter the one for the next longer time on its list;
    both are from memory, so check the clause before quoting one. Times to a serious burn are no
    limits.

    Examples
    --------
    >>> limit = touch_limit(material="plastic")
    >>> limit.low_degc, limit.basis.value
    (48.0, 'assumed')
    """
    if contact_s <= 0:
        msg = f"contact_s is {contact_s}; a touch lasts longer than 0 s"
        raise OutOfRangeError(msg)
    if material not in TOUCH_MATERIALS:
        raise UnknownNameError(kind="touched material", name=material, known=TOUCH_MATERIALS)
    rows = [row for row in load_touch_limits() if row.material == material]
    limits = [row for row in rows if _is_strict_limit(row) and _covers(row, contact_s)]
    burns = [row for row in rows if row.meaning == _THRESHOLD and _ends_s(row) >= contact_s]
    fitting = limits + sorted(burns, key=_ends_s)[:1]
    if not fitting:
        msg = f"no touch limit covers {material} touched for {contact_s:g} s"
        raise OutOfRangeError(msg)
    return min(fitting, key=lambda row: row.low_degc)


def _is_strict_limit(row: TouchLimit) -> bool:
    return row.meaning == _LIMIT and _STRICT in row.document


def _covers(row: TouchLimit, contact_s: float) -> bool:
    return (row.shortest_s or 0.0) <= contact_s <= _ends_s(row)


def _ends_s(row: TouchLimit) -> float:
    return math.inf if row.longest_s is None else row.longest_s
