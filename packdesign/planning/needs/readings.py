"""Facts for the gate that were read on the very pack: volts of its groups, and how it looks."""

from __future__ import annotations

import statistics
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from packdesign.data.cells import Cell
from packdesign.foundation.constants import SECONDS_PER_DAY, SECONDS_PER_MINUTE
from packdesign.planning.brief.condition_section import Condition
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.upkeep_sections import Measured
from packdesign.planning.charge_plan.go_no_go import SWOLLEN_RED_FRACTION
from packdesign.planning.hazards.situation import Situation

__all__ = ["with_readings"]

_TOLD_BELOW_V: Final = 2.0
"""Voltage that ``measured.condition.time_below_floor`` asks about. [V]"""


def with_readings(found: Situation, brief: Brief, cell: Cell | None) -> Situation:
    """Add what was measured and seen on the pack; nothing where the brief has no ``[measured]``.

    Parameters
    ----------
    found : Situation
        What the rest of the brief tells.
    brief : Brief
        The brief.
    cell : Cell or None
        The cell, where it is chosen.

    Returns
    -------
    Situation
        What nobody measured stays None.
    """
    measured = brief.measured
    if measured is None:
        return found
    found = _with_groups(found, measured)
    found = _with_look(found, measured.condition or Condition(), cell)
    return replace(
        found,
        cell_temperature_degc=measured.temperature_degc,
        capacity_left_fraction=_capacity_left(measured, cell),
        housing_flooded=_is_flooded(brief),
    )


def _with_groups(found: Situation, measured: Measured) -> Situation:
    groups, look = measured.group_voltages_v, measured.condition or Condition()
    worst_v, median_v = _sags(measured)
    gap_v = _gap(measured.side_by_side_v)
    return replace(
        found,
        lowest_group_v=min(groups) if groups else None,
        cell_voltage_v=min(groups) if groups else None,
        group_gap_at_rest_v=max(groups) - min(groups) if groups else None,
        group_gap_at_full_v=_gap(measured.group_voltages_full_v),
        worst_group_sag_v=worst_v,
        median_group_sag_v=median_v,
        pack_gap_per_cell_v=None if gap_v is None or not found.series else gap_v / found.series,
        groups_measured_since_trip=bool(groups) if look.board_tripped else None,
        tap_voltages_v=measured.tap_voltages_v or None,
    )


def _gap(volts: Sequence[float]) -> float | None:
    return max(volts) - min(volts) if len(volts) > 1 else None


def _sags(measured: Measured) -> tuple[float | None, float | None]:
    """Largest and middle drop of a group under load. [V]"""
    rested, loaded = measured.rested_groups_v, measured.group_voltages_loaded_v
    if not rested or len(rested) != len(loaded):
        return None, None
    sags = [rest - load for rest, load in zip(rested, loaded, strict=True)]
    return max(sags), statistics.median(sags)


def _with_look(found: Situation, look: Condition, cell: Cell | None) -> Situation:
    below_s, swollen = look.time_below_floor_s, look.swollen_fraction
    is_measured_dent = look.dent_depth_m is not None
    warming = look.warming_k_per_s
    says_rest = look.warm_at_rest is not None or warming is not None
    # a rate that was measured answers for who felt nothing, never against who felt warmth
    is_warm = False if look.warm_at_rest is None and warming is not None else look.warm_at_rest
    is_below_cutoff = cell is not None and cell.cutoff_v >= _TOLD_BELOW_V
    return replace(
        found,
        is_damaged=_is_damaged(look),
        dent_depth_m=look.dent_depth_m,
        # a dent that nobody measured counts as deep
        is_pierced=False if is_measured_dent else look.dented,
        thickness_over_new_fraction=None if swollen is None else 1.0 + swollen,
        cell_was_shorted=look.was_shorted,
        short_duration_s=look.short_duration_s,
        board_has_tripped=look.board_tripped,
        pack_current_a=0.0 if says_rest else None,
        warming_k_per_min=None if warming is None else warming * SECONDS_PER_MINUTE,
        is_warm_at_rest=is_warm,
        charge_rise_k=look.charge_rise_k,
        immersed_since_check=look.was_wet,
        is_immersed=look.was_wet,
        water=look.water,
        is_wet_inside=look.water_inside,
        housing_being_opened=look.to_be_opened,
        days_below_two_volts=None if below_s is None else below_s / SECONDS_PER_DAY,
        below_floor_s=below_s if is_below_cutoff else None,
        charge_count=0 if look.first_charge else None,
    )


def _is_damaged(look: Condition) -> bool | None:
    """Whether it counts as damaged for whoever carries, stores or takes it back."""
    swollen = look.swollen_fraction
    bulges = swollen is not None and swollen > SWOLLEN_RED_FRACTION
    return True if bulges or look.dent_depth_m else _any(look.dented, look.leaking)


def _any(*said: bool | None) -> bool | None:
    """Yes if any is said to be so, not known if none is and one is left open."""
    if any(said):
        return True
    return None if None in said else False


def _capacity_left(measured: Measured, cell: Cell | None) -> float | None:
    """Share of the sheet's capacity that a cell was measured to hold. [-]"""
    if measured.cell_capacity_ah is None or cell is None:
        return None
    return measured.cell_capacity_ah / cell.capacity_ah


def _is_flooded(brief: Brief) -> bool | None:
    """Whether a closed housing holds water, or may: it was under water and nobody looked in."""
    look = (brief.measured or Measured()).condition or Condition()
    if brief.cavity is not None and brief.cavity.closure == "open":
        return False
    return look.was_wet if look.water_inside is None else look.water_inside
