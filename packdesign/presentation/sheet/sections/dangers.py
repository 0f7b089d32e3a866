"""Read before building: what can hurt, what is not known, what is said with every pack."""

from __future__ import annotations

from packdesign.planning.verdicts.verdict import Status, Verdict
from packdesign.presentation.page.wording import ordered, title_of
from packdesign.presentation.sheet.blocks import Block, Bullets, Note, Section, Subhead, Table
from packdesign.presentation.sheet.facts import SheetFacts
from packdesign.presentation.sheet.sections.checks import basis_words, source_numbers
from packdesign.presentation.sheet.summary import EMERGENCY

__all__ = ["dangers_section"]


def dangers_section(facts: SheetFacts) -> Section:
    """Write the section.

    Parameters
    ----------
    facts : SheetFacts
        What was found.
    """
    open_points = [each for each in ordered(facts.told) if each.status is not Status.OK]
    blocks: list[Block] = [
        Note(EMERGENCY, is_grave=True),
        Subhead("What stands against this pack, and what is not known"),
    ]
    if open_points:
        blocks.append(_table(open_points, source_numbers(facts.told)))
    else:
        blocks.append(Note("No check says stop, caution or not known."))
    blocks += [Subhead("Said with every pack"), Bullets(facts.judged.cautions)]
    return Section(
        id="dangers", title="Read before building", blocks=tuple(blocks), is_on_new_page=True
    )


def _table(verdicts: list[Verdict], numbers: dict[str, int]) -> Table:
    return Table(
        name="Dangers, cautions and what is not known",
        heads=("Status", "What", "Do", "Basis, source"),
        rows=tuple(
            (
                verdict.status,
                f"{title_of(verdict)}\n{verdict.reason}",
                verdict.fix or "nothing is known to mend it",
                basis_words(verdict, numbers),
            )
            for verdict in verdicts
        ),
        widths_percent=(15, 41, 29, 15),
    )
