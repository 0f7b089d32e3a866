"""What connector and switch of a pack are rated for, each rating with where it is from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from packdesign.data import connectors, switches
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import UnknownNameError
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.needs.parts import connector_of, switch_of

__all__ = ["Contact", "Rated", "contacts_of"]

_TOLD: Final = "stated in the brief"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rated:
    """One rating."""

    value: float | None = None
    """None: not known. [A] or [V]"""
    basis: Basis = Basis.ASSUMED
    source: str = ""
    is_told: bool = False
    """Whether the brief states it; otherwise a table does."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """A connector or a switch that the whole current passes."""

    part: str
    """ "connector" or "switch"."""
    rated: Rated
    """For good. [A]"""
    peak: Rated
    """For a short time. [A]"""
    voltage: Rated
    """Direct voltage that it may break. [V]"""


def contacts_of(pack: Pack) -> Iterator[Contact]:
    """Give the connector and the switch of a pack, as far as it has them.

    Parameters
    ----------
    pack : Pack
        The pack of the brief.
    """
    connector, switch = connector_of(pack), switch_of(pack)
    if connector is not None and pack.connector is not None:
        named, where = pack.connector, _connector_row(pack.connector.name)
        yield Contact(
            part="connector",
            rated=_rated(named.rating_a, connector.rating_a, where),
            peak=_rated(named.peak_rating_a, connector.peak_rating_a, where),
            voltage=Rated(),
        )
    if switch is not None and pack.switch is not None and switch.kind != "none":
        given, where = pack.switch, _switch_row(pack.switch.name)
        can_break = switch.kind != "plug"
        yield Contact(
            part="switch",
            rated=_rated(given.rating_a, switch.rating_a, where),
            peak=_rated(given.peak_rating_a, switch.peak_rating_a, where),
            voltage=_rated(given.rated_v, switch.rated_v, where) if can_break else Rated(),
        )


def _rated(told: float | None, known: float | None, where: tuple[Basis, str]) -> Rated:
    """Give a rating with its origin: the brief where it states one, else the row of the table."""
    if told is not None:
        return Rated(value=told, basis=Basis.MEASURED, source=_TOLD, is_told=True)
    if known is None:
        return Rated()
    return Rated(value=known, basis=where[0], source=where[1])


def _connector_row(name: str | None) -> tuple[Basis, str]:
    try:
        row = None if name is None else connectors.find_connector(name)
    except UnknownNameError:
        row = None
    return (Basis.ASSUMED, "") if row is None else (row.basis, f"connector table: {row.source}")


def _switch_row(name: str | None) -> tuple[Basis, str]:
    try:
        row = None if name is None else switches.find_switch(name)
    except UnknownNameError:
        row = None
    return (Basis.ASSUMED, "") if row is None else (row.basis, f"switch table: {row.source}")
