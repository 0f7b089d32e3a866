"""The parts to get, with a box for each that is at hand."""

from __future__ import annotations

from packdesign.planning.bench.part_line import PartLine
from packdesign.planning.bench.parts_list import parts_of
from packdesign.presentation.sheet.blocks import BLANK, Note, Section, Table
from packdesign.presentation.sheet.facts import SheetFacts
from packdesign.presentation.sheet.words import NOT_KNOWN

__all__ = ["parts_section"]


def parts_section(facts: SheetFacts) -> Section:
    """Write the section.

    Parameters
    ----------
    facts : SheetFacts
        What was found.
    """
    rows = tuple(
        (
            line.part,
            NOT_KNOWN if line.count is None and line.length_m is None else _many(line),
            line.what,
            line.known_from,
            BLANK,
        )
        for line in parts_of(facts.judged)
    )
    return Section(
        id="parts",
        title="Parts to get",
        blocks=(
            Note(
                "Only what brief, tables and layout tell. Lengths are straight lines between "
                "terminals; add slack. Where a line says not known, find it out before you buy."
            ),
            Table(
                name="Parts",
                heads=("Part", "How many", "What", "Known from", "At hand"),
                rows=rows,
                widths_percent=(17, 13, 42, 19, 9),
            ),
        ),
    )


def _many(line: PartLine) -> str:
    words = [] if line.count is None else [f"{line.count}"]
    if line.length_m is not None:
        words.append(f"{line.length_m * 1000:.0f} mm in all")
    return "\n".join(words)
