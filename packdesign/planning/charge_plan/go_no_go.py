"""Go or no-go before a charge: volts, spread, temperature, look, smell, time spent low.

The maker's word comes before anything here. What is not known makes the light amber, never green.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

from packdesign.data.cells import Cell, Family
from packdesign.engineering.charging.zones import ZoneName, charge_zone

__all__ = [
    "ALWAYS",
    "LOW_DAYS_RED",
    "OVER_FULL_V",
    "RECHARGE_FLOORS",
    "SPREAD_AMBER_V",
    "SPREAD_RED_V",
    "SWOLLEN_AMBER_FRACTION",
    "SWOLLEN_RED_FRACTION",
    "FloorFigure",
    "GoNoGo",
    "Inspection",
    "Light",
    "Reason",
    "go_or_no_go",
    "has_published_floor",
    "recharge_floor_v",
]

_WIKIPEDIA: Final = "German Wikipedia on deep discharge, copied 2015-07-01 (dwaves.de)"
_STORE: Final = "Battery University storage notes, copy read 2026-11-25"
_FRNSW: Final = "Fire and Rescue NSW, lithium-ion battery safety, page 9426, undated"
_PRACTICE: Final = "common practice, no source"
SPREAD_AMBER_V: Final = 0.05
SPREAD_RED_V: Final = 0.30
OVER_FULL_V: Final = 0.05
_ROOM_LIMIT_DEGC: Final = 40.0
LOW_DAYS_RED: Final = 7.0
SWOLLEN_AMBER_FRACTION: Final = 0.03
SWOLLEN_RED_FRACTION: Final = 0.10
_GRAPHITE: Final = frozenset({Family.NCA, Family.NMC, Family.LCO, Family.LMO, Family.LFP})


class Light(StrEnum):
    """Colour of a reason or of the whole."""

    GREEN = "green"
    AMBER = "amber"
    RED = "red"


@dataclass(frozen=True, slots=True, kw_only=True)
class FloorFigure:
    """One published voltage below which a cell is given up."""

    volts: float
    says: str
    source: str


RECHARGE_FLOORS: Final[tuple[FloorFigure, ...]] = (
    FloorFigure(
        volts=1.5, says="below this it is no longer used: copper bridges are likely",
        source=_WIKIPEDIA,
    ),
    FloorFigure(
        volts=2.0, says="after more than a week below this it is discarded", source=_STORE
    ),
)  # fmt: skip
"""Figures for cells with graphite on copper. They disagree; the strictest is held to, for any time
spent below it, and the maker's own figure goes before all of them where it is higher."""

ALWAYS: Final[tuple[str, ...]] = (
    "Stay near and awake: never charge while asleep or out (US CPSC, 2025-09-04).",
    "Charge on a hard surface that does not burn, away from the way out, under a smoke alarm "
    "(Fire and Rescue NSW, page 9426, undated).",
    "Use only the charger set up for this pack (US CPSC, 2024-09-05).",
    "The maker's sheet for the cell goes before everything shown here.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Inspection:
    """What is seen and measured before a charge. None: nobody looked."""

    group_v: tuple[float, ...] = ()
    """Rested voltage of each group, from the pack's minus; empty: not measured. [V]"""
    cell_degc: float | None = None
    room_degc: float | None = None
    swollen_fraction: float | None = None
    """Growth in thickness since new. [-]"""
    dented: bool | None = None
    leaking: bool | None = None
    smells: bool | None = None
    warm_at_rest: bool | None = None
    was_wet: bool | None = None
    days_below_two_v: float | None = None
    """Days any cell has spent below 2.0 V. [day]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """One finding."""

    light: Light
    text: str
    source: str = ""
    passes: bool = False
    """Whether waiting or searching can clear it up; else red is for good."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GoNoGo:
    """The light for this charge, and why."""

    light: Light
    reasons: tuple[Reason, ...]
    """Worst first; empty when all is green."""
    floor_v: float
    """Voltage per cell under which it is never charged again. [V]"""
    floors: tuple[FloorFigure, ...]
    """Every figure found, so that the disagreement is seen."""
    always: tuple[str, ...] = ALWAYS


def has_published_floor(cell: Cell) -> bool:
    """Tell whether the published floors are meant for this kind of cell.

    Parameters
    ----------
    cell : Cell
        The cell.
    """
    return cell.family in _GRAPHITE


def recharge_floor_v(cell: Cell) -> float:
    """Voltage under which a cell is never recharged: the strictest of what is published. [V]

    Parameters
    ----------
    cell : Cell
        The cell.

    Notes
    -----
    Cells with graphite: the highest of ``RECHARGE_FLOORS``. LTO and sodium: no figure was found,
    so the cut-off of the cell is held to, and the maker must be asked.
    """
    if has_published_floor(cell):
        return max(figure.volts for figure in RECHARGE_FLOORS)
    return cell.cutoff_v


def go_or_no_go(cell: Cell, seen: Inspection) -> GoNoGo:
    """Judge whether a pack may be charged now.

    Parameters
    ----------
    cell : Cell
        The cell in it.
    seen : Inspection
        What was seen and measured.

    Returns
    -------
    GoNoGo
        Red if any reason is red, amber if any is amber or unknown, green only if all is known.
    """
    floor_v = recharge_floor_v(cell)
    found = (
        *_voltage_reasons(cell, seen, floor_v=floor_v),
        *_spread_reasons(seen),
        *_temperature_reasons(cell, seen),
        *_look_reasons(seen),
        *_low_time_reasons(seen),
    )
    order = {Light.RED: 0, Light.AMBER: 1, Light.GREEN: 2}
    reasons = tuple(sorted(found, key=lambda reason: order[reason.light]))
    return GoNoGo(
        light=reasons[0].light if reasons else Light.GREEN,
        reasons=reasons,
        floor_v=floor_v,
        floors=RECHARGE_FLOORS if has_published_floor(cell) else (),
    )


def _voltage_reasons(cell: Cell, seen: Inspection, *, floor_v: float) -> tuple[Reason, ...]:
    if not seen.group_v:
        text = "No group voltage was measured: measure each group at the balance connector."
        return (Reason(light=Light.AMBER, text=text, source=_PRACTICE),)
    return tuple(
        replace(reason, text=f"Group {index + 1} at {volts:.2f} V: {reason.text}")
        for index, volts in enumerate(seen.group_v)
        if (reason := _of_one_voltage(cell, volts, floor_v=floor_v)) is not None
    )


def _of_one_voltage(cell: Cell, volts: float, *, floor_v: float) -> Reason | None:
    if volts <= 0:
        text = "reversed or dead. Never charge it; recycle the pack."
        return Reason(light=Light.RED, text=text, source=_WIKIPEDIA)
    if volts < floor_v:
        text = (
            f"below {floor_v:g} V. Never charge it again; recycle it. Published figures disagree, "
            "this is the strictest; ask the maker."
        )
        return Reason(light=Light.RED, text=text, source=f"{_WIKIPEDIA}; {_STORE}")
    if volts > cell.full_v + OVER_FULL_V:
        text = f"above full ({cell.full_v:g} V). Overcharged: do not charge, take it outside."
        return Reason(light=Light.RED, text=text, source="Battery University BU-409, copy of 2017")
    if volts < cell.cutoff_v:
        text = (
            f"below the cut-off of {cell.cutoff_v:g} V. Pre-charge at a tenth of capacity or less "
            "and stop if it does not rise within minutes."
        )
        return Reason(light=Light.AMBER, text=text, source="Green Cell Tech precautions, undated")
    return None


def _spread_reasons(seen: Inspection) -> tuple[Reason, ...]:
    if len(seen.group_v) < 2:
        return ()
    spread = max(seen.group_v) - min(seen.group_v)
    if spread > SPREAD_RED_V:
        text = f"Groups are {spread * 1000:.0f} mV apart: find out why before any charge."
        return (Reason(light=Light.RED, text=text, source=_PRACTICE, passes=True),)
    if spread > SPREAD_AMBER_V:
        text = f"Groups are {spread * 1000:.0f} mV apart: charge slowly, balanced, to the end."
        return (Reason(light=Light.AMBER, text=text, source=_PRACTICE),)
    return ()


def _temperature_reasons(cell: Cell, seen: Inspection) -> tuple[Reason, ...]:
    found: list[Reason] = []
    if seen.room_degc is not None and seen.room_degc > _ROOM_LIMIT_DEGC:
        text = f"The place is at {seen.room_degc:g} degC; fire services say not above 40 degC."
        found.append(Reason(light=Light.AMBER, text=text, source="US Fire Administration, undated"))
    if seen.cell_degc is None:
        text = "The temperature of the cells is not known: let the pack lie in the room for hours."
        return (*found, Reason(light=Light.AMBER, text=text, source=_PRACTICE))
    zone = charge_zone(cell, temperature_degc=seen.cell_degc, wanted_a=_any_current(cell))
    if not zone.allowed:
        text = f"Cells at {seen.cell_degc:g} degC are {zone.name.value} to charge."
        found.append(Reason(light=Light.RED, text=text, source=zone.source, passes=True))
    elif zone.name in {ZoneName.COOL, ZoneName.WARM}:
        text = (
            f"Cells at {seen.cell_degc:g} degC are in the {zone.name.value} zone: less current or "
            "voltage, see the settings."
        )
        found.append(Reason(light=Light.AMBER, text=text, source=zone.source))
    return tuple(found)


def _any_current(cell: Cell) -> float:
    """Give a current for finding the zone; only its being above 0 matters here."""
    return cell.standard_charge_a or cell.max_charge_a or cell.capacity_ah


def _look_reasons(seen: Inspection) -> tuple[Reason, ...]:
    signs = {
        "dented, cracked or pierced": seen.dented,
        "leaking, wet or crusted": seen.leaking,
        "a sweet or sharp smell": seen.smells,
        "warm without load": seen.warm_at_rest,
        "has been under water": seen.was_wet,
    }
    found = [
        Reason(light=Light.RED, text=f"The pack: {sign}. Do not charge it.", source=_FRNSW)
        for sign, is_so in signs.items()
        if is_so
    ]
    swollen = seen.swollen_fraction
    if swollen is not None and swollen > SWOLLEN_RED_FRACTION:
        text = f"Swollen by {swollen * 100:.0f} %: gas inside. Do not charge, press or pierce."
        found.append(Reason(light=Light.RED, text=text, source=_FRNSW))
    elif swollen is not None and swollen > SWOLLEN_AMBER_FRACTION:
        text = f"Swollen by {swollen * 100:.0f} %: watch it, and plan for its end."
        found.append(Reason(light=Light.AMBER, text=text, source=_PRACTICE))
    unknown = [sign for sign, is_so in signs.items() if is_so is None]
    if swollen is None:
        unknown.append("swollen")
    if unknown:
        text = f"Nobody has looked for: {'; '.join(unknown)}."
        found.append(Reason(light=Light.AMBER, text=text, source=_FRNSW))
    return tuple(found)


def _low_time_reasons(seen: Inspection) -> tuple[Reason, ...]:
    days = seen.days_below_two_v
    if days is None or days == 0:
        return ()
    if days > LOW_DAYS_RED:
        text = f"A cell lay below 2.0 V for {days:g} days: never charge it again."
        return (Reason(light=Light.RED, text=text, source=_STORE),)
    text = f"A cell lay below 2.0 V for {days:g} days: charge it only outside, slowly, and watched."
    return (Reason(light=Light.AMBER, text=text, source=_STORE),)
