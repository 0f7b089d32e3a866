"""Verdicts on a pack in the hand: may it be charged now."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from packdesign.engineering.charging.zones import charge_zone, charge_zones
from packdesign.foundation.basis import Basis
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.brief.condition_section import Condition
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.upkeep_sections import Measured
from packdesign.planning.charge_plan.go_no_go import GoNoGo, Inspection, Light, go_or_no_go
from packdesign.planning.needs.charger import cells_now_degc, hottest_room_degc
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_before_charge"]

_DAY_S: Final = 86400.0
_LIGHTS: Final = {
    Light.GREEN: Status.OK,
    Light.AMBER: Status.CAUTION,
    Light.RED: Status.STOP,
}


def judge_before_charge(brief: Brief, design: PackDesign) -> Iterator[Verdict]:
    """Say whether the pack in the hand may be charged, where somebody has looked at it.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.

    Yields
    ------
    Verdict
        "charge_cells_now" where the cells are said to be too cold or too hot to be charged;
        "charge_go": lowest group against the floor, with every reason, worst first; "group_count"
        where more or fewer groups were read than the pack has.
    """
    yield from _cells_now(brief, design)
    measured = brief.measured
    if measured is None:
        return
    groups_v = measured.rested_groups_v
    if not groups_v and measured.condition is None:
        return
    found = go_or_no_go(
        design.cell, _inspection(measured, groups_v, room_degc=hottest_room_degc(brief))
    )
    reasons = " ".join(reason.text for reason in found.reasons)
    green = "Volts, temperature and looks are as they should be: it may be charged, watched."
    status = _LIGHTS[found.light]
    yield Verdict(
        id="charge_go",
        status=status,
        value=min(groups_v) if groups_v else None,
        limit=found.floor_v,
        unit="V",
        margin=min(groups_v) / found.floor_v - 1 if groups_v else None,
        reason=reasons or green,
        fix=_next_step(found),
        basis=Basis.PUBLISHED,
        source="; ".join(dict.fromkeys(each.source for each in found.reasons if each.source))
        or "measured by the builder",
    )
    if groups_v and len(groups_v) != design.series:
        yield Verdict(
            id="group_count",
            status=Status.CAUTION,
            value=float(len(groups_v)),
            limit=float(design.series),
            reason=f"{len(groups_v)} group voltages were read; the pack has {design.series} "
            "groups.",
            fix="Read every group, from the pack's minus, and none twice.",
            basis=Basis.MEASURED,
            source="measured by the builder",
        )


def _cells_now(brief: Brief, design: PackDesign) -> Iterator[Verdict]:
    now_degc, cell = cells_now_degc(brief), design.cell
    if now_degc is None:
        return
    any_a = cell.capacity_ah  # the borders of the zones do not depend on it
    zone = charge_zone(cell, temperature_degc=now_degc, wanted_a=any_a)
    if zone.allowed:
        return
    allowed = [each for each in charge_zones(cell, wanted_a=any_a) if each.allowed]
    low_degc, high_degc = allowed[0].low_degc, allowed[-1].high_degc
    yield Verdict(
        id="charge_cells_now",
        status=Status.STOP,
        value=now_degc,
        limit=low_degc if now_degc < low_degc else high_degc,
        unit="degC",
        reason=f"The cells are at {now_degc:g} degC, {zone.name.value} to be charged: it may be "
        f"done from {low_degc:g} to {high_degc:g} degC.",
        fix="Let the pack lie in a room for hours, measure again, then charge.",
        basis=zone.basis,
        source=zone.source,
    )


def _next_step(found: GoNoGo) -> str:
    reds = [reason for reason in found.reasons if reason.light is Light.RED]
    if any(not reason.passes for reason in reds):
        return "Do not charge it. Take it outside, away from what burns, and recycle it."
    if reds:
        return "Do not charge it now: clear up each point first, then look again."
    if found.light is Light.AMBER:
        return "Clear up each point first; the maker's sheet goes before all of this."
    return ""


def _inspection(
    measured: Measured, groups_v: tuple[float, ...], *, room_degc: float | None
) -> Inspection:
    look = measured.condition or Condition()
    low_s = look.time_below_floor_s
    return Inspection(
        group_v=groups_v,
        cell_degc=measured.temperature_degc,
        room_degc=room_degc,
        swollen_fraction=look.swollen_fraction,
        dented=look.dented,
        leaking=look.leaking,
        smells=look.smells,
        warm_at_rest=look.warm_at_rest,
        was_wet=look.was_wet,
        days_below_two_v=None if low_s is None else low_s / _DAY_S,
    )
