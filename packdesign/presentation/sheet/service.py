"""The build sheet in one call: a judged pack in, one document and its machine-readable twin out."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Final

from packdesign.planning.assess.record import Assessment
from packdesign.planning.assess.start_report import StartReport
from packdesign.planning.brief.digest import brief_digest
from packdesign.presentation.export.version import program_version
from packdesign.presentation.sheet.blocks import Section
from packdesign.presentation.sheet.document import TitleBlock, document_html
from packdesign.presentation.sheet.facts import SheetFacts, gather
from packdesign.presentation.sheet.sections.bench import bench_section
from packdesign.presentation.sheet.sections.charge import charge_section
from packdesign.presentation.sheet.sections.checks import checks_section, counts_words
from packdesign.presentation.sheet.sections.dangers import dangers_section
from packdesign.presentation.sheet.sections.gauge import gauge_section
from packdesign.presentation.sheet.sections.keeping import keeping_section
from packdesign.presentation.sheet.sections.pack import pack_section
from packdesign.presentation.sheet.sections.parts import parts_section
from packdesign.presentation.sheet.sections.run import run_section
from packdesign.presentation.sheet.sections.sources import sources_section
from packdesign.presentation.sheet.summary import summary_blocks
from packdesign.presentation.sheet.words import known

__all__ = ["BuildSheet", "build_sheet"]

_SECTIONS: Final = (
    dangers_section,
    pack_section,
    parts_section,
    bench_section,
    run_section,
    checks_section,
    gauge_section,
    charge_section,
    keeping_section,
    sources_section,
)
"""In the order of the sheet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildSheet:
    """One sheet."""

    html: str
    """The document; it needs nothing beside it."""
    facts: SheetFacts
    sections: tuple[Section, ...]
    digest: str
    """Of the brief, its files included."""
    version: str
    """Of the program."""


def build_sheet(
    judged: Assessment, *, starts: tuple[StartReport, ...] = (), made_on: datetime.date
) -> BuildSheet:
    """Write the build sheet of a judged pack; command line and page both call this.

    Parameters
    ----------
    judged : Assessment
        The judged pack.
    starts : tuple of StartReport
        What each motor takes.
    made_on : date
        Day that it carries, from which the storage runs.

    Returns
    -------
    BuildSheet
        The document, and its sections as plain blocks.
    """
    facts = gather(judged, starts=starts, made_on=made_on)
    sections = tuple(write(facts) for write in _SECTIONS)
    figures = facts.figures
    digest, version = brief_digest(judged.brief), program_version()
    block = TitleBlock(
        title=judged.brief.title or "",
        pack=f"{figures.series}S{figures.parallel}P of {figures.cell}, "
        f"{known(figures.energy_wh, 'Wh')}, {known(figures.full_v, 'V')} full",
        made_on=made_on.isoformat(),
        digest=digest,
        version=version,
        overall=facts.overall,
        counts=counts_words(facts.told),
    )
    return BuildSheet(
        html=document_html(block, sections, facts.told, summary=summary_blocks(facts)),
        facts=facts,
        sections=sections,
        digest=digest,
        version=version,
    )
