"""What a device that is switched off still takes from its pack."""

from __future__ import annotations

from dataclasses import dataclass

from packdesign.planning.brief.load_sections import DIRECT
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.parts import switch_of
from packdesign.planning.needs.rails import rail_off_a

__all__ = ["DeviceDrain", "device_drain"]

_OPENS = ("mechanical", "relay", "plug")


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviceDrain:
    """What a device draws while it is off."""

    known_a: float
    """Sum of all that is known. [A]"""
    is_whole: bool
    """Whether nothing is missing from the sum."""
    divider_a: float | None
    """What the divider of the gauge draws while it is fed; None: not known. [A]"""
    is_switched_off: bool
    """Whether a switch is taken to cut the divider off; it is then not in the sum."""


def device_drain(brief: Brief, *, full_v: float, divider_a: float | None = None) -> DeviceDrain:
    """Give what regulators, drivers and divider take while the device is off.

    Parameters
    ----------
    brief : Brief
        The brief.
    full_v : float
        Voltage of the full pack. [V]
    divider_a : float or None
        What the divider chosen by the gauge draws, for a brief that names no resistors; None: the
        gauge was not worked out. [A]

    Returns
    -------
    DeviceDrain
        Nothing behind a switch that opens, the switch's own off current where that is stated,
        else the sum of what is known.
    """
    divider_a = _divider_a(brief, full_v=full_v, chosen_a=divider_a)
    switch = switch_of(brief.pack)
    cut_a = None
    if switch is not None:
        cut_a = 0.0 if switch.kind in _OPENS else switch.off_current_a
    if cut_a is not None:
        return DeviceDrain(known_a=cut_a, is_whole=True, divider_a=divider_a, is_switched_off=True)
    drains = [rail_off_a(rail) for rail in brief.rails if rail.fed_by == DIRECT]
    drives = [(motor.drive, motor.count) for motor in brief.all_motors]
    drains += [
        None if drive is None or drive.idle_current_a is None else drive.idle_current_a * count
        for drive, count in drives
    ]
    drains += [None for load in brief.all_loads if load.rail == DIRECT]
    drains.append(divider_a)
    known = [each for each in drains if each is not None]
    return DeviceDrain(
        known_a=sum(known),
        is_whole=len(known) == len(drains),
        divider_a=divider_a,
        is_switched_off=False,
    )


def _divider_a(brief: Brief, *, full_v: float, chosen_a: float | None) -> float | None:
    """Resistors of the brief first, then those that the gauge chose, then what is allowed them."""
    monitor = brief.monitor
    if monitor is not None and monitor.r_top_ohm is not None and monitor.r_bottom_ohm is not None:
        return full_v / (monitor.r_top_ohm + monitor.r_bottom_ohm)
    if chosen_a is not None:
        return chosen_a
    return 0.0 if monitor is None else monitor.divider_current_a
