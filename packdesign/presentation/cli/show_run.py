"""Discharge, charge and gauge on the terminal, each with its dangers first."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from rich.text import Text

from packdesign.presentation.cli.screen import heading, indented, plain_table, show_table
from packdesign.presentation.cli.show_pack import show_pack
from packdesign.presentation.cli.show_verdicts import show_dangers, show_overall, show_verdicts
from packdesign.presentation.cli.words import amount, band_text, duration, duration_band

if TYPE_CHECKING:
    from rich.console import Console

    from packdesign.planning.assess.discharge import DischargeOutcome
    from packdesign.planning.assess.parts import (
        JudgedCharge,
        JudgedDischarge,
        JudgedGauge,
        JudgedPart,
    )
    from packdesign.planning.charge_plan.plan import ChargePlan
    from packdesign.planning.gauge.service import Gauge

__all__ = [
    "charge_section",
    "discharge_section",
    "gauge_section",
    "show_charge",
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

    _opening(console, found)
    peak_a = peak_current_a(found.loading, found.outcome)
    discharge_section(console, found.outcome, peak_a=peak_a)


def show_charge(console: Console, found: JudgedCharge) -> None:
    """Show a charge plan with all that belongs to it.

    Parameters
    ----------
    console : Console
        Where.
    found : JudgedCharge
        The plan.
    """
    _opening(console, found)
    charge_section(console, found.plan)


def show_gauge(console: Console, found: JudgedGauge) -> None:
    """Show the voltages of the gauge with all that belongs to them.

    Parameters
    ----------
    console : Console
        Where.
    found : JudgedGauge
        The gauge.
    """
    _opening(console, found)
    gauge_section(console, found.gauge)


def _opening(console: Console, found: JudgedPart) -> None:
    from packdesign.planning.assess.pack_figures import pack_figures
    from packdesign.planning.verdicts.verdict import overall_status

    show_dangers(console, found.hazards, found.cautions)
    show_overall(console, found.verdicts, overall_status(found.verdicts))
    show_pack(console, pack_figures(found.design))
    show_verdicts(console, found.judged)


def discharge_section(console: Console, outcome: DischargeOutcome, *, peak_a: float) -> None:
    """Show the figures of a discharge.

    Parameters
    ----------
    console : Console
        Where.
    outcome : DischargeOutcome
        The discharge.
    peak_a : float
        Largest current of the pack at any instant. [A]
    """
    summary, bands = outcome.summary, outcome.bands
    heading(console, f"Discharge (engine: {outcome.engine}; range: 5 to 95 %)")
    delivered = f"{amount(summary.delivered_ah, 'Ah')}, {amount(summary.delivered_wh, 'Wh')}"
    table = plain_table("what", "figure", head=False)
    for what, figure in (
        ("run time", duration_band(outcome.run_time_s)),
        ("ends by", outcome.ends_by),
        ("delivered", delivered),
        ("lowest voltage of the pack", band_text(outcome.min_voltage_v, "V", digits=4)),
        ("current, peak and rms", f"{amount(peak_a, 'A')}, {amount(summary.rms_current_a, 'A')}"),
        ("hottest cell", band_text(outcome.peak_cell_degc, "degC")),
        ("hottest surface", amount(summary.peak_surface_degc, "degC")),
    ):
        table.add_row(what, figure)
    show_table(console, table)
    if bands.advice:
        indented(console, Text.assemble(("Measure first: ", "bold"), bands.advice))


def charge_section(console: Console, plan: ChargePlan) -> None:
    """Show the figures of a charge plan.

    Parameters
    ----------
    console : Console
        Where.
    plan : ChargePlan
        The plan.
    """
    heading(console, "Charge")
    for note in plan.cautions:
        indented(console, Text.assemble(("! ", "bold red"), note))
    card = plain_table("set the charger to", "value", "from", numbers=1)
    for figure in plan.card:
        card.add_row(figure.name, amount(figure.value, figure.unit), figure.origin)
    show_table(console, card)
    console.print()
    rows = [("power the supply must give", amount(plan.supply_w, "W"))]
    if plan.charge is not None:
        rows = [
            ("time", duration_band(plan.charge.time_s)),
            ("of it at constant current", duration_band(plan.charge.cc_time_s)),
            ("hottest cell", band_text(plan.charge.peak_cell_degc, "degC")),
            *rows,
        ]
    rows += _balance_rows(plan)
    rows.append(
        (
            "store at",
            f"{plan.storage_soc * 100:.0f} % charge, {amount(plan.storage_v, 'V')} at rest",
        )
    )
    table = plain_table("what", "figure", head=False)
    for what, text in rows:
        table.add_row(what, text)
    show_table(console, table)
    console.print()
    indented(console, Text("The first charge:", style="bold"))
    for number, step in enumerate(plan.first_charge, start=1):
        indented(console, f"{number}. {step}")


def _balance_rows(plan: ChargePlan) -> list[tuple[str, str]]:
    balance = plan.balance
    rows = []
    if balance.first_h is not None:
        first = duration(balance.first_h * 3600)
        rows.append(("balance at the first charge", first if balance.first_h else "none needed"))
    if balance.per_month_h:
        rows.append(("balance later, per month", duration(balance.per_month_h * 3600)))
    if balance.note:
        rows.append(("about the balance", balance.note))
    return rows


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
        f"worst reading error {found.error.worst_v:.2f} V; drain "
        f"{amount(divider.drain_mah_per_day(pack_v=found.thresholds.full_v), 'mAh')} a day."
    )
    indented(console, rest)
