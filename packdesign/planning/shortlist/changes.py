"""The smallest change of a brief that would admit a cell, where it follows from the limit itself.

What needs trying (currents, ramps) is in :mod:`.why_not`.
"""

from __future__ import annotations

import math
from collections.abc import Hashable
from dataclasses import dataclass, replace

from packdesign.planning.brief.load_sections import DIRECT
from packdesign.planning.brief.schema import Brief
from packdesign.planning.shortlist.change import Change
from packdesign.planning.shortlist.envelope import envelope_of
from packdesign.planning.shortlist.parts_changes import suited_parts
from packdesign.planning.shortlist.record import Rejected, Stage
from packdesign.planning.shortlist.room_changes import more_room
from packdesign.planning.shortlist.rooms import Rooms
from packdesign.planning.verdicts.judge import slug

__all__ = ["known_change", "lower_minimum", "with_known_changes"]


def with_known_changes(
    brief: Brief, fallen: tuple[Rejected, ...], rooms: Rooms
) -> tuple[Rejected, ...]:
    """Add to each cell the change that would move the limit that stopped it.

    Parameters
    ----------
    brief : Brief
        The brief, open.
    fallen : tuple of Rejected
        The cells.
    rooms : Rooms
        Answers of geometry for this brief.
    """
    known: dict[Hashable, Change | None] = {}
    found = []
    for each in fallen:
        if each.stage is Stage.ROOM:
            size = (each.cell.form, *rooms.size_of(each.cell), each.series)
            if size not in known:
                known[size] = known_change(brief, each, rooms)
            change = known[size]
        else:
            change = known_change(brief, each, rooms)
        found.append(
            each if change is None else replace(each, change=change.words, keys=change.keys)
        )
    return tuple(found)


def known_change(
    brief: Brief, fallen: Rejected, rooms: Rooms, *, thorough: bool = False
) -> Change | None:
    """Give the smallest change that follows from the limit; None where it needs trying.

    Parameters
    ----------
    brief : Brief
        The brief, open.
    fallen : Rejected
        The cell that fell.
    rooms : Rooms
        Answers of geometry for this brief.
    thorough : bool
        Whether to look for all ways to more room, which takes longer.
    """
    if fallen.stage is Stage.ROOM:
        return more_room(brief, fallen, rooms, thorough=thorough)
    if fallen.stage is Stage.VOLTAGE:
        return _other_voltage(brief, fallen)
    if fallen.limit in ("energy", "run_time"):
        return _shorter_mission(brief, fallen)
    if fallen.limit in ("charge_current", "charger_current_too_high"):
        return _gentler_charge(fallen)
    return suited_parts(brief, fallen)


def lower_minimum(brief: Brief, fallen: Rejected) -> Change | None:
    """Give the device that would bear the sag of a cell; None where the voltage is gone.

    Parameters
    ----------
    brief : Brief
        The brief, open.
    fallen : Rejected
        The cell that fell for a lowest voltage.
    """
    over = fallen.over_fraction
    if over is None or over >= 1.0:
        return None
    for device in _devices(brief):
        if device.least_v and fallen.limit == f"voltage_min_{slug(device.name)}":
            needed_v = math.floor(device.least_v * (1.0 - over) * 10.0) / 10.0
            if needed_v <= 0:
                return None
            return Change(
                words=f"a {device.name} that works down to {needed_v:g} V",
                keys={device.least_key: f"{needed_v:g} V"},
            )
    return None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Device:
    """What hangs on the pack itself, and the keys of the voltages that it bears."""

    name: str
    least_v: float | None
    least_key: str
    most_key: str


def _devices(brief: Brief) -> list[_Device]:
    found = []
    for place, motor in enumerate(brief.all_motors):
        if motor.drive is not None:
            table = "motor" if brief.motor is not None and place == 0 else f"motors.{place}"
            found.append((f"driver of {motor.name}", motor.drive.min_v, f"{table}.drive"))
    for place, load in enumerate(brief.loads):
        if load.rail == DIRECT:
            found.append((load.name, load.min_v, f"loads.{place}"))
    return [
        _Device(
            name=name,
            least_v=least_v,
            least_key=f"{table}.min_voltage",
            most_key=f"{table}.max_voltage",
        )
        for name, least_v, table in found
    ]


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
        name, needed_v = envelope.highest_device, math.ceil(series * cell.full_v * 10.0) / 10.0
        words = f"a {name} that bears {needed_v:g} V"
        keys = {each.most_key for each in _devices(brief) if each.name == name}
    else:
        name, needed_v = envelope.lowest_device, math.floor(series * cell.nominal_v * 10.0) / 10.0
        words = f"a {name} that works from {needed_v:g} V down"
        keys = {each.least_key for each in _devices(brief) if each.name == name}
    return Change(words=words, keys=dict.fromkeys(keys, f"{needed_v:g} V"))


def _shorter_mission(brief: Brief, fallen: Rejected) -> Change | None:
    mission, over = brief.mission, fallen.over_fraction
    if mission is None or over is None:
        return None
    left = 1.0 - over
    words: list[str] = []
    keys: dict[str, object] = {}
    if mission.run_time_s is not None:
        minutes = math.floor(mission.run_time_s * left / 60.0)
        if minutes < 1:
            return None
        words.append(f"a run time of {minutes} min")
        keys["mission.run_time"] = f"{minutes} min"
    if mission.uses is not None:
        uses = math.floor(mission.uses * left)
        if uses < 1:
            return None
        words.append(f"{uses} uses on one charge")
        keys["mission.uses"] = uses
    return Change(words=" and ".join(words), keys=keys) if keys else None


def _gentler_charge(fallen: Rejected) -> Change | None:
    cell = fallen.cell
    limit_a = cell.max_charge_a or cell.standard_charge_a
    if limit_a is None or fallen.parallel is None:
        return None
    amps = math.floor(limit_a * fallen.parallel * 1000.0 + 1e-6) / 1000.0
    return Change(words=f"a charge current of {amps:g} A", keys={"charger.current": f"{amps:g} A"})
