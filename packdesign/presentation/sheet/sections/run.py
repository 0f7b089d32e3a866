"""The run: voltage, current and temperature over time, and the figures with their range."""

from __future__ import annotations

from typing import Final

from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.judge_electrical import peak_current_a
from packdesign.planning.assess.own_stop import own_stop_s
from packdesign.presentation.drawing.time_chart import Curve, Panel, time_chart_svg
from packdesign.presentation.export.trace_csv import voltage_band_v
from packdesign.presentation.sheet.blocks import (
    Block,
    Cell,
    Note,
    Picture,
    Section,
    Subhead,
    Table,
)
from packdesign.presentation.sheet.facts import SheetFacts
from packdesign.presentation.sheet.words import band_words, known, time_band, time_words

__all__ = ["run_section"]

_WORDS: Final = "Black: the likely run. Grey: the voltage of 9 packs of 10 like it."
_LEFT_OUT: Final = (
    " Of many equal uses some "
    "are drawn one by one; the level line between two of them is the mean of those left out, so "
    "the largest current is in the table above, not in the drawing."
)


def run_section(facts: SheetFacts) -> Section:
    """Write the section.

    Parameters
    ----------
    facts : SheetFacts
        What was found.
    """
    outcome = facts.judged.discharge
    blocks: list[Block] = [
        Table(
            name="The run in figures; low and high are the 5 and 95 % points",
            heads=("Figure", "Low", "Likely", "High"),
            rows=_rows(facts),
            figures=(1, 2, 3),
        ),
        Picture(svg=_chart(facts), caption=_caption(outcome)),
    ]
    if outcome.weakest is not None:
        blocks.append(Note(outcome.weakest.words))
    if outcome.bands.advice:
        blocks.append(Note(f"Measure first: {outcome.bands.advice}"))
    if facts.starts:
        blocks += [Subhead("Motors: start, running, shaft held"), _starts(facts)]
    return Section(id="run", title="The run", blocks=tuple(blocks))


def _caption(outcome: DischargeOutcome) -> str:
    return _WORDS if outcome.trace.known is None else _WORDS + _LEFT_OUT


def _chart(facts: SheetFacts) -> str:
    outcome, design = facts.judged.discharge.as_it_ends, facts.judged.design
    trace = outcome.trace
    levels = [("cells' cut-off", design.cutoff_v)]
    if facts.judged.brief.monitor is not None:
        levels += [
            (each.name.replace("_", " "), each.acts_v) for each in facts.judged.gauge.firmware
        ]
    return time_chart_svg(
        trace.time_s,
        (
            Panel(
                title="voltage of the pack [V]",
                curves=(Curve(name="likely", values=trace.voltage_v),),
                band=voltage_band_v(outcome),
                levels=tuple((f"{name} {volts:.2f} V", volts) for name, volts in levels),
                height_px=170,
            ),
            Panel(
                title="current of the pack [A]",
                curves=(Curve(name="likely", values=trace.current_a),),
                from_zero=True,
                height_px=90,
            ),
            Panel(
                title="temperature [\u00b0C]",
                curves=(
                    Curve(name="hottest cell", values=trace.cell_degc),
                    Curve(name="surface", values=trace.surface_degc, is_dashed=True),
                ),
                least_span=5.0,
                height_px=100,
            ),
        ),
        title="The run over time",
        words=f"It ends after {time_words(float(trace.time_s[-1]))} by {outcome.ends_by}.",
    )


def _rows(facts: SheetFacts) -> tuple[tuple[Cell, ...], ...]:
    judged = facts.judged
    outcome = judged.discharge.as_it_ends
    summary = outcome.summary
    surface = outcome.bands.peak_surface_degc
    delivered = outcome.bands.delivered_ah
    peak_a = peak_current_a(judged.loading, judged.discharge)
    rows: list[tuple[Cell, ...]] = [
        ("run time", *time_band(outcome.run_time_s)),
        ("lowest voltage", *band_words(outcome.min_voltage_v, "V", digits=4)),
        ("air around it", "", known(outcome.air_degc, "degC"), ""),
        ("hottest cell", *band_words(outcome.peak_cell_degc, "degC")),
        ("hottest surface", *band_words(surface, "degC")),
        ("charge delivered", *band_words(delivered, "Ah")),
        ("energy delivered", "", known(summary.delivered_wh, "Wh"), ""),
        ("largest current", "", known(peak_a, "A"), ""),
        ("current, root mean square", "", known(summary.rms_current_a, "A"), ""),
        ("it ends by", "", outcome.ends_by, ""),
    ]
    if judged.brief.monitor is not None:
        stop_s = own_stop_s(outcome.trace, judged.gauge)
        if stop_s is not None:
            rows.append(("the device stops by itself after", "", time_words(stop_s), ""))
    steady = outcome.steady
    if steady is not None:
        rows += [
            ("cell, pack after pack", "", known(steady.cell_degc, "degC"), ""),
            ("surface, pack after pack", "", known(steady.surface_degc, "degC"), ""),
        ]
    return tuple(rows)


def _starts(facts: SheetFacts) -> Table:
    rows: list[tuple[Cell, ...]] = []
    for each in facts.starts:
        held = "shaft held (limited by the driver)" if each.stall_is_limited else "shaft held"
        running = "running: IT STANDS STILL" if each.steady_is_stalled else "running"
        name = each.motor if each.count == 1 else f"{each.count} x {each.motor}"
        for when, battery_a, motor_a in (
            ("start, peak", each.start_battery_a, each.start_motor_a),
            (running, each.steady_battery_a, each.steady_motor_a),
            (held, each.stall_battery_a, each.stall_motor_a),
        ):
            rows.append((name, when, known(battery_a, "A"), known(motor_a, "A")))
    return Table(
        name="Motors", heads=("Motor", "When", "Pack", "Motor"), rows=tuple(rows), figures=(2, 3)
    )
