"""A charge plan on the terminal: what to set, how long, what feeds it, balance, first charge."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

from packdesign.presentation.cli.screen import heading, indented, plain_table, show_table
from packdesign.presentation.cli.show_charge_study import bench_sections, study_sections
from packdesign.presentation.cli.show_run import opening
from packdesign.presentation.cli.words import amount, band_text, duration, duration_band

if TYPE_CHECKING:
    from rich.console import Console

    from packdesign.planning.assess.parts import JudgedCharge
    from packdesign.planning.charge_plan.plan import ChargePlan
    from packdesign.planning.charge_plan.supply_plan import SupplyPlan

__all__ = ["charge_section", "show_charge"]

Rows = list[tuple[str, str]]


def show_charge(console: Console, found: JudgedCharge, *, for_the_bench: bool = False) -> None:
    """Show a charge plan with all that belongs to it.

    Parameters
    ----------
    console : Console
        Where.
    found : JudgedCharge
        The plan.
    for_the_bench : bool
        Whether the tables that are wanted at the bench are shown too.
    """
    opening(console, found)
    charge_section(console, found.plan)
    study_sections(console, found.plan, found.study)
    if for_the_bench:
        bench_sections(console, found.plan, found.study)


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
    storage = f"{plan.storage_soc * 100:.0f} % charge, {amount(plan.storage_v, 'V')} at rest"
    table = plain_table("what", "figure", head=False)
    for what, text in (
        *_time_rows(plan),
        *_supply_rows(plan.supply),
        *_balance_rows(plan),
        ("store at", storage),
    ):
        table.add_row(what, text)
    show_table(console, table)
    console.print()
    indented(console, Text("The first charge:", style="bold"))
    for number, step in enumerate(plan.first_charge, start=1):
        indented(console, f"{number}. {step}")


def _time_rows(plan: ChargePlan) -> Rows:
    if plan.charge is None:
        return []
    return [
        ("time", duration_band(plan.charge.time_s)),
        ("of it at constant current", duration_band(plan.charge.cc_time_s)),
        ("stop it by hand after", duration(plan.clock_s)),
        ("charged to", f"{100 * plan.charge.run.end_soc:.0f} %"),
        ("hottest cell", band_text(plan.charge.peak_cell_degc, "degC")),
    ]


def _supply_rows(supply: SupplyPlan) -> Rows:
    rows = [("power the supply must give", amount(supply.input_w or supply.wanted_w, "W"))]
    usb = supply.usb
    if usb is not None and usb.level is not None:
        rows.append(
            ("USB level", f"{usb.bus_v:g} V, {amount(usb.input_a, 'A')} ({usb.level.level})")
        )
    if supply.least_usb_w is not None:
        rows.append(("smallest USB source for it", f"{supply.least_usb_w:g} W"))
    port = supply.port
    if port.fuse_a is not None:
        rows.append(("fuse for the charge port", f"{port.fuse_a:g} A"))
    if port.rated_a is not None:
        rows.append((f"{port.connector} carries", amount(port.rated_a, "A")))
    return rows


def _balance_rows(plan: ChargePlan) -> Rows:
    balance = plan.balance
    rows = []
    if balance.first_h is not None:
        rows.append(("balance at the first charge", _first_balance(plan)))
    if balance.charges_needed is not None and balance.charges_needed > 1:
        rows.append(
            ("charges until it is level", f"{balance.charges_needed}, if it stops when full")
        )
    if balance.per_month_h:
        rows.append(("balance later, per month", duration(balance.per_month_h * 3600)))
    if balance.heat_w is not None and balance.most_heat_w is not None:
        rows.append(
            (
                "heat of the balancing",
                f"{amount(balance.heat_w, 'W')} a group, "
                f"{amount(balance.most_heat_w, 'W')} at most",
            )
        )
    if balance.note:
        rows.append(("about the balance", balance.note))
    return rows


def _first_balance(plan: ChargePlan) -> str:
    balance, bleed = plan.balance, plan.settings.bleed
    if not balance.first_h or bleed is None or balance.stepped_h is None:
        return "none needed"
    gap = amount(balance.gap_ah * 1000, "mAh")
    return (
        f"{duration(balance.first_h * 3600)} ({gap} at {amount(bleed.mean_a * 1000, 'mA')}; "
        f"followed step by step {duration(balance.stepped_h * 3600)})"
    )
