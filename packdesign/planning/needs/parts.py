"""Board, connector, switch and regulator of a brief, with what the tables know of them.

A figure that the brief states goes before that of the table. A name that no table knows is no
error: the part is then only as well known as the brief tells it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, TypeVar

from packdesign.data import boards, connectors, regulators, switches
from packdesign.foundation.basis import Band
from packdesign.foundation.errors import UnknownNameError
from packdesign.planning.brief.joint_sections import Connector, Fuse, Protection, Switch
from packdesign.planning.brief.load_sections import Rail
from packdesign.planning.brief.pack_section import Pack

__all__ = [
    "board_of",
    "board_part",
    "connector_of",
    "filled",
    "regulator_part",
    "switch_of",
    "trip_of",
]

_TRIP_SPREAD: Final = 0.2
"""Tolerance of a trip current that is stated without one; BQ77905 prints 20 %. [-]"""
_SENSE_SPREAD: Final = 0.15
"""How far a resistance that the builder states may be off; own choice. [-]"""
_HOT_TRANSISTOR_DEGC: Final = 85.0
"""Transistors of a board that has worked for a while in the warm; own choice. [degC]"""
_Part = TypeVar("_Part")


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
    return filled(
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
        The pack; what it states goes before the table. A circuit that measures over its transistors
        is known by the resistance that the brief states, cold to hot.
    """
    from packdesign.engineering.electrical.protection import board_trip_a, hot_sense_ohm

    section = pack.protection if pack is not None else None
    if section is not None and section.overcurrent_trip_a is not None:
        return Band.from_fraction(section.overcurrent_trip_a, spread_fraction=_TRIP_SPREAD)
    row = board_part(pack)
    if row is None:
        return None
    stated_ohm = None if section is None else section.resistance_ohm
    sense = None
    if stated_ohm is not None and "FET" in row.kind:
        cold = Band.from_fraction(stated_ohm, spread_fraction=_SENSE_SPREAD)
        sense = hot_sense_ohm(cold, hottest_degc=_HOT_TRANSISTOR_DEGC)
    return board_trip_a(row, sense_ohm=sense)


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
    return filled(
        section,
        rating_a=row.rated_a,
        peak_rating_a=row.burst_a,
        resistance_ohm=row.contact_resistance_ohm,
    )


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
    return filled(
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


def _known(find: Callable[[str], _Part], name: str) -> _Part | None:
    try:
        return find(name)
    except UnknownNameError:
        return None


_SectionKind = TypeVar("_SectionKind", Fuse, Protection, Connector, Switch)


def filled(section: _SectionKind, **known: float | None) -> _SectionKind:
    """Put figures where a section has none.

    Parameters
    ----------
    section : Fuse, Protection, Connector or Switch
        Section of the brief.
    **known : float or None
        Figure by the name of its key, in the unit of that; None: not known.
    """
    missing = {
        name: value
        for name, value in known.items()
        if value is not None and getattr(section, name) is None
    }
    return section.model_copy(update=missing)
