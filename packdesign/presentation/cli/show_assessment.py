"""A whole assessment on the terminal: dangers, verdict, pack, verdicts, numbers, in that order."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.text import Text

from packdesign.planning.assess.own_stop import own_stop_s
from packdesign.presentation.cli.screen import heading, indented, plain_table, show_table
from packdesign.presentation.cli.show_charge import charge_section
from packdesign.presentation.cli.show_pack import show_pack
from packdesign.presentation.cli.show_run import discharge_section, gauge_section
from packdesign.presentation.cli.show_verdicts import show_dangers, show_overall, show_verdicts
from packdesign.presentation.cli.words import amount, duration

if TYPE_CHECKING:
    from rich.console import Console

    from packdesign.planning.assess.record import Assessment
    from packdesign.planning.assess.start_report import StartReport

__all__ = ["show_assessment"]


def show_assessment(
    console: Console, found: Assessment, starts: Sequence[StartReport] = ()
) -> None:
    """Show the whole job.

    Parameters
    ----------
    console : Console
        Where.
    found : Assessment
        The assessment.
    starts : sequence of StartReport
        What each motor takes.
    """
    from packdesign.planning.assess.judge_electrical import peak_current_a
    from packdesign.planning.assess.pack_figures import pack_figures

    if found.brief.title:
        console.print(Text(found.brief.title, style="bold"))
    show_dangers(console, found.dangers, found.cautions)
    show_overall(console, found.told, found.overall)
    show_pack(console, pack_figures(found.design))
    _measured_line(console, found)
    show_verdicts(console, found.judged)
    discharge_section(
        console,
        found.discharge,
        peak_a=peak_current_a(found.loading, found.discharge),
        stop_s=own_stop_s(found.discharge.as_it_ends.trace, found.gauge)
        if found.brief.monitor
        else None,
    )
    if starts:
        _starts_section(console, starts)
    charge_section(console, found.charge)
    gauge_section(console, found.gauge)


def _measured_line(console: Console, found: Assessment) -> None:
    """Say which figures of the model were measured on this very pack."""
    model = found.design.model
    named = [name for name, basis in model.cell.bases.items() if basis.startswith("measured")]
    if str(model.thermal.basis) == "measured":
        named.append("cooling")
    if named:
        indented(console, f"Measured, not from the datasheet: {', '.join(named)}.")


def _starts_section(console: Console, starts: Sequence[StartReport]) -> None:
    heading(console, "Motors: start, running, shaft held")
    table = plain_table("motor", "when", "battery", "motor", numbers=0)
    for report in starts:
        name = report.motor if report.count == 1 else f"{report.count} x {report.motor}"
        held = "shaft held, full pack"
        if report.stall_is_limited:
            held = f"{held} (limited by the driver)"
        running = "running" if not report.steady_is_stalled else "running: IT STANDS STILL"
        for when, battery_a, motor_a in (
            ("start, peak", report.start_battery_a, report.start_motor_a),
            (running, report.steady_battery_a, report.steady_motor_a),
            (held, report.stall_battery_a, report.stall_motor_a),
        ):
            table.add_row(name, when, amount(battery_a, "A"), amount(motor_a, "A"))
            name = ""
    show_table(console, table)
    for report in starts:
        console.print()
        words = (_rail_sentence(report), _ramp_sentence(report), *report.ways)
        indented(console, f"{report.motor}: {' '.join(words)}")


def _rail_sentence(report: StartReport) -> str:
    if report.lowest_rail_v is None:
        if not report.lowest_rail_time_s:
            return f"No start was simulated: {report.lowest_rail_when}."
        return (
            f"The supply collapses {duration(report.lowest_rail_time_s)} into the start "
            f"({report.lowest_rail_when})."
        )
    needed = f"{report.needed_rail_v:.2f} V is needed."
    if report.needed_rail_v <= 0:
        needed = "nothing in the brief says what driver and controller need."
    return (
        f"The lowest rail is {report.lowest_rail_v:.2f} V, "
        f"{duration(report.lowest_rail_time_s)} into the start ({report.lowest_rail_when}); "
        f"{needed}"
    )


def _ramp_sentence(report: StartReport) -> str:
    found = report.passing
    if found is None:
        return f"Ramp: {report.passing_note}."
    own = f"the brief has {duration(report.ramp_s)}"
    if report.needed_rail_v <= 0:
        return f"Which ramp passes is not known without it; {own}."
    if found.at_end:
        return f"It would pass even without a ramp; {own}."
    return (
        f"The ramp that just passes is {duration(found.value)} ({own}); it hinges on the "
        f"{found.hinges_on}, {found.corner}."
    )
