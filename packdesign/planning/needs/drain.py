"""What a device that is switched off still takes from its pack."""

from __future__ import annotations

from packdesign.planning.brief.load_sections import DIRECT
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.parts import switch_of
from packdesign.planning.needs.rails import rail_off_a

__all__ = ["device_drain_a"]

_OPENS = ("mechanical", "relay", "plug")


def device_drain_a(brief: Brief, *, full_v: float) -> float | None:
    """Give what regulators, drivers and divider take while the device is off. [A]

    Parameters
    ----------
    brief : Brief
        The brief.
    full_v : float
        Voltage of the full pack. [V]

    Returns
    -------
    float or None
        0 behind a switch that opens, the switch's own off current where that is stated, else the
        sum; None where one of them is not known. [A]
    """
    switch = switch_of(brief.pack)
    if switch is not None and switch.kind in _OPENS:
        return 0.0
    if switch is not None and switch.off_current_a is not None:
        return switch.off_current_a
    drains = [rail_off_a(rail) for rail in brief.rails if rail.fed_by == DIRECT]
    drives = [(motor.drive, motor.count) for motor in brief.all_motors]
    drains += [
        None if drive is None or drive.idle_current_a is None else drive.idle_current_a * count
        for drive, count in drives
    ]
    drains += [None for load in brief.all_loads if load.rail == DIRECT]
    drains.append(_divider_a(brief, full_v=full_v))
    known = [each for each in drains if each is not None]
    return sum(known) if len(known) == len(drains) else None


def _divider_a(brief: Brief, *, full_v: float) -> float | None:
    monitor = brief.monitor
    if monitor is None:
        return 0.0
    if monitor.r_top_ohm is not None and monitor.r_bottom_ohm is not None:
        return full_v / (monitor.r_top_ohm + monitor.r_bottom_ohm)
    return monitor.divider_current_a
