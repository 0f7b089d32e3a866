"""Discharge and gauge on the terminal, each with its dangers first."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from rich.text import Text

from packdesign.planning.gauge.words import gauge_notes
from packdesign.presentation.cli.screen import heading, indented, plain_table, show_table
from packdesign.presentation.cli.show_pack import show_pack
from packdesign.presentation.cli.show_verdicts import show_dangers, show_part, show_verdicts
from packdesign.presentation.cli.words import amount, band_text, duration, duration_band

if TYPE_CHECKING:
    from rich.console import Console

    from packdesign.planning.assess.discharge import DischargeOutcome
    from packdesign.planning.assess.parts import JudgedDischarge, JudgedGauge, JudgedPart
    from packdesign.planning.gauge.service import Gauge

__all__ = [
    "discharge_section",
    "gauge_section",
    "opening",
    "show_discharge",
    "show_gauge",
]

_MILLI_PER_UNIT: Final = 1000.0


def show_discharge(console: Console, found: JudgedDischarge) -> None:
    """Show a discharge with all that belongs to it.

    Parameters
    ----------
    console : Console
        Where.
    found : JudgedDischarge
        The discharge.
    """
    from packdesign.planning.assess.judge_electrical import peak_current_a

    opening(console, found)
    peak_a = peak_current_a(found.loading, found.outcome)
    discharge_section(console, found.outcome, peak_a=peak_a)


def show_gauge(console: Console, found: JudgedGauge) -> None:
    """Show the voltages of the gauge with all that belongs to them.

    Parameters
    ----------
    console : Console
        Where.
    found : JudgedGauge
        The gauge.
    """
    opening(console, found)
    gauge_section(console, found.gauge)


def opening(console: Console, found: JudgedPart) -> None:
    """Show what stands before every part: dangers, verdict, pack, checks.

    Parameters
    ----------
    console : Console
        Where.
    found : JudgedPart
        The part.
    """
    from packdesign.planning.assess.pack_figures import pack_figures

    show_dangers(console, found.dangers, found.cautions)
    show_part(console, found.told)
    show_pack(console, pack_figures(found.design))
    show_verdicts(console, found.judged)


def discharge_section(
    console: Console, outcome: DischargeOutcome, *, peak_a: float, stop_s: float | None = None
) -> None:
    """Show the figures of a discharge.

    Parameters
    ----------
    console : Console
        Where.
    outcome : DischargeOutcome
        The discharge.
    peak_a : float
        Largest current of the pack at any instant. [A]
    stop_s : float or None
        Time until the device stops by itself, where it does before that. [s]
    """
    outcome = outcome.as_it_ends
    summary, bands = outcome.summary, outcome.bands
    heading(console, f"Discharge (engine: {outcome.engine}; range: 5 to 95 %)")
    in_air = f", one run in air of {amount(outcome.air_degc, 'degC')}"
    delivered = f"{amount(summary.delivered_ah, 'Ah')}, {amount(summary.delivered_wh, 'Wh')}"
    table = plain_table("what", "figure", head=False)
    for what, figure in (
        ("run time", duration_band(outcome.run_time_s)),
        ("ends by", outcome.ends_by),
        *([] if stop_s is None else [("the device stops by itself", f"after {duration(stop_s)}")]),
        ("delivered", delivered),
        ("lowest voltage of the pack", band_text(outcome.min_voltage_v, "V", digits=4)),
        ("current, peak and rms", f"{amount(peak_a, 'A')}, {amount(summary.rms_current_a, 'A')}"),
        ("hottest cell", f"{band_text(outcome.peak_cell_degc, 'degC')}{in_air}"),
        ("hottest surface", f"{amount(summary.peak_surface_degc, 'degC')}{in_air}"),
        *_steady_rows(outcome),
    ):
        table.add_row(what, figure)
    show_table(console, table)
    if outcome.weakest is not None:
        indented(console, outcome.weakest.words)
    if bands.advice:
        indented(console, Text.assemble(("Measure first: ", "bold"), bands.advice))


def _steady_rows(outcome: DischargeOutcome) -> list[tuple[str, str]]:
    """Where the heat settles, if it was worked out."""
    steady = outcome.steady
    if steady is None:
        return []
    words = (
        f"cell {amount(steady.cell_degc, 'degC')}, surface {amount(steady.surface_degc, 'degC')}, "
        f"after {duration(steady.settles_after_s)}, same air"
    )
    if steady.cell_limit_after_s is not None:
        words += f"; at the cell's limit after {duration(steady.cell_limit_after_s)}"
    return [("on average, pack after pack", words)]


def gauge_section(console: Console, found: Gauge) -> None:
    """Show the voltages of the gauge.

    Parameters
    ----------
    console : Console
        Where.
    found : Gauge
        The gauge.
    """
    heading(console, "Gauge: when the device acts")
    table = plain_table("when", "under load", "at rest", "charge left", "counts", "hold", numbers=5)
    table.add_row("full", amount(found.thresholds.full_v, "V", digits=4), "", "", "", "")
    for level, constant in zip(found.thresholds.in_order, found.firmware, strict=True):
        table.add_row(
            f"{level.name.replace('_', ' ')}",
            f"{level.loaded_v:.2f} V",
            f"{level.resting_v:.2f} V",
            f"{level.soc_fraction * 100:.0f} %",
            str(constant.counts),
            f"{constant.hold_ms} ms",
        )
    show_table(console, table)
    divider = found.divider
    rest = (
        f"Divider: {amount(divider.r_top_ohm / _MILLI_PER_UNIT, 'kohm')} over "
        f"{amount(divider.r_bottom_ohm / _MILLI_PER_UNIT, 'kohm')} on {found.adc.name}; "
        f"a count is {found.adc.count_words}; "
        f"worst reading error {found.error.worst_v:.2f} V; drain "
        f"{amount(divider.drain_mah_per_day(pack_v=found.thresholds.full_v), 'mAh')} a day."
    )
    indented(console, rest)
    for words in gauge_notes(found):
        indented(console, words)
