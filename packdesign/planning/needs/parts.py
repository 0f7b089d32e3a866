"""Fuse, board, connector, switch and regulator of a brief, with what the tables know of them.

A figure that the brief states goes before that of the table. A name that no table knows is no
error: the part is then only as well known as the brief tells it.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final, TypeVar

from packdesign.data import boards, connectors, fuses, regulators, switches
from packdesign.foundation.basis import Band
from packdesign.foundation.errors import UnknownNameError
from packdesign.planning.brief.joint_sections import Connector, Fuse, Protection, Switch
from packdesign.planning.brief.load_sections import Rail
from packdesign.planning.brief.pack_section import Pack

__all__ = [
    "board_of",
    "board_part",
    "connector_of",
    "fuse_of",
    "fuse_part",
    "has_fuse",
    "is_resettable",
    "regulator_part",
    "resettable_part",
    "switch_of",
    "trip_of",
]

_AMPERES: Final = re.compile(r"(\d+(?:\.\d+)?)\s*A\b", re.IGNORECASE)
_HUNDREDTHS: Final = re.compile(r"(\d{3,4})(?:-.*)?")
_WORD: Final = re.compile(r"[a-z0-9]+")
_NO_SERIES: Final = frozenset({"class", "time", "delay", "slo", "blo", "a", "5x20"})
_TRIP_SPREAD: Final = 0.2
"""Tolerance of a trip current that is stated without one; BQ77905 prints 20 %. [-]"""
_Part = TypeVar("_Part")


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
        return _filled(
            section,
            rating_a=ptc.hold_a,
            rated_v=ptc.highest_v,
            breaking_capacity_a=ptc.highest_a,
            resistance_ohm=ptc.resistance_after_trip_ohm or ptc.resistance_most_ohm,
        )
    row = fuse_part(pack)
    return _filled(
        section,
        rating_a=_rating(section),
        rated_v=None if row is None else row.rated_v_dc,
        breaking_capacity_a=None if row is None else row.breaking_capacity_a,
        resistance_ohm=None if row is None else row.cold_resistance_ohm,
    )


def board_part(pack: Pack | None) -> boards.Board | None:
    """Find the protection board of a pack in the table.

    Parameters
    ----------
    pack : Pack or None
        The pack.
    """
    section = pack.protection if pack is not None else None
    if section is None or section.kind != "board" or section.board is None:
        return None
    return _known(boards.find_board, section.board)


def board_of(pack: Pack | None) -> Protection | None:
    """Give the protection of a pack with the figures of its board filled in.

    Parameters
    ----------
    pack : Pack or None
        The pack.
    """
    section = pack.protection if pack is not None else None
    row = board_part(pack)
    if section is None or row is None:
        return section
    one_count = row.cells_in_series_min == row.cells_in_series_max
    return _filled(
        section,
        series=row.cells_in_series_min if one_count else None,
        continuous_a=row.continuous_a,
        overcharge_trip_v=row.overcharge_v,
        undervoltage_trip_v=row.overdischarge_v,
        overcurrent_trip_a=row.overcurrent_a,
        overcurrent_delay_s=row.overcurrent_delay_s,
        resistance_ohm=row.resistance_ohm,
        idle_current_a=row.idle_a,
        balance_current_a=row.bleed_a,
    )


def trip_of(pack: Pack | None) -> Band | None:
    """Give the current at which the board of a pack cuts off, with its tolerance. [A]

    Parameters
    ----------
    pack : Pack or None
        The pack; what it states goes before the table.
    """
    from packdesign.engineering.electrical.protection import board_trip_a

    section = pack.protection if pack is not None else None
    if section is not None and section.overcurrent_trip_a is not None:
        return Band.from_fraction(section.overcurrent_trip_a, spread_fraction=_TRIP_SPREAD)
    row = board_part(pack)
    return None if row is None else board_trip_a(row)


def connector_of(pack: Pack | None) -> Connector | None:
    """Give the connector of a pack with the figures of its row filled in.

    Parameters
    ----------
    pack : Pack or None
        The pack.
    """
    section = pack.connector if pack is not None else None
    if section is None or section.name is None:
        return section
    row = _known(connectors.find_connector, section.name)
    if row is None:
        return section
    return _filled(section, rating_a=row.rated_a, resistance_ohm=row.contact_resistance_ohm)


def switch_of(pack: Pack | None) -> Switch | None:
    """Give the switch of a pack with the figures of its row filled in.

    The resistance of a transistor is not: it depends on the voltage at its gate.

    Parameters
    ----------
    pack : Pack or None
        The pack.
    """
    section = pack.switch if pack is not None else None
    if section is None or section.name is None:
        return section
    row = _known(switches.find_switch, section.name)
    if row is None:
        return section
    return _filled(
        section,
        rating_a=_size(row.dc_rating_a or row.current_a),
        rated_v=_size(row.dc_rating_v or row.blocking_v),
        resistance_ohm=row.contact_resistance_most_ohm or row.contact_resistance_ohm,
    )


def _size(value: float | None) -> float | None:
    """Without its sign: sheets print that of a P-channel transistor. [same]"""
    return None if value is None else abs(value)


def regulator_part(section: Rail) -> regulators.Regulator | None:
    """Find the regulator of a rail in the table.

    Parameters
    ----------
    section : Rail
        The rail.
    """
    if section.part is None:
        return None
    return _known(regulators.find_regulator, section.part)


def _rating(section: Fuse) -> float | None:
    if section.rating_a is not None or section.part is None:
        return section.rating_a
    printed = _AMPERES.search(section.part)
    return None if printed is None else float(printed.group(1))


def _known(find: Callable[[str], _Part], name: str) -> _Part | None:
    try:
        return find(name)
    except UnknownNameError:
        return None


_SectionKind = TypeVar("_SectionKind", Fuse, Protection, Connector, Switch)


def _filled(section: _SectionKind, **known: float | None) -> _SectionKind:
    """Put figures where the section has none."""
    missing = {
        name: value
        for name, value in known.items()
        if value is not None and getattr(section, name) is None
    }
    return section.model_copy(update=missing)
