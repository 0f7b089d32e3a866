"""Where the figures come from, and what was assumed: who wants to check the sheet begins here."""

from __future__ import annotations

from collections import Counter
from typing import Final

from packdesign.foundation.basis import Basis
from packdesign.presentation.page.wording import title_of
from packdesign.presentation.sheet.blocks import Block, Note, Section, Subhead, Table
from packdesign.presentation.sheet.facts import SheetFacts
from packdesign.presentation.sheet.sections.checks import source_numbers

__all__ = ["sources_section"]

_MEANING: Final[dict[Basis, str]] = {
    Basis.MEASURED: "read from this very device, pack or cell, or stated in the brief",
    Basis.DATASHEET: "printed by the maker",
    Basis.PUBLISHED: "a standard, a paper, a handbook; of a like thing, not of this one",
    Basis.PRACTICE: "common practice of the trade, no source",
    Basis.ASSUMED: "recalled from memory, or chosen here for want of anything better",
}


def sources_section(facts: SheetFacts) -> Section:
    """Write the section.

    Parameters
    ----------
    facts : SheetFacts
        What was found.
    """
    design = facts.judged.design
    cell, model = design.cell, design.model
    counts = Counter(each.basis for each in facts.told)
    blocks: list[Block] = [
        Note(f"Of the cell, {cell.name}: {cell.source or 'no source'}. Trust in its row: "
             f"{cell.confidence}. {cell.notes or ''}".strip()),
        Subhead("Figures of the model"),
        Table(
            name="Basis of the model",
            heads=("Figure", "Basis"),
            rows=(
                *((name, basis) for name, basis in model.cell.bases.items()),
                ("cooling", str(model.thermal.basis)),
                *((f"resistance: {part.name}", f"{part.basis}: {part.source or 'no source'}")
                  for part in design.path.parts),
                *((f"resistance: {name}", "not known, taken as none")
                  for name in design.path.unknown),
            ),
            widths_percent=(35, 65),
        ),
        Subhead("What the bases mean, and how many checks rest on each"),
        Table(
            name="Bases",
            heads=("Basis", "Means", "Checks"),
            rows=tuple((basis.value, words, f"{counts[basis]}")
                       for basis, words in _MEANING.items()),
            figures=(2,),
        ),
    ]  # fmt: skip
    blocks += _assumptions(facts)
    named = source_numbers(facts.told)
    if named:
        blocks += [
            Subhead("Sources of the checks, by number"),
            Table(
                name="Sources of the checks",
                heads=("Source", "What it is"),
                rows=tuple((f"source {number}", source) for source, number in named.items()),
                widths_percent=(14, 86),
            ),
        ]
    return Section(id="sources", title="Sources and assumptions", blocks=tuple(blocks))


def _assumptions(facts: SheetFacts) -> list[Block]:
    assumed = [
        title_of(each) for each in facts.told
        if each.basis is Basis.ASSUMED
    ]  # fmt: skip
    doubts = facts.judged.discharge.bands
    blocks: list[Block] = []
    if doubts.ranking:
        words = ", ".join(f"{name} ({share * 100:.0f} %)" for name, share in doubts.ranking)
        blocks += [
            Subhead("Where the doubt comes from"),
            Note(f"Doubt about the {doubts.ranked_by} comes from: {words}."),
        ]
    if assumed:
        blocks += [
            Subhead("Checks that rest on an assumption"),
            Note("; ".join(assumed) + "."),
        ]
    return blocks
