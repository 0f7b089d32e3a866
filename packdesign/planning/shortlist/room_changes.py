"""How much more room would let in enough cells of one size: the nearest way, or one edge alone."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final

from packdesign.data.cells import Cell
from packdesign.engineering.geometry.arrange import most_cells
from packdesign.engineering.geometry.cavities import Box, Tube
from packdesign.foundation.errors import InputError
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.cavity import allowances_of, cavity_of
from packdesign.planning.shortlist.change import Change
from packdesign.planning.shortlist.record import Rejected
from packdesign.planning.shortlist.rooms import Rooms

__all__ = ["more_room", "shortfall_words"]

_MM: Final = 1000.0
_TENTHS: Final = 10.0
_LARGEST_GROWTH_M: Final = 0.4
"""More room than this is no change of a device any more; own choice. [m]"""
_FINE_M: Final = 5e-5
"""To what one edge is found; sizes are given to the next tenth of a millimetre. [m]"""
_TOO: Final = {"bore": "wide", "width": "wide", "height": "high", "length": "long"}


def shortfall_words(missing_m: Mapping[str, float]) -> str:
    """Say by how much something is too large.

    Parameters
    ----------
    missing_m : mapping
        What is missing, by the name of the edge. [m]

    Examples
    --------
    >>> shortfall_words({"bore": 0.0021})
    '2.1 mm too wide'
    """
    return " and ".join(
        f"{_up_mm(amount_m):.1f} mm too {_TOO.get(name, f'large for the {name}')}"
        for name, amount_m in missing_m.items()
    )


def more_room(brief: Brief, fallen: Rejected, rooms: Rooms, *, thorough: bool) -> Change | None:
    """Give the least more room with which enough cells go into a tube or a box.

    Parameters
    ----------
    brief : Brief
        The brief, open.
    fallen : Rejected
        The cell that fell for want of room.
    rooms : Rooms
        Answers of geometry for this brief.
    thorough : bool
        Look at each edge alone too; that takes up to a second in a box.

    Returns
    -------
    Change or None
        None where nothing was found; with several ways the least, and the others in words.
    """
    cavity, wanted = rooms.cavity, fallen.series
    if not isinstance(cavity, Tube | Box) or wanted is None:
        return None
    ways: list[dict[str, float]] = []
    near = rooms.nearest_m(fallen.cell, series=wanted)
    if near and set(near) <= set(_TOO) and _goes_in(brief, fallen.cell, near, wanted=wanted):
        ways.append(dict(near))
    if thorough:
        for name in (
            ("bore", "length") if isinstance(cavity, Tube) else ("length", "width", "height")
        ):
            alone_m = _alone(brief, fallen.cell, name, wanted=wanted)
            if alone_m is not None:
                ways.append({name: alone_m})
    if not ways:
        return None
    ways.sort(key=lambda way: sum(way[name] / getattr(cavity, f"{name}_m") for name in way))
    told = list(dict.fromkeys(_words(way) for way in ways))
    sizes = {name: _up_mm(getattr(cavity, f"{name}_m") + ways[0][name]) for name in ways[0]}
    return Change(
        words=" or ".join(told),
        keys={f"cavity.{name}": f"{size_mm:g} mm" for name, size_mm in sizes.items()},
    )


def _words(way: Mapping[str, float]) -> str:
    return " and ".join(f"{_up_mm(way[name]):.1f} mm more {name}" for name in way)


def _up_mm(size_m: float) -> float:
    """Round up to the next tenth of a millimetre, a rounding error apart. [mm]"""
    return math.ceil(size_m * _MM * _TENTHS - 1e-6) / _TENTHS


def _goes_in(brief: Brief, cell: Cell, more_m: Mapping[str, float], *, wanted: int) -> bool:
    """Whether enough cells go in, all that the brief reserves growing with its cavity."""
    section = brief.cavity
    if section is None:
        return False
    sizes = {
        f"{name}_m": _up_mm((getattr(section, f"{name}_m") or 0.0) + amount_m) / _MM
        for name, amount_m in more_m.items()
    }
    grown = brief.model_copy(update={"cavity": section.model_copy(update=sizes)})
    try:
        return most_cells(cell, cavity_of(grown), allowances_of(grown, cell))[0] >= wanted
    except InputError:
        return False


def _alone(brief: Brief, cell: Cell, name: str, *, wanted: int) -> float | None:
    """How much one edge must grow, alone; None where it does not help. [m]"""
    high_m = 0.001
    while not _goes_in(brief, cell, {name: high_m}, wanted=wanted):
        high_m *= 2.0
        if high_m > _LARGEST_GROWTH_M:
            return None
    low_m = 0.0
    while high_m - low_m > _FINE_M:
        middle_m = (low_m + high_m) / 2.0
        if _goes_in(brief, cell, {name: middle_m}, wanted=wanted):
            high_m = middle_m
        else:
            low_m = middle_m
    return high_m
