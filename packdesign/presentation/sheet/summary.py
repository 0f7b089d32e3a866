"""The first page: the pack, what protects, charges and stops it, and what to do next.

Nothing is worked out here: every line stands in a later section too, from the same facts.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from packdesign.planning.bench.part_line import PartLine
from packdesign.planning.bench.parts_list import ASSUMED_HERE, parts_of
from packdesign.planning.verdicts.verdict import Status, Verdict
from packdesign.presentation.page.wording import ordered
from packdesign.presentation.sheet.blocks import Block, Bullets, Cell, Subhead, Table
from packdesign.presentation.sheet.facts import SheetFacts
from packdesign.presentation.sheet.words import NOT_KNOWN, count_words, known, time_words

__all__ = ["EMERGENCY", "next_steps", "summary_blocks"]

EMERGENCY: Final = (
    "If it smokes, hisses, swells or gets hot by itself: leave, close the door, call the fire "
    "service. A lithium pack can burn, burst and poison."
)
_NEXT: Final = 3
"""Things to do next that are named. [-]"""
_MM: Final = 1e3


def summary_blocks(facts: SheetFacts) -> tuple[Block, ...]:
    """Write what stands on the first page under the verdict and what to do when it burns.

    Parameters
    ----------
    facts : SheetFacts
        What was found.
    """
    return (
        Table(name="The pack in short", heads=(), rows=tuple(_rows(facts))),
        Subhead("Do next"),
        Bullets(next_steps(facts)),
    )


def _rows(facts: SheetFacts) -> Iterator[tuple[Cell, ...]]:
    figures, judged = facts.figures, facts.judged
    parts = {line.part: line for line in parts_of(judged)}
    edges = " x ".join(f"{edge * _MM:.0f}" for edge in judged.design.arrangement.envelope_size_m)
    fits = "" if figures.fits else "\nDOES NOT FIT"
    yield (
        "pack",
        f"{figures.series}S{figures.parallel}P of {figures.cell}, {figures.arrangement}, "
        f"{edges} mm, {known(figures.mass_g, 'g')} of cells and strips{fits}",
    )
    yield (
        "voltage, capacity",
        f"{known(figures.full_v, 'V', digits=4)} full, {known(figures.nominal_v, 'V', digits=4)} "
        f"nominal, {known(figures.cutoff_v, 'V', digits=4)} cut-off; "
        f"{known(figures.capacity_ah, 'Ah')}, {known(figures.energy_wh, 'Wh')}",
    )
    yield "it runs for", time_words(judged.discharge.run_time_s.mid)
    yield "fuse", _part(parts["fuse"])
    yield "wire", _part(parts["leads, minus and plus"])
    yield "charging", _charge(facts)
    yield "firmware acts at", _levels(facts)


def _part(line: PartLine) -> str:
    """What a part is, and a word where the brief does not name it."""
    if line.count is not None and line.known_from == ASSUMED_HERE:
        return f"{line.what} (assumed: the brief does not say)"
    return line.what


def _charge(facts: SheetFacts) -> str:
    plan, series = facts.judged.charge, facts.judged.design.series
    if not plan.allowed:
        return "DO NOT CHARGE it as this brief has it: see the charge plan"
    settings, charger = plan.settings, facts.judged.brief.charger
    whose = "" if charger is not None else " (the brief names no charger: the cell's own figures)"
    likely_s = None if plan.charge is None else plan.charge.time_s.mid
    by_hand = f"stop it by hand after {time_words(plan.clock_s)}"
    if likely_s is not None and likely_s > plan.clock_s:
        by_hand += ", though its current may not have fallen to the end by then"
    else:
        by_hand = f"about {time_words(likely_s)}, {by_hand}"
    volts = known(settings.end_v_per_cell * series, "V", digits=4)
    return (
        f"{volts} ({series} x {settings.end_v_per_cell:g} V), {known(settings.charge_a, 'A')}, "
        f"ends at {known(settings.end_a, 'A')}{whose}; {by_hand}"
    )


def _levels(facts: SheetFacts) -> str:
    judged = facts.judged
    levels = ", ".join(
        f"{level.name.replace('_', ' ')} {known(level.loaded_v, 'V', digits=4)} "
        f"({constant.counts} counts)"
        for level, constant in zip(
            judged.gauge.thresholds.in_order, judged.gauge.firmware, strict=True
        )
    )
    if judged.brief.monitor is None:
        return f"{levels}, under load; the brief names nothing that watches the pack"
    return f"{levels}, under load"


def next_steps(facts: SheetFacts) -> tuple[str, ...]:
    """Name the next things to do, the gravest first, and how many more there are.

    Parameters
    ----------
    facts : SheetFacts
        What was found.

    Returns
    -------
    tuple of str
        Three things, and a line on the rest where there are more. Nobody is sent to buy or build
        while a check says stop.
    """
    asked = _asked(ordered(facts.told))
    steps = list(asked[:_NEXT])
    if len(asked) > _NEXT:
        more = count_words(len(asked) - _NEXT, "more thing", "more things")
        steps.append(f"Then {more} to do, under 'Read before building'.")
        return tuple(steps)
    if facts.overall is Status.STOP:
        steps.append("Change the brief, and make this sheet again, before anything is bought.")
        return tuple(steps)
    missing = [line.part for line in parts_of(facts.judged) if line.what == NOT_KNOWN]
    if missing:
        steps.append(f"Find out before you buy, for the brief does not say: {', '.join(missing)}.")
    steps += [
        "Get the parts, and tick them off under 'Parts to get'.",
        "Measure every cell before anything is joined, under 'Assembly, and checks while "
        "building'.",
        "Join, and stay with the first charge to its end.",
    ]
    return tuple(steps[:_NEXT])


def _asked(verdicts: tuple[Verdict, ...]) -> tuple[str, ...]:
    """What the open verdicts ask for, in their order, each once."""
    fixes = (each.fix for each in verdicts if each.status is not Status.OK and each.fix)
    return tuple(dict.fromkeys(fixes))
