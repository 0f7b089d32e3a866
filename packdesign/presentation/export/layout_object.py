"""The layout of a pack as the object that ``packdesign layout --json`` prints."""

from __future__ import annotations

from typing import Any, Final

from packdesign.engineering.geometry.allowances import ToleranceStack
from packdesign.engineering.geometry.arrangement import Arrangement
from packdesign.engineering.geometry.swelling import PouchRoom
from packdesign.planning.layout.service import Layout
from packdesign.planning.verdicts.verdict import overall_status
from packdesign.presentation.export.contract import SCHEMA, verdict_objects
from packdesign.presentation.export.plain import number

__all__ = ["arrangement_object", "layout_object"]

_MM_PER_M: Final = 1000.0
_G_PER_KG: Final = 1000.0


def layout_object(found: Layout, *, with_all: bool = False) -> dict[str, Any]:
    """Give a layout as plain values; lengths in millimetres, what has no end as None.

    Parameters
    ----------
    found : Layout
        The layout.
    with_all : bool
        Whether the other ways to arrange the cells are given with where each cell sits.
    """
    nearest = found.nearest
    one_more = found.one_more
    others = found.others if with_all else ()
    return {
        "schema": SCHEMA,
        "overall": str(overall_status(found.verdicts)),
        "title": found.title,
        "cell": found.cell.name,
        "counts_from": "brief" if found.is_counted else "the most that go in",
        "fits": found.chosen.fits,
        "arrangement": arrangement_object(found.chosen),
        "ways": 1 + len(found.others) if found.chosen.fits else 0,
        "others": [arrangement_object(each) for each in others],
        "nearest_miss": None if nearest is None else arrangement_object(nearest),
        "room": None
        if one_more is None
        else {
            "cells": one_more.count,
            "one_more_needs_mm": {name: _mm(value) for name, value in one_more.more_m.items()},
        },
        "pouch": None if found.pouch is None else _pouch(found.pouch),
        "verdicts": verdict_objects(found.verdicts),
    }


def _mm(value_m: float) -> float | None:
    return number(value_m * _MM_PER_M)


def _point(values_m: tuple[float, ...]) -> list[float | None]:
    return [_mm(value) for value in values_m]


def arrangement_object(each: Arrangement) -> dict[str, Any]:
    """Give one arrangement as plain values; lengths in millimetres, what has no end as None.

    Parameters
    ----------
    each : Arrangement
        The arrangement.
    """
    mass_kg, stack = each.mass_kg, each.length_stack
    return {
        "name": each.name,
        "kind": each.kind,
        "fits": each.fits,
        "series": each.series,
        "parallel": each.parallel,
        "missing_mm": {name: _mm(value) for name, value in each.shortfall_m.items()},
        "reasons": list(each.reasons),
        "between_cells_mm": _mm(each.between_cells_m),
        "wall_clearance_mm": _mm(each.wall_clearance_m),
        "asked_clearance_mm": _mm(each.allowances.wall_gap_m),
        "asked_cell_gap_mm": _mm(each.allowances.gap_m),
        "length_left_mm": _mm(each.length_left_m),
        "envelope_mm": _point(each.envelope_size_m),
        "strips_mm": _point(each.series_strip_m),
        "parallel_strip_mm": _mm(each.parallel_strip_m),
        "tap_leads_mm": _point(each.tap_lead_m),
        "taps_mm": [_point(tap) for tap in each.tap_points_m],
        "exit_mm": _point(each.exit_point_m),
        "mass_g": None if mass_kg is None else number(mass_kg * _G_PER_KG),
        "strip_mass_g": number(each.strip_mass_kg * _G_PER_KG),
        "centre_of_mass_mm": _point(each.centre_of_mass_m),
        "energy_wh": number(each.energy_wh),
        "energy_wh_per_l": number(each.energy_wh_per_l),
        "length_stack_mm": None if stack is None else _stack(stack),
        "free_thickness_fraction": number(each.free_thickness_fraction),
        "cells": [
            {
                "group": cell.group,
                "centre_mm": _point(cell.centre_m),
                "axis": [number(value) for value in cell.axis],
                "positive_mm": _point(cell.positive_m),
                "negative_mm": _point(cell.negative_m),
            }
            for cell in each.placements
        ],
    }


def _stack(stack: ToleranceStack) -> dict[str, float | None]:
    return {
        "nominal": _mm(stack.nominal_m),
        "root_sum_square": _mm(stack.root_sum_square_m),
        "worst_case": _mm(stack.worst_case_m),
    }


def _pouch(room: PouchRoom) -> dict[str, Any]:
    swelling = room.swelling
    return {
        "free_fraction": number(room.free_fraction),
        "service_fraction": number(swelling.service_fraction),
        "end_of_life_fraction": number(swelling.end_of_life_fraction),
        "fault_fraction": number(swelling.fault_fraction),
        "edge_clearance_mm": _mm(room.edge_clearance_m),
        "soft_backing_mm": _mm(room.soft_backing_m),
        "is_sealed": room.is_sealed,
        "is_rigid": room.is_rigid,
        "is_trapped": room.is_trapped,
    }
