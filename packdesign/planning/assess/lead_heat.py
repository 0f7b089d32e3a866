"""How warm the lead of a pack gets in its place, how fast, and what its insulation bears.

What current a table lets it carry is in :mod:`packdesign.planning.assess.lead_ampacity`.
"""

from __future__ import annotations

import functools
from typing import Final

from packdesign.data.conductors import load_conductors, wire
from packdesign.engineering.electrical.conductors import wire_diameter_m
from packdesign.engineering.thermal.conductor_rise import settled_wire_degc
from packdesign.engineering.thermal.conductor_time import wire_time_constant_s
from packdesign.foundation.basis import Band
from packdesign.foundation.errors import OutOfRangeError, UnknownNameError
from packdesign.planning.assess.hardest_stretch import CONTACT_SETTLES_S
from packdesign.planning.assess.lead_ampacity import lead_is_bundled
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.heat import ambient_degc, hottest_day_k
from packdesign.planning.needs.wiring import lead_awg_of

__all__ = ["insulation_limit", "lead_time_s", "settled_lead_degc", "warmest_air_degc"]

_TOLD: Final = "stated in the brief"
_BUNDLED_RISE: Final = 2.0
"""Rise among other loaded wires over that alone: wiring codes let 4 to 9 loaded wires carry 70 %,
half the heat; from memory. [-]"""
_INSULATION_WALL_M: Final = 0.0006
"""Wall of the insulation where the table has no such wire: 0.4 to 0.8 mm is usual, from memory."""


def insulation_limit(brief: Brief) -> tuple[float | None, str]:
    """Give what the insulation of the lead bears, and where that is from. [degC]

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    lead = brief.pack.lead if brief.pack is not None else None
    if lead is None:
        return None, ""
    if lead.insulation_degc is not None:
        return lead.insulation_degc, _TOLD
    named = (lead.insulation or "").lower()
    rows = [
        row
        for row in load_conductors()
        if named and named in row.insulation.lower() and row.insulation_degc is not None
    ]
    if not rows:
        return None, ""
    lowest = min(rows, key=lambda row: row.insulation_degc or 0.0)
    return lowest.insulation_degc, lowest.source


def warmest_air_degc(brief: Brief) -> float:
    """Give the air around the lead on the hottest day. [degC]

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    return ambient_degc(brief) + hottest_day_k(brief)


def settled_lead_degc(brief: Brief, *, current_a: float) -> Band | None:
    """Temperature at which the lead settles on the hottest day; None where its gauge is unknown.

    Parameters
    ----------
    brief : Brief
        The brief.
    current_a : float
        Steady or rms current. [A]

    Returns
    -------
    Band or None
        Alone in free air, and at the high end in its place; infinite where it finds no balance
        within 200 K of the air. [degC]
    """
    air_degc = warmest_air_degc(brief)
    try:
        alone_degc = _alone_degc(lead_awg_of(brief), float(f"{current_a:.3g}"), air_degc)
    except OutOfRangeError:
        return None
    crowded_degc = alone_degc
    if lead_is_bundled(brief):
        crowded_degc = air_degc + _BUNDLED_RISE * (alone_degc - air_degc)
    return Band(alone_degc, alone_degc, crowded_degc)


def lead_time_s(brief: Brief) -> float:
    """Give the time in which the lead warms up; a short one where its gauge is unknown. [s]

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    awg = lead_awg_of(brief)
    try:
        return wire_time_constant_s(awg=awg, outer_diameter_m=_outer_m(awg))
    except OutOfRangeError:
        return CONTACT_SETTLES_S


def _outer_m(awg: int) -> float:
    plain_m = wire_diameter_m(awg=awg) + 2 * _INSULATION_WALL_M
    try:
        row = wire(awg, kind="silicone stranded")
    except UnknownNameError:
        return plain_m
    return row.outer_diameter_m or plain_m


@functools.lru_cache(maxsize=256)
def _alone_degc(awg: int, current_a: float, air_degc: float) -> float:
    return settled_wire_degc(
        awg=awg, current_a=current_a, outer_diameter_m=_outer_m(awg), ambient_degc=air_degc
    )
