"""The fuse of a brief, melting or resettable, with what the tables know of it.

As in ``parts``: a figure that the brief states goes before that of the table.
"""

from __future__ import annotations

import re
from typing import Final

from packdesign.data import fuses
from packdesign.planning.brief.joint_sections import Fuse
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.needs.parts import filled

__all__ = ["fuse_of", "fuse_part", "has_fuse", "is_resettable", "resettable_part"]

_AMPERES: Final = re.compile(r"(\d+(?:\.\d+)?)\s*A\b", re.IGNORECASE)
_HUNDREDTHS: Final = re.compile(r"(\d{3,4})(?:-.*)?")
_WORD: Final = re.compile(r"[a-z0-9]+")
_NO_SERIES: Final = frozenset({"class", "time", "delay", "slo", "blo", "a", "5x20"})


def has_fuse(pack: Pack | None) -> bool:
    """Tell whether a fuse is in the pack.

    Parameters
    ----------
    pack : Pack or None
        The pack.
    """
    fuse = pack.fuse if pack is not None else None
    return fuse is not None and fuse.kind != "none" and fuse.part != "none"


def fuse_part(pack: Pack | None) -> fuses.Fuse | None:
    """Find the fuse of a pack in the table, by series and rating.

    Parameters
    ----------
    pack : Pack or None
        The pack.

    Returns
    -------
    Fuse or None
        None where it has none, it is resettable, or the table does not know it.
    """
    section = pack.fuse if pack is not None else None
    if section is None or section.part is None or section.kind == "resettable":
        return None
    rated_a = _rating(section)
    words = set(_WORD.findall(section.part.lower()))
    named = [
        fuse
        for fuse in fuses.load_fuses()
        if fuse.rated_a == rated_a
        and (set(_WORD.findall(fuse.series.lower())) - _NO_SERIES) & words
    ]
    return max(named, key=lambda fuse: len(fuse.gates), default=None)


def resettable_part(pack: Pack | None) -> fuses.ResettableFuse | None:
    """Find the resettable fuse of a pack in the table, by series and hold current.

    Parameters
    ----------
    pack : Pack or None
        The pack; it may write "MF-R 2.5 A" or, as the makers do, "MF-R250".

    Returns
    -------
    ResettableFuse or None
        None where it has none, or the table does not know it.
    """
    section = pack.fuse if pack is not None else None
    if section is None or section.part is None or section.kind in ("fuse", "none"):
        return None
    named = section.part.upper().replace(" ", "")
    for fuse in fuses.load_resettable_fuses():
        series = fuse.series.upper()
        if not named.startswith(series):
            continue
        rest = named[len(series) :]
        number = _HUNDREDTHS.fullmatch(rest)
        if number is None and rest and _AMPERES.fullmatch(rest) is None:
            continue
        if fuse.hold_a == (float(number.group(1)) / 100 if number else _rating(section)):
            return fuse
    return None


def is_resettable(pack: Pack | None) -> bool:
    """Tell whether the fuse of a pack is a resettable one.

    Parameters
    ----------
    pack : Pack or None
        The pack.
    """
    section = pack.fuse if pack is not None else None
    return section is not None and (
        section.kind == "resettable" or resettable_part(pack) is not None
    )


def fuse_of(pack: Pack | None) -> Fuse | None:
    """Give the fuse of a pack with the figures of its row filled in.

    Parameters
    ----------
    pack : Pack or None
        The pack.
    """
    section = pack.fuse if pack is not None else None
    if section is None or not has_fuse(pack):
        return None
    ptc = resettable_part(pack)
    if ptc is not None:
        return filled(
            section,
            rating_a=ptc.hold_a,
            rated_v=ptc.highest_v,
            breaking_capacity_a=ptc.highest_a,
            resistance_ohm=ptc.resistance_after_trip_ohm or ptc.resistance_most_ohm,
        )
    row = fuse_part(pack)
    return filled(
        section,
        rating_a=_rating(section),
        rated_v=None if row is None else row.rated_v_dc,
        breaking_capacity_a=None if row is None else row.breaking_capacity_a,
        resistance_ohm=None if row is None else row.cold_resistance_ohm,
    )


def _rating(section: Fuse) -> float | None:
    if section.rating_a is not None or section.part is None:
        return section.rating_a
    printed = _AMPERES.search(section.part)
    return None if printed is None else float(printed.group(1))
