"""Verdicts on a pack or cells in the hand: may they be charged now, and do they belong together."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.upkeep_sections import Condition, Measured
from packdesign.planning.charge_plan.go_no_go import Inspection, Light, go_or_no_go
from packdesign.planning.charge_plan.intake_file import read_intake
from packdesign.planning.charge_plan.intake_plan import IntakePlan, plan_intake
from packdesign.planning.verdicts.judge import spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_before_charge", "judge_intake"]

_DAY_S: Final = 86400.0
_NAMED: Final = 4
"""Cells or joints that a reason names before it counts the rest."""
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
        "charge_go": lowest group against the floor, with every reason, worst first; "group_count"
        where more or fewer groups were read than the pack has.
    """
    measured = brief.measured
    if measured is None:
        return
    groups_v = measured.rested_groups_v
    if not groups_v and measured.condition is None:
        return
    found = go_or_no_go(design.cell, _inspection(measured, groups_v))
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
        fix=_next_step(found.light),
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


def _next_step(light: Light) -> str:
    if light is Light.RED:
        return "Do not charge it. Take it outside, away from what burns, and recycle it."
    if light is Light.AMBER:
        return "Clear up each point first; the maker's sheet goes before all of this."
    return ""


def _inspection(measured: Measured, groups_v: tuple[float, ...]) -> Inspection:
    look = measured.condition or Condition()
    low_s = look.time_below_floor_s
    return Inspection(
        group_v=groups_v,
        cell_degc=measured.temperature_degc,
        swollen_fraction=look.swollen_fraction,
        dented=look.dented,
        leaking=look.leaking,
        smells=look.smells,
        warm_at_rest=look.warm_at_rest,
        was_wet=look.was_wet,
        days_below_two_v=None if low_s is None else low_s / _DAY_S,
    )


def judge_intake(brief: Brief, design: PackDesign) -> Iterator[Verdict]:
    """Sort the measured cells of a file, and look at every joint before it is made.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.

    Yields
    ------
    Verdict
        "intake_cells", "intake_joints", "intake_known". None where no file is named, or where the
        brief leaves the cell open.

    Raises
    ------
    TableError
        If the file cannot be used.
    """
    measured, pack = brief.measured, brief.pack
    if measured is None or measured.cells is None or pack is None or pack.cell is None:
        return
    readings = read_intake(measured.cells)
    needed = design.series * design.parallel
    try:
        plan = plan_intake(design.cell, readings, series=design.series, parallel=design.parallel)
    except OutOfRangeError as error:
        yield Verdict(
            id="intake_cells",
            status=Status.STOP,
            value=float(len(readings)),
            limit=float(needed),
            reason=f"The {len(readings)} measured cells make no pack of {needed}: {error}.",
            fix="Measure more cells of the same model and batch, or build a smaller pack.",
            basis=Basis.MEASURED,
            source=measured.cells.name,
        )
        return
    yield _cells(plan, needed=needed, source=measured.cells.name)
    if design.parallel > 1:
        yield _joints(plan, source=measured.cells.name)
    unknown = plan.intake.not_judged
    if unknown:
        yield Verdict(
            id="intake_known",
            status=Status.UNKNOWN,
            value=float(len(unknown)),
            reason=f"Not all is known of each cell: {_listed(unknown)}.",
            fix="Measure capacity, resistance and two voltages a week apart of every cell.",
            basis=Basis.MEASURED,
            source=measured.cells.name,
        )


def _listed(texts: tuple[str, ...]) -> str:
    more = len(texts) - _NAMED
    return "; ".join(texts[:_NAMED]) + (f"; and {more} more" if more > 0 else "")


def _cells(plan: IntakePlan, *, needed: int, source: str) -> Verdict:
    accepted, rejected = plan.intake.accepted, plan.intake.rejected
    is_mixed = plan.intake.raises_gate
    reason = f"{len(accepted)} of the measured cells are fit; the pack needs {needed}."
    if rejected:
        turned = tuple(f"{each.label} ({', '.join(each.reasons)})" for each in rejected)
        reason = f"{reason} Turned away: {_listed(turned)}."
    if is_mixed:
        reason = f"{reason} Not all of them are new and of one batch."
    groups = tuple(
        f"group {number}: {', '.join(labels)}"
        for number, labels in enumerate(plan.grouping.groups, start=1)
    )
    return Verdict(
        id="intake_cells",
        status=Status.CAUTION if rejected or is_mixed else Status.OK,
        value=float(len(accepted)),
        limit=float(needed),
        reason=f"{reason} Best grouping, from the minus: {'; '.join(groups)}.",
        fix="Recycle the cells turned away; never build them in to make up the count."
        if rejected
        else ("Prefer new cells of one batch." if is_mixed else ""),
        basis=Basis.MEASURED,
        source=source,
    )


def _joints(plan: IntakePlan, *, source: str) -> Verdict:
    """Every joint in parallel: level enough to be made, or not."""
    uneven = [joint for joint in plan.joints if not joint.is_level]
    peak_a = max((joint.levelling.peak_a for joint in plan.joints), default=0.0)
    told = tuple(f"{joint.label} to group {joint.group}: {joint.advice}" for joint in uneven)
    return Verdict(
        id="intake_joints",
        status=Status.STOP if uneven else Status.OK,
        value=peak_a,
        unit="A",
        reason=(
            f"Not level yet: {_listed(told)}."
            if uneven
            else f"All cells of a group are within {spoken(plan.voltage_match_v * 1000, 'mV')}: at "
            f"most {spoken(peak_a, 'A')} flow when they are joined."
        ),
        fix="Bring them level through a resistor before any strip goes on." if uneven else "",
        basis=Basis.MEASURED,
        source=source,
    )
