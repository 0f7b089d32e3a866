"""Assembly: what to measure and check, in the order of the work, with boxes and empty fields."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import Final

from packdesign.planning.assess.charge_study import balance_lead
from packdesign.planning.bench.bench_checks import BenchCheck, checks_of
from packdesign.planning.charge_plan.go_no_go import SPREAD_AMBER_V
from packdesign.planning.charge_plan.intake_plan import limits_of
from packdesign.presentation.sheet.blocks import (
    BLANK,
    Blanks,
    Block,
    Cell,
    Note,
    Section,
    Subhead,
    Table,
    Tick,
    Ticks,
)
from packdesign.presentation.sheet.facts import SheetFacts
from packdesign.presentation.sheet.words import known

__all__ = ["bench_section"]

_MOST_CELLS: Final = 40
"""Lines for cells on the sheet; beyond it the file of measured cells is the better place. [-]"""


def bench_section(facts: SheetFacts) -> Section:
    """Write the section.

    Parameters
    ----------
    facts : SheetFacts
        What was found.
    """
    checks = checks_of(facts.judged.design)
    blocks: list[Block] = [
        Blanks(("Who builds it", "Date", "Meter used", "Second pair of eyes")),
        Subhead("Every cell, before anything is joined"),
        *_cells(facts),
    ]
    for moment, group in groupby(checks, key=lambda check: check.moment):
        blocks += [Subhead(_heading(moment)), _ticks(group)]
        if moment == "joining":
            blocks.append(_groups(facts, "after its joints are made"))
        if moment == "balance wires":
            blocks += _taps(facts)
        if moment == "first rest":
            blocks.append(_gap(facts))
    blocks += _first_charge(facts)
    return Section(
        id="assembly", title="Assembly, and checks while building", blocks=tuple(blocks),
        is_on_new_page=True,
    )  # fmt: skip


def _heading(moment: str) -> str:
    return moment[:1].upper() + moment[1:]


def _ticks(checks: Iterator[BenchCheck]) -> Ticks:
    return Ticks(tuple(Tick(check.must_be, f"{check.do} ({check.source})") for check in checks))


def _cells(facts: SheetFacts) -> Iterator[Block]:
    cell, design = facts.judged.design.cell, facts.judged.design
    limits = limits_of(cell)
    most_v = None if limits.full_v is None else limits.full_v + limits.over_full_v
    yield Note(
        f"Turn a cell away that rests below {limits.floor_v:g} V or above {known(most_v, 'V')}, "
        f"holds less than {limits.least_capacity_fraction * limits.rated_capacity_ah:.3g} Ah "
        f"({limits.least_capacity_fraction * 100:.0f} % of {limits.rated_capacity_ah:g} Ah) or "
        f"more than {limits.most_capacity_fraction * limits.rated_capacity_ah:.3g} Ah, has more "
        f"than {limits.most_resistance_ratio:g} times the middle resistance of the lot, or loses "
        f"{limits.most_drop_v_per_day * 1000:g} mV a day more than the middle one over "
        f"{limits.least_rest_days:g} days (common practice, no source; the floor and the excess "
        "over full: Battery University). Write the file of measured cells for more: "
        "'packdesign group' sorts it."
    )
    count = design.series * design.parallel
    shown = min(count, _MOST_CELLS)
    yield Table(
        name="Readings of the cells",
        heads=("Cell", "Marked", "At rest [V]", "After days [V]", "Capacity [Ah]",
               "Resistance [mohm]", "Group"),
        rows=tuple((f"{number}", *(BLANK,) * 6) for number in range(1, shown + 1)),
    )  # fmt: skip
    if count > shown:
        yield Note(f"{count - shown} more cells: write them into a file for 'packdesign group'.")


def _groups(facts: SheetFacts, when: str) -> Table:
    design = facts.judged.design
    window = f"{design.cell.cutoff_v:g} to {design.cell.full_v:g} V"
    rows: list[tuple[Cell, ...]] = [
        (f"{number}", window, BLANK, BLANK, BLANK) for number in range(1, design.series + 1)
    ]
    pack = f"{design.cutoff_v:.4g} to {design.full_v:.4g} V"
    rows.append(("whole pack", pack, BLANK, BLANK, BLANK))
    return Table(
        name=f"Groups {when}",
        heads=("Group, 1 at the minus", "Allowed", "Voltage [V]", "Resistance [mohm]", "Checked"),
        rows=tuple(rows),
    )


def _taps(facts: SheetFacts) -> Iterator[Block]:
    lead = balance_lead(facts.judged.design, facts.judged.charge)
    if lead is None:
        return
    yield Table(
        name="Balance connector",
        heads=("Pin", "Joins", "Wire", "When full [V]", "Measured against pin 1 [V]"),
        rows=tuple(
            (f"{pin.number}", pin.joins, pin.wire_colour, f"{pin.full_v:.2f}", BLANK)
            for pin in lead.pins
        ),
        figures=(3,),
    )
    for note in lead.notes:
        yield Note(note)


def _gap(facts: SheetFacts) -> Table:
    mv = SPREAD_AMBER_V * 1000
    return Table(
        name="After the first rest",
        heads=("Look at", "Allowed", "Measured", "Date and time"),
        rows=(
            ("highest group", f"up to {facts.judged.design.cell.full_v:g} V", BLANK, BLANK),
            ("lowest group", f"from {facts.judged.design.cell.cutoff_v:g} V", BLANK, BLANK),
            ("between them", f"up to {mv:.0f} mV", BLANK, BLANK),
        ),
    )


def _first_charge(facts: SheetFacts) -> Iterator[Block]:
    yield Ticks(tuple(Tick(step) for step in facts.judged.charge.first_charge))
    series = facts.judged.design.series
    yield Table(
        name="Groups around the first charge",
        heads=("Group, 1 at the minus", "Before [V]", "Near the end [V]", "After an hour [V]",
               "Warm?"),
        rows=tuple((f"{number}", *(BLANK,) * 4) for number in range(1, series + 1)),
    )  # fmt: skip
    yield Blanks(("Started at", "Ended at", "Charge taken [Ah]", "Stayed with it"))
