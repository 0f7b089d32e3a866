"""What one looks at beside a charge plan, on the terminal: other plans, go or no-go, the bench."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from rich.text import Text

from packdesign.presentation.cli.screen import heading, indented, plain_table, show_table
from packdesign.presentation.cli.words import amount, duration

if TYPE_CHECKING:
    from rich.console import Console

    from packdesign.foundation.basis import Band
    from packdesign.planning.assess.charge_study import ChargeStudy
    from packdesign.planning.charge_plan.outlook import BalanceOutlook
    from packdesign.planning.charge_plan.plan import ChargePlan

__all__ = ["bench_sections", "study_sections"]

_YES_NO: Final = {True: "yes", False: "-"}
_NOT_PUBLISHED: Final = "not published"


def study_sections(console: Console, plan: ChargePlan, study: ChargeStudy) -> None:
    """Show faster and gentler charges, the list before each charge, and the interlock.

    Parameters
    ----------
    console : Console
        Where.
    plan : ChargePlan
        The plan.
    study : ChargeStudy
        What stands beside it.
    """
    if study.choices:
        _choices(console, study)
    if study.outlook is not None:
        _drift(console, study.outlook)
    _checklist(console, study)
    if plan.supply.interlock:
        _interlock(console, plan)


def bench_sections(console: Console, plan: ChargePlan, study: ChargeStudy) -> None:
    """Show what is wanted at the bench: cell temperatures, balance connector, which end to level.

    Parameters
    ----------
    console : Console
        Where.
    plan : ChargePlan
        The plan.
    study : ChargeStudy
        What stands beside it.
    """
    _zones(console, plan)
    if study.lead is not None:
        _lead(console, study)
    if study.outlook is not None:
        _levelling(console, plan, study.outlook)


def _choices(console: Console, study: ChargeStudy) -> None:
    heading(console, "Faster and gentler")
    table = plain_table(
        "charge", "current", "per cell", "time", "hottest", "source", "filled",
        "full cycles it lives",
        numbers=6,
    )  # fmt: skip
    for each in study.choices:
        settings, run = each.choice.settings, each.run
        filled = each.capacity_fraction
        table.add_row(
            each.choice.name,
            amount(settings.charge_a, "A"),
            amount(settings.end_v_per_cell, "V"),
            duration(60 * round(run.total_time_s / 60)),
            amount(run.peak_cell_degc, "degC"),
            amount(run.supply_w, "W"),
            "-" if filled is None else f"{filled * 100:.0f} %",
            _cycles(each.cycles_to_80_percent),
        )
    show_table(console, table)
    rate = f"used at {amount(study.discharge_crate, '', digits=2)}C"
    assumed = " (assumed)" if study.crate_is_assumed else ""
    indented(
        console,
        f"Full cycles until 80 % of the capacity is left, {rate}{assumed}, by published tables of "
        "other cells: compare them with each other, promise none. A charge that fills back only a "
        "part wears less: 'packdesign keep' counts those of the mission."
        + ("" if study.rates_are_told_apart else " They tell no charge rates apart up to 1C."),
    )


def _cycles(band: Band | None) -> str:
    if band is None:
        return _NOT_PUBLISHED
    return f"{_round(band.mid)} ({_round(band.low)} to {_round(band.high)})"


def _round(number: float) -> str:
    return amount(number, "", digits=2) if number < 100 else f"{round(number, -1):.0f}"


def _drift(console: Console, outlook: BalanceOutlook) -> None:
    heading(console, f"Without balancing: {outlook.charges} charges")
    alone = outlook.alone
    often = amount(outlook.days_between, "days", digits=2)
    apart = amount(float(alone.spread_ah[-1]) * 1000, "mAh")
    gives = amount(float(alone.delivered_ah[-1]), "Ah")
    new = amount(min(outlook.group_ah), "Ah")
    over_v = alone.highest_v - outlook.full_v
    highest = (
        f"one group passes {amount(outlook.full_v, 'V')} by {over_v * 1000:.0f} mV"
        if over_v > 0.001
        else "no group passes its full voltage"
    )
    indented(
        console,
        f"A charger that sees only the whole pack, {often} from charge to charge: the groups end "
        f"{apart} apart, {highest}, the pack gives {gives} of {new}.",
    )
    if outlook.balanced is not None:
        kept = outlook.balanced
        left_mah = max(1.0, float(kept.spread_ah[-1]) * 1000)
        indented(
            console,
            f"With the balancing here they stay within {amount(left_mah, 'mAh')} and give "
            f"{amount(float(kept.delivered_ah[-1]), 'Ah')}.",
        )


def _checklist(console: Console, study: ChargeStudy) -> None:
    heading(console, "Go or no-go, before every charge")
    table = plain_table("look at", "go", "clear it up first", "do not charge it")
    for row in study.checklist:
        table.add_row(row.look_at, row.green, row.amber, row.red)
    show_table(console, table)
    indented(console, study.floor_words)
    if study.cold_words:
        indented(console, study.cold_words)


def _interlock(console: Console, plan: ChargePlan) -> None:
    heading(console, f"Charger and switch together: {plan.supply.policy.value}")
    table = plain_table("charger in", "switch on", "cells fit", "charge", "load", "why")
    for row in plan.supply.interlock:
        table.add_row(
            _YES_NO[row.charger_present],
            _YES_NO[row.switch_on],
            _YES_NO[row.cells_fit_to_charge],
            "ON" if row.charge_enabled else "off",
            "ON" if row.load_enabled else "off",
            row.reason,
        )
    show_table(console, table)


def _zones(console: Console, plan: ChargePlan) -> None:
    heading(console, "Charge by cell temperature")
    table = plain_table("cells", "zone", "pack current", "per cell", "from", numbers=0)
    parallel = plan.settings.charge_a / max(zone.charge_a for zone in plan.zones)
    for zone in plan.zones:
        low, high = zone.low_degc, zone.high_degc
        span = f"{low:g} to {high:g} degC"
        if math.isinf(low):
            span = f"under {high:g} degC"
        if math.isinf(high):
            span = f"over {low:g} degC"
        current = amount(zone.charge_a * parallel, "A") if zone.allowed else "none"
        table.add_row(
            span,
            zone.name.value,
            current,
            amount(zone.full_v, "V") if zone.allowed else "",
            str(zone.basis),
        )
    show_table(console, table)


def _lead(console: Console, study: ChargeStudy) -> None:
    lead = study.lead
    if lead is None:
        return
    heading(console, "Balance connector")
    table = plain_table("pin", "wire", "when full", "joins")
    for pin in lead.pins:
        table.add_row(str(pin.number), pin.wire_colour, f"{pin.full_v:.2f} V", pin.joins)
    show_table(console, table)
    for line in lead.notes:
        indented(console, line)
    if study.hours_lost is not None:
        indented(
            console,
            f"Small chargers, one a cell, take {duration(study.hours_lost * 3600)} longer than one "
            "charger for the pack at the standard current.",
        )


def _levelling(console: Console, plan: ChargePlan, outlook: BalanceOutlook) -> None:
    heading(console, "Which end to level")
    measured = "measured" if outlook.capacities_are_measured else "one small by a batch's spread"
    groups = ", ".join(amount(each, "Ah") for each in outlook.group_ah)
    indented(console, f"Groups of {groups} ({measured}): {amount(outlook.top.usable_ah, 'Ah')}.")
    indented(console, f"Level at the top, as balancers do: watch {outlook.top.watch}.")
    indented(console, f"Level at the bottom, by hand: watch {outlook.bottom.watch}.")
    balance = plan.balance
    if balance.path_ohm is not None and balance.heat_w is not None:
        indented(
            console,
            Text.assemble(
                ("Bleed resistor: ", "bold"),
                f"{amount(balance.path_ohm, 'ohm')} with its switch, rated "
                f"{amount(2 * balance.heat_w, 'W')} or more (twice its heat: common practice, no "
                "source).",
            ),
        )
    indented(
        console,
        f"Unequal resistance feigns {amount(outlook.feigned_ah * 1000, 'mAh')} under the full "
        f"current and {amount(outlook.feigned_at_end_ah * 1000, 'mAh')} at the end current: that "
        "is why bleeding belongs at the end.",
    )
