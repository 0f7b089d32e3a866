"""The smallest change of a brief that would let a cell in which it keeps out.

Sizes and set values follow from the limit that fell; currents and ramps are found by trying.
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
from packdesign.planning.brief.change import changed_brief
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.cavity import allowances_of, cavity_of
from packdesign.planning.needs.cells import cell_table_of
from packdesign.planning.shortlist.envelope import envelope_of, open_brief
from packdesign.planning.shortlist.record import Rejected, Stage
from packdesign.planning.shortlist.service import shortlist

__all__ = ["explained", "why_not"]

_MOST_GROWTHS: Final = 8
"""Times a cavity is grown for one more cell, before it is no small change any more."""
_TRIES: Final = 6
"""Halvings in which a current or a ramp is found: to 1/64 of its range."""
_LEAST_CURRENT: Final = 0.1
_LONGEST_RAMP: Final = 8.0
_MM: Final = 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Change:
    """A change in words and as keys."""

    words: str
    keys: Mapping[str, object]


def why_not(brief: Brief, name: str, *, any_parts: bool = False) -> Rejected | None:
    """Say why one cell is not on the shortlist, and what would admit it.

    Parameters
    ----------
    brief : Brief
        The brief.
    name : str
        Maker and part number, or the part number alone.
    any_parts : bool
        Leave out board and charger, as in :func:`.service.shortlist`.

    Returns
    -------
    Rejected or None
        None where a pack of it passes.

    Raises
    ------
    UnknownNameError
        If there is no such cell.
    """
    cell = cell_table_of(brief).find(name)
    found = shortlist(brief, any_parts=any_parts, cells=(cell,), most=1, exact=1)
    if found.best is not None or not found.rejected:
        return None
    first = explained(brief, found.rejected[0], any_parts=any_parts)
    return _with_next(brief, first, any_parts=any_parts)


def _with_next(brief: Brief, fallen: Rejected, *, any_parts: bool) -> Rejected:
    """Try the change, and say what falls next where it is not enough."""
    if not fallen.keys:
        return fallen
    wanted = open_brief(brief, any_parts=any_parts)
    try:
        found = shortlist(changed_brief(wanted, fallen.keys), cells=(fallen.cell,), most=1, exact=0)
    except InputError as error:
        return replace(fallen, change=f"{fallen.change}; but then: {error}")
    if found.best is not None or not found.rejected:
        return fallen
    return replace(fallen, change=f"{fallen.change}; but then: {found.rejected[0].reason}")


def explained(brief: Brief, fallen: Rejected, *, any_parts: bool = False) -> Rejected:
    """Add the smallest change that would admit a cell, where one is known.

    Parameters
    ----------
    brief : Brief
        The brief.
    fallen : Rejected
        The cell that fell.
    any_parts : bool
        Leave out board and charger.
    """
    wanted = open_brief(brief, any_parts=any_parts)
    change = _change_for(wanted, fallen)
    if change is None:
        return fallen
    return replace(fallen, change=change.words, keys=change.keys)


def _change_for(brief: Brief, fallen: Rejected) -> _Change | None:
    if fallen.stage is Stage.ROOM:
        return _more_room(brief, fallen)
    if fallen.stage is Stage.VOLTAGE:
        return _other_voltage(brief, fallen)
    if fallen.limit in ("energy", "run_time"):
        return _shorter_mission(brief, fallen)
    if fallen.limit == "charge_current":
        return _gentler_charge(fallen)
    if fallen.limit.startswith("voltage_min_") or fallen.limit in (
        "burst_current",
        "continuous_current",
    ):
        return _softer_load(brief, fallen)
    return None


def _more_room(brief: Brief, fallen: Rejected) -> _Change | None:
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
    return _Change(words=words, keys={f"cavity.{first}": f"{size_mm:g} mm"})


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


def _other_voltage(brief: Brief, fallen: Rejected) -> _Change | None:
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
            return _Change(
                words=f"{counts[0]} in series, with board and charger for that many",
                keys={"pack.protection.series": counts[0], "charger.series": counts[0]},
            )
    if fallen.limit == "voltage_max":
        return _Change(
            words=f"a {envelope.highest_device} that bears {series * cell.full_v:.1f} V", keys={}
        )
    needed_v = series * cell.nominal_v
    return _Change(
        words=f"a {envelope.lowest_device} that works from {needed_v:.1f} V down", keys={}
    )


def _shorter_mission(brief: Brief, fallen: Rejected) -> _Change | None:
    mission, over = brief.mission, fallen.over_fraction
    if mission is None or over is None:
        return None
    left = 1.0 - over
    if mission.run_time_s is not None:
        minutes = math.floor(mission.run_time_s * left / 60.0)
        return _Change(
            words=f"a run time of {minutes} min instead of {mission.run_time_s / 60:.0f} min",
            keys={"mission.run_time": f"{minutes} min"},
        )
    if mission.uses is not None:
        uses = math.floor(mission.uses * left)
        return _Change(
            words=f"{uses} uses on one charge instead of {mission.uses}",
            keys={"mission.uses": uses},
        )
    return None


def _gentler_charge(fallen: Rejected) -> _Change | None:
    cell = fallen.cell
    limit_a = cell.max_charge_a or cell.standard_charge_a
    if limit_a is None or fallen.parallel is None:
        return None
    amps = limit_a * fallen.parallel
    return _Change(
        words=f"a charge current of {amps:.3g} A", keys={"charger.current": f"{amps:.3g} A"}
    )


def _softer_load(brief: Brief, fallen: Rejected) -> _Change | None:
    """Find the current limit, else the ramp, with which a pack of the cell would pass."""
    for place, motor in enumerate(brief.all_motors):
        if motor.drive is None:
            continue
        table = "motor" if brief.motor is not None and place == 0 else f"motors.{place}"
        for words, field, unit, now, far in (
            ("current limit", "current_limit", "A", motor.drive.current_limit_a, _LEAST_CURRENT),
            ("ramp", "ramp_up", "s", motor.drive.ramp_up_s, _LONGEST_RAMP),
        ):
            if not now:
                continue
            knob = _Knob(key=f"{table}.drive.{field}", now=now, unit=unit)
            share = _least_change(brief, fallen.cell, knob, far=far)
            if share is not None:
                return _Change(
                    words=f"a {words} of {now * share:.3g} {unit} for {motor.name} instead of "
                    f"{now:g} {unit}",
                    keys=knob.turned(share),
                )
    return None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Knob:
    """A figure of a brief that may be turned."""

    key: str
    now: float
    unit: str

    def turned(self, share: float) -> Mapping[str, object]:
        """Give the key with its value at a share of what it is now."""
        return {self.key: f"{self.now * share:.3g} {self.unit}"}


def _passes(brief: Brief, cell: Cell, changes: Mapping[str, object]) -> bool:
    try:
        tried = changed_brief(brief, changes)
        found = shortlist(tried, cells=(cell,), most=1, exact=0)
    except InputError:
        return False
    return found.best is not None


def _least_change(brief: Brief, cell: Cell, knob: _Knob, *, far: float) -> float | None:
    """Find by halving the factor nearest to 1 that passes; None where the far end does not."""
    if not _passes(brief, cell, knob.turned(far)):
        return None
    good, bad = far, 1.0
    for _ in range(_TRIES):
        middle = math.sqrt(good * bad)
        if _passes(brief, cell, knob.turned(middle)):
            good = middle
        else:
            bad = middle
    return good
