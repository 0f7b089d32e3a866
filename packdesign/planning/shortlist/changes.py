"""The smallest change of a brief that would admit a cell, where it follows from the limit itself.

What needs trying (currents, ramps) is in :mod:`.why_not`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from packdesign.data.cells import Cell
from packdesign.engineering.geometry.arrange import most_cells, room_for_one_more
from packdesign.engineering.geometry.cavities import Box, Tube
from packdesign.foundation.errors import InputError
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.cavity import allowances_of, cavity_of
from packdesign.planning.shortlist.envelope import envelope_of
from packdesign.planning.shortlist.record import Rejected, Stage

__all__ = ["Change", "known_change", "with_known_changes"]

_MOST_GROWTHS: Final = 8
"""Times a cavity is grown for one more cell, before it is no small change any more."""
_MM: Final = 1000.0
_NEAREST: Final = 20
"""Cells that fell nearest to passing, of which a change is worked out unasked. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A change in words and as keys of a brief."""

    words: str
    keys: Mapping[str, object]


def with_known_changes(brief: Brief, fallen: tuple[Rejected, ...]) -> tuple[Rejected, ...]:
    """Add the change that would admit it to each of the cells nearest to passing.

    Parameters
    ----------
    brief : Brief
        The brief, open.
    fallen : tuple of Rejected
        The cells, those nearest to passing first. Room in a box is left out: that takes seconds.
    """
    is_tube = isinstance(cavity_of(brief), Tube)
    rooms: dict[tuple[object, ...], Change | None] = {}
    found = []
    for place, each in enumerate(fallen):
        if each.stage is Stage.ROOM and is_tube and len(rooms) < _NEAREST:
            size = (each.cell.size_code, each.cell.diameter_m, each.cell.length_m, each.series)
            if size not in rooms:
                rooms[size] = known_change(brief, each)
            change = rooms[size]
        else:
            is_slow = each.stage is Stage.ROOM or place >= _NEAREST
            change = None if is_slow else known_change(brief, each)
        found.append(
            each if change is None else replace(each, change=change.words, keys=change.keys)
        )
    return tuple(found)


def known_change(brief: Brief, fallen: Rejected) -> Change | None:
    """Give the smallest change that follows from the limit; None where it needs trying.

    Parameters
    ----------
    brief : Brief
        The brief, open.
    fallen : Rejected
        The cell that fell.
    """
    if fallen.stage is Stage.ROOM:
        return _more_room(brief, fallen)
    if fallen.stage is Stage.VOLTAGE:
        return _other_voltage(brief, fallen)
    if fallen.limit in ("energy", "run_time"):
        return _shorter_mission(brief, fallen)
    if fallen.limit == "charge_current":
        return _gentler_charge(fallen)
    return None


def _more_room(brief: Brief, fallen: Rejected) -> Change | None:
    cavity = cavity_of(brief)
    if not isinstance(cavity, Tube | Box) or fallen.series is None:
        return None
    grown = {}
    for name in ("bore", "length") if isinstance(cavity, Tube) else ("length", "width", "height"):
        more_m = _growth(brief, fallen.cell, cavity, name, wanted=fallen.series)
        if more_m is not None:
            grown[name] = more_m
    if not grown:
        return None
    order = sorted(grown, key=lambda name: grown[name] / getattr(cavity, f"{name}_m"))
    words = " or ".join(
        f"{math.ceil(grown[name] * _MM * 10) / 10:.1f} mm more {name}" for name in order
    )
    first = order[0]
    size_mm = math.ceil((getattr(cavity, f"{first}_m") + grown[first]) * _MM * 10) / 10
    return Change(words=words, keys={f"cavity.{first}": f"{size_mm:g} mm"})


def _growth(
    brief: Brief, cell: Cell, cavity: Tube | Box, name: str, *, wanted: int
) -> float | None:
    """How much one size must grow, alone, until enough cells go in; None where it does not help."""
    allowances = allowances_of(brief, cell)
    field = f"{name}_m"
    begin_m = getattr(cavity, field)
    for _ in range(_MOST_GROWTHS):
        try:
            if most_cells(cell, cavity, allowances)[0] >= wanted:
                return float(getattr(cavity, field) - begin_m)
            more_m = room_for_one_more(cell, cavity, allowances).more_m.get(name)
            if more_m is None:
                return None
            cavity = replace(cavity, **{field: getattr(cavity, field) + more_m})
        except InputError:
            return None
    return None


def _other_voltage(brief: Brief, fallen: Rejected) -> Change | None:
    envelope = envelope_of(brief)
    cell, series = fallen.cell, fallen.series or 1
    if envelope.series_from:
        counts = [
            count
            for count in range(1, 60)
            if count * cell.full_v <= envelope.highest_v
            and count * cell.nominal_v >= envelope.lowest_v
        ]
        if counts:
            return Change(
                words=f"{counts[0]} in series, with board and charger for that many",
                keys={"pack.protection.series": counts[0], "charger.series": counts[0]},
            )
    if fallen.limit == "voltage_max":
        return Change(
            words=f"a {envelope.highest_device} that bears {series * cell.full_v:.1f} V", keys={}
        )
    needed_v = series * cell.nominal_v
    return Change(
        words=f"a {envelope.lowest_device} that works from {needed_v:.1f} V down", keys={}
    )


def _shorter_mission(brief: Brief, fallen: Rejected) -> Change | None:
    mission, over = brief.mission, fallen.over_fraction
    if mission is None or over is None:
        return None
    left = 1.0 - over
    if mission.run_time_s is not None:
        minutes = math.floor(mission.run_time_s * left / 60.0)
        return Change(
            words=f"a run time of {minutes} min instead of {mission.run_time_s / 60:.0f} min",
            keys={"mission.run_time": f"{minutes} min"},
        )
    if mission.uses is not None:
        uses = math.floor(mission.uses * left)
        return Change(
            words=f"{uses} uses on one charge instead of {mission.uses}",
            keys={"mission.uses": uses},
        )
    return None


def _gentler_charge(fallen: Rejected) -> Change | None:
    cell = fallen.cell
    limit_a = cell.max_charge_a or cell.standard_charge_a
    if limit_a is None or fallen.parallel is None:
        return None
    amps = limit_a * fallen.parallel
    return Change(
        words=f"a charge current of {amps:.3g} A", keys={"charger.current": f"{amps:.3g} A"}
    )
