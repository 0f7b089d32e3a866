"""The charge plan: what to set, how long, what feeds it, go or no-go before each charge."""

from __future__ import annotations

from packdesign.planning.charge_plan.cold_words import cold_charge_words
from packdesign.planning.charge_plan.go_checklist import floor_words, go_checklist
from packdesign.planning.charge_plan.plan import ChargePlan
from packdesign.presentation.drawing.time_chart import Curve, Panel, time_chart_svg
from packdesign.presentation.sheet.blocks import (
    Block,
    Bullets,
    Cell,
    Note,
    Picture,
    Section,
    Subhead,
    Table,
)
from packdesign.presentation.sheet.facts import SheetFacts
from packdesign.presentation.sheet.words import band_words, known, time_band, time_words

__all__ = ["charge_section"]

_S_PER_H = 3600


def charge_section(facts: SheetFacts) -> Section:
    """Write the section.

    Parameters
    ----------
    facts : SheetFacts
        What was found.
    """
    plan, cell = facts.judged.charge, facts.judged.design.cell
    blocks: list[Block] = []
    if not plan.allowed:
        blocks.append(Note("Do not charge it as this brief has it.", is_grave=True))
    if facts.judged.brief.charger is None:
        blocks.append(
            Note("The brief names no charger: these are the cell's own standard figures.")
        )
    if plan.cautions:
        blocks.append(Bullets(plan.cautions))
    blocks += [Subhead("Set the charger to"), _card(plan), Subhead("What to expect"), _time(plan)]
    if plan.balance.note:
        blocks.append(Note(f"About the balance: {plan.balance.note}."))
    if plan.charge is not None:
        blocks.append(_curve(plan))
    blocks += [
        Subhead("First charge"),
        Note("Its steps, with boxes and fields, are in the section on assembly."),
        Subhead("Go or no-go, before every charge"),
        _checklist(facts),
        Note(floor_words(cell)),
    ]
    if cold_charge_words(cell):
        blocks.append(Note(cold_charge_words(cell)))
    if plan.supply.interlock:
        blocks += [
            Subhead(f"Charger and switch together: {plan.supply.policy.value}"),
            _interlock(plan),
        ]
    return Section(id="charge", title="Charge plan", blocks=tuple(blocks))


def _card(plan: ChargePlan) -> Table:
    return Table(
        name="Settings of the charger",
        heads=("Setting", "Value", "From"),
        rows=tuple((each.name, known(each.value, each.unit), each.origin) for each in plan.card),
        figures=(1,),
        widths_percent=(32, 16, 52),
    )


def _time(plan: ChargePlan) -> Table:
    rows: list[tuple[Cell, ...]] = []
    if plan.charge is not None:
        rows += [
            ("time", *time_band(plan.charge.time_s)),
            ("of it at constant current", *time_band(plan.charge.cc_time_s)),
            ("charged to", "", f"{100 * plan.charge.run.end_soc:.0f} %", ""),
            ("hottest cell", *band_words(plan.charge.peak_cell_degc, "degC")),
        ]
    balance, supply = plan.balance, plan.supply
    first_h = balance.first_h
    month_h = balance.per_month_h
    storage = f"{plan.storage_soc * 100:.0f} %, {known(plan.storage_v, 'V')}"
    rows += [
        ("stop it by hand after", "", time_words(plan.clock_s), ""),
        ("power the supply must give", "", known(supply.input_w or supply.wanted_w, "W"), ""),
        ("balance at the first charge", "",
         time_words(None if first_h is None else first_h * _S_PER_H), ""),
        ("balance later, per month", "",
         time_words(None if month_h is None else month_h * _S_PER_H), ""),
        ("store at", "", storage, ""),
    ]  # fmt: skip
    return Table(
        name="The charge in figures; low and high are the 5 and 95 % points",
        heads=("Figure", "Low", "Likely", "High"),
        rows=tuple(rows),
        figures=(1, 2, 3),
    )


def _curve(plan: ChargePlan) -> Picture:
    charge = plan.charge
    if charge is None:  # nothing to draw
        return Picture(svg="")
    run = charge.run
    svg = time_chart_svg(
        run.time_s,
        (
            Panel(
                title="voltage of the pack [V]",
                curves=(Curve(name="likely", values=run.voltage_v),),
                height_px=110,
            ),
            Panel(
                title="charging current [A]",
                curves=(Curve(name="likely", values=-run.current_a),),
                from_zero=True,
                height_px=90,
            ),
        ),
        title="The charge over time",
        words=f"Likely charge, {time_words(run.total_time_s)}.",
    )
    return Picture(svg=svg, caption="The likely charge, balancing after its end left out.")


def _checklist(facts: SheetFacts) -> Table:
    rows = go_checklist(facts.judged.design.cell)
    return Table(
        name="Before every charge",
        heads=("Look at", "Go", "Clear it up first", "Do not charge it"),
        rows=tuple((row.look_at, row.green, row.amber, row.red) for row in rows),
    )


def _interlock(plan: ChargePlan) -> Table:
    yes = {True: "yes", False: "no"}
    on = {True: "ON", False: "off"}
    return Table(
        name=f"Interlock: {plan.supply.policy.value}",
        heads=("Charger in", "Switch on", "Cells fit", "Charge", "Load", "Why"),
        rows=tuple(
            (yes[row.charger_present], yes[row.switch_on], yes[row.cells_fit_to_charge],
             on[row.charge_enabled], on[row.load_enabled], row.reason)
            for row in plan.supply.interlock
        ),
    )  # fmt: skip
