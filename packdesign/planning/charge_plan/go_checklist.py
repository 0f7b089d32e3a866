"""The go or no-go list for before each charge: what to look at, and what each finding means."""

from __future__ import annotations

from dataclasses import dataclass

from packdesign.data.cells import Cell
from packdesign.engineering.charging.zones import ZoneName, charge_zones
from packdesign.planning.charge_plan.go_no_go import (
    LOW_DAYS_RED,
    OVER_FULL_V,
    RECHARGE_FLOORS,
    SPREAD_AMBER_V,
    SPREAD_RED_V,
    SWOLLEN_AMBER_FRACTION,
    SWOLLEN_RED_FRACTION,
    has_published_floor,
    recharge_floor_v,
)

__all__ = ["ChecklistRow", "floor_words", "go_checklist"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChecklistRow:
    """One thing to look at, and what lets the charge go on."""

    look_at: str
    green: str
    amber: str
    """Charge only after it is cleared up, slowly and watched."""
    red: str
    """Do not charge it."""


def go_checklist(cell: Cell) -> tuple[ChecklistRow, ...]:
    """Give the list of a cell, with the figures that the light of a charge is judged by.

    Parameters
    ----------
    cell : Cell
        The cell.
    """
    floor_v = recharge_floor_v(cell)
    zones = [zone for zone in charge_zones(cell, wanted_a=cell.capacity_ah / 3) if zone.allowed]
    slow = [zone for zone in zones if zone.name in {ZoneName.COOL, ZoneName.WARM}]
    best = [zone for zone in zones if zone not in slow] or zones
    spread = f"{SPREAD_AMBER_V * 1000:.0f}"
    amber_v = f"under {cell.cutoff_v:g} V" if floor_v < cell.cutoff_v else "-"
    return (
        ChecklistRow(
            look_at="each group, at rest",
            green=f"{cell.cutoff_v:g} to {cell.full_v:g} V",
            amber=amber_v,
            red=f"under {floor_v:g} V, over {cell.full_v + OVER_FULL_V:g} V",
        ),
        ChecklistRow(
            look_at="between groups",
            green=f"up to {spread} mV",
            amber=f"over {spread} mV",
            red=f"over {SPREAD_RED_V * 1000:.0f} mV",
        ),
        ChecklistRow(
            look_at="cells",
            green=f"{best[0].low_degc:g} to {best[-1].high_degc:g} degC",
            amber=" and ".join(f"{zone.low_degc:g} to {zone.high_degc:g}" for zone in slow)
            + " degC"
            if slow
            else "not known",
            red=f"under {zones[0].low_degc:g}, over {zones[-1].high_degc:g} degC",
        ),
        ChecklistRow(
            look_at="thickness",
            green="as new",
            amber=f"grown over {SWOLLEN_AMBER_FRACTION * 100:.0f} %",
            red=f"grown over {SWOLLEN_RED_FRACTION * 100:.0f} %",
        ),
        ChecklistRow(
            look_at="dents, leaks, smell, water, warm at rest",
            green="none",
            amber="nobody looked",
            red="any",
        ),
        ChecklistRow(
            look_at="time spent under 2 V",
            green="none",
            amber=f"up to {LOW_DAYS_RED:g} days",
            red=f"over {LOW_DAYS_RED:g} days",
        ),
    )


def floor_words(cell: Cell) -> str:
    """Say what is published of the voltage under which a cell is never charged again.

    Parameters
    ----------
    cell : Cell
        The cell.
    """
    if not has_published_floor(cell):
        return (
            f"No floor is published for this chemistry: its cut-off, {cell.cutoff_v:g} V, is held "
            "to. Ask the maker, whose figure goes before it."
        )
    figures = "; ".join(f"{each.volts:g} V ({each.source})" for each in RECHARGE_FLOORS)
    return (
        f"Published floors disagree: {figures}. The strictest is held to; the maker's own figure "
        "goes before it."
    )
