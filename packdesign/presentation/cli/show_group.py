"""A lot of measured cells on the terminal: turned away, groups, joints."""

from __future__ import annotations

from typing import TYPE_CHECKING

from packdesign.presentation.cli.screen import heading, indented, plain_table, show_table
from packdesign.presentation.cli.show_verdicts import show_part, show_verdicts
from packdesign.presentation.cli.words import amount, duration

if TYPE_CHECKING:
    from rich.console import Console

    from packdesign.planning.assess.lot import MeasuredLot
    from packdesign.planning.charge_plan.intake_plan import IntakePlan

__all__ = ["show_group"]


def show_group(console: Console, found: MeasuredLot) -> None:
    """Show a sorted lot.

    Parameters
    ----------
    console : Console
        Where.
    found : MeasuredLot
        The lot.
    """
    show_part(console, found.told)
    show_verdicts(console, found.told)
    if found.intake.rejected:
        heading(console, "Turned away")
        table = plain_table("cell", "why")
        for each in found.intake.rejected:
            table.add_row(each.label, "; ".join(each.reasons))
        show_table(console, table)
    if found.plan is not None:
        _groups(console, found, found.plan)
        if found.plan.joints:
            _joints(console, found.plan)


def _groups(console: Console, found: MeasuredLot, plan: IntakePlan) -> None:
    grouping = plan.grouping
    heading(console, f"Groups for {found.series}S{found.parallel}P of {found.cell.name}")
    table = plain_table("group", "capacity", "cells", numbers=1)
    for number, (labels, capacity_ah) in enumerate(
        zip(grouping.groups, grouping.group_ah, strict=True), start=1
    ):
        table.add_row(str(number), amount(capacity_ah, "Ah", digits=4), ", ".join(labels))
    show_table(console, table)
    spare = f" Left over: {', '.join(grouping.spare)}." if grouping.spare else ""
    indented(
        console,
        f"Group 1 is at the pack's minus. The smallest gives {amount(grouping.usable_ah, 'Ah')}; "
        f"the groups differ by {grouping.spread_fraction * 100:.2f} %.{spare}",
    )


def _joints(console: Console, plan: IntakePlan) -> None:
    heading(console, "Before each joint")
    table = plain_table("cell", "to group", "apart", "would flow", "moves", "heat", "do", numbers=5)
    for joint in plan.joints:
        step = joint.levelling
        table.add_row(
            joint.label,
            str(joint.group),
            f"{joint.gap_v * 1000:.0f} mV",
            amount(step.peak_a, "A"),
            amount(step.moved_ah * 1000, "mAh"),
            amount(step.heat_j, "J"),
            "join it"
            if joint.is_level
            else f"first {amount(joint.resistor_ohm, 'ohm', digits=2)}, "
            f"{amount(joint.resistor_w, 'W', digits=2)} for {duration(joint.resistor_time_s)}",
        )
    show_table(console, table)
    indented(
        console,
        "Joined lowest voltage first, each to what is joined already. Within "
        f"{plan.voltage_match_v * 1000:.0f} mV cells are level; else the resistor brings them so.",
    )
