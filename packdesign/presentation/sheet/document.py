"""The document around the sections: title block, verdict on the whole, contents."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from packdesign.planning.verdicts.verdict import Status, Verdict
from packdesign.presentation.page.wording import escaped as escape
from packdesign.presentation.page.wording import ordered, title_of
from packdesign.presentation.sheet.blocks import Block, Note, Section
from packdesign.presentation.sheet.look import style_sheet
from packdesign.presentation.sheet.markup import (
    STATUS_WORDS,
    blocks_html,
    section_html,
    status_html,
)
from packdesign.presentation.sheet.sections.checks import counts_words
from packdesign.presentation.sheet.summary import EMERGENCY

__all__ = ["TitleBlock", "document_html"]

_MEANING: Final[dict[Status, str]] = {
    Status.STOP: "Do not build or use it like this.",
    Status.CAUTION: "Nothing says stop. Read every caution, and find out what is not known, before "
    "you build.",
    Status.UNKNOWN: "Too much is not known. Find it out before you build.",
    Status.OK: "Nothing was found against it. That does not make it safe.",
}
_RUNNING_LETTERS: Final = 60
_MOST_LINES: Final = 9
"""Lines of reasons that leave room for the rest of the first page; what says stop stands there even
if it takes more. The other reasons stand in the first section. [-]"""
_LETTERS_A_LINE: Final = 105
_LETTERS_OF_A_STATUS: Final = 12
"""As they come out on A4 in the letters of the style sheet. [-]"""
_POLICY: Final = "default-src 'none'; style-src 'unsafe-inline'"
"""Of the document: no script, nothing fetched."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TitleBlock:
    """What names one sheet."""

    title: str
    """Of the brief; empty: it has none."""
    pack: str
    """The pack in a few words."""
    made_on: str
    digest: str
    version: str
    overall: Status
    counts: str


def document_html(
    block: TitleBlock,
    sections: Sequence[Section],
    verdicts: Sequence[Verdict],
    *,
    summary: Sequence[Block],
) -> str:
    """Write the whole document.

    Parameters
    ----------
    block : TitleBlock
        What names it.
    sections : sequence of Section
        In the order of the sheet.
    verdicts : sequence of Verdict
        All of them; the gravest head the first page.
    summary : sequence of Block
        What else stands on the first page.

    Returns
    -------
    str
        One HTML document that needs nothing beside it.
    """
    mark, word = STATUS_WORDS[block.overall]
    is_stop = block.overall is Status.STOP
    running = "STOP: do not build or use it" if is_stop else f"{mark} {word.upper()}".strip()
    title = block.title or "pack without a title"
    style = style_sheet(
        running_title=_shortened(title),
        running_status=running,
        running_foot=f"packdesign {block.version}, brief {block.digest}, {block.made_on}",
        grave=is_stop,
    )
    warning = "STOP" if is_stop else ""
    told, left = _on_first_page(verdicts)
    overflows = sum(map(_lines, told)) > _MOST_LINES
    body = "".join(
        section_html(
            replace(section, is_on_new_page=False) if overflows and number == 1 else section,
            number=number,
            warning=warning,
        )
        for number, section in enumerate(sections, start=1)
    )
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">'
        '<meta name="viewport" content="width=device-width,initial-scale=1">'
        f"<title>{escape(word.upper())}: build sheet, {escape(title)}</title>"
        f"<style>{style}</style></head><body><main>"
        f"{_head(block, title)}{_verdict(block, told, left)}"
        f"{blocks_html((Note(EMERGENCY, is_grave=True),))}"
        f'<section id="short" class="bs-short"><h2>The pack in short</h2>{blocks_html(summary)}'
        f"</section>{_contents(sections)}{body}"
        "</main></body></html>\n"
    )


def _shortened(title: str) -> str:
    plain = " ".join(title.split())
    return plain if len(plain) <= _RUNNING_LETTERS else plain[: _RUNNING_LETTERS - 3] + "..."


def _head(block: TitleBlock, title: str) -> str:
    return (
        '<header class="bs-head"><div><p>Build sheet. Read before building.</p>'
        f"<h1>{escape(title)}</h1><p>{escape(block.pack)}</p></div>"
        f'<div class="bs-facts"><p>made on {escape(block.made_on)}</p>'
        f"<p>brief {escape(block.digest)}</p><p>packdesign {escape(block.version)}</p></div>"
        "</header>"
    )


def _on_first_page(verdicts: Sequence[Verdict]) -> tuple[list[Verdict], list[Verdict]]:
    """Part what stands on the first page from what is left to the first section."""
    found = [each for each in ordered(tuple(verdicts)) if each.status is not Status.OK]
    most = sum(each.status is Status.STOP for each in found)
    lines = sum(map(_lines, found[:most]))
    while most < len(found) and (lines := lines + _lines(found[most])) <= _MOST_LINES:
        most += 1
    return found[:most], found[most:]


def _lines(verdict: Verdict) -> int:
    """How many lines a verdict takes on the first page. [-]"""
    letters = _LETTERS_OF_A_STATUS + len(title_of(verdict)) + len(verdict.reason)
    return math.ceil(letters / _LETTERS_A_LINE)


def _verdict(block: TitleBlock, told: Sequence[Verdict], left: Sequence[Verdict]) -> str:
    mark, word = STATUS_WORDS[block.overall]
    is_stop = block.overall is Status.STOP
    kind = "bs-verdict bs-is-stop" if is_stop else "bs-verdict"
    shown = word.upper() if is_stop or not mark else f"{mark} {word}"
    items = "".join(
        f"<li>{status_html(each.status)} <b>{escape(title_of(each))}.</b> "
        f"{escape(each.reason)}</li>"
        for each in told
    )
    if left:
        more = "More" if told else "See"
        said = escape(counts_words(tuple(left)))
        items += f"<li>{more} under 'Read before building': {said}.</li>"
    listed = f'<ul class="bs-stops">{items}</ul>' if items else ""
    return (
        f'<div class="{kind}" role="alert"><strong>{escape(shown)}</strong>'
        f'<p class="bs-meaning">{escape(_MEANING[block.overall])} ({escape(block.counts)})</p>'
        f"{listed}</div>"
    )


def _contents(sections: Sequence[Section]) -> str:
    items = "".join(
        f'<li><a href="#{escape(section.id)}">{escape(section.title)}</a></li>'
        for section in sections
    )
    return (
        f'<nav aria-label="Contents"><ol class="bs-contents">{items}</ol></nav>'
        '<p class="bs-print">To print: A4 or Letter, at 100 % if the label is to be cut out.</p>'
    )
