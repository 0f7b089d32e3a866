"""Blocks as HTML. All text is escaped here; only our own drawings go in as they are."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from packdesign.planning.verdicts.verdict import Status
from packdesign.presentation.page.wording import escaped as escape
from packdesign.presentation.sheet.blocks import (
    BLANK,
    Blanks,
    Block,
    Bullets,
    Cell,
    Note,
    Picture,
    Section,
    Subhead,
    Table,
    Ticks,
)

__all__ = ["STATUS_WORDS", "blocks_html", "section_html", "status_html", "style_string"]

STATUS_WORDS: Final[dict[Status, tuple[str, str]]] = {
    Status.STOP: ("\u00d7", "STOP"),
    Status.CAUTION: ("!", "CAUTION"),
    Status.UNKNOWN: ("?", "NOT KNOWN"),
    Status.OK: ("", "in order"),
}
"""Mark and word of each status: both are read without colour."""


_WHOLE_ROWS: Final = 12
"""Up to so many short rows a table is kept on one page. [-]"""


def status_html(status: Status) -> str:
    """Write a status as its mark and word.

    Parameters
    ----------
    status : Status
        The status.
    """
    mark, word = STATUS_WORDS[status]
    sign = f'<b class="bs-mark">{mark}</b> ' if mark else ""
    return f'<span class="bs-status bs-{status.value}">{sign}{word}</span>'


def blocks_html(blocks: Sequence[Block]) -> str:
    """Write blocks one after the other.

    Parameters
    ----------
    blocks : sequence of Block
        What they say.
    """
    return "".join(_block(each) for each in blocks)


def section_html(section: Section, *, number: int, warning: str = "") -> str:
    """Write a section.

    Parameters
    ----------
    section : Section
        What it says.
    number : int
        Its number on the sheet. [-]
    warning : str
        Repeated beside its head, where something says stop; empty: nothing.
    """
    page = " bs-new-page" if section.is_on_new_page else ""
    beside = f' <span class="bs-again">{escape(warning)}</span>' if warning else ""
    return (
        f'<section id="{escape(section.id)}" class="bs-section{page}">'
        f"<h2>{number}&ensp;{escape(section.title)}{beside}</h2>{blocks_html(section.blocks)}</section>"
    )


def _block(block: Block) -> str:
    match block:
        case Subhead(text=text):
            written = f"<h3>{escape(text)}</h3>"
        case Note(text=text, is_grave=is_grave):
            written = f"<p{' class=bs-grave' if is_grave else ''}>{escape(text)}</p>"
        case Bullets(texts=texts):
            written = f"<ul>{''.join(f'<li>{escape(each)}</li>' for each in texts)}</ul>"
        case Ticks():
            written = _ticks(block)
        case Blanks():
            written = _blanks(block)
        case Picture():
            written = _picture(block)
        case Table():
            written = _table(block)
    return written


def _blanks(block: Blanks) -> str:
    fields = "".join(
        f'<span class="bs-field"><span class="bs-line"></span>{escape(name)}</span>'
        for name in block.names
    )
    return f'<div class="bs-fields">{fields}</div>'


def _ticks(block: Ticks) -> str:
    items = "".join(
        f'<li><span class="bs-box"></span><div>{escape(tick.text)}'
        f"{f'<small>{escape(tick.detail)}</small>' if tick.detail else ''}</div></li>"
        for tick in block.ticks
    )
    return f'<ol class="bs-ticks">{items}</ol>'


def _picture(block: Picture) -> str:
    if not block.svg:
        return ""
    kind = "bs-to-size" if block.is_to_size else "bs-to-width"
    caption = f"<figcaption>{escape(block.caption)}</figcaption>" if block.caption else ""
    return f'<figure class="{kind}" tabindex="0">{block.svg}{caption}</figure>'


def _table(table: Table) -> str:
    columns = ""
    if table.widths_percent:
        widths = "".join(f'<col style="width:{width:g}%">' for width in table.widths_percent)
        columns = f"<colgroup>{widths}</colgroup>"
    heads = ""
    if table.heads:
        cells = "".join(
            f'<th scope="col"{_aside(number, table)}>{escape(head)}</th>'
            for number, head in enumerate(table.heads)
        )
        heads = f"<thead><tr>{cells}</tr></thead>"
    rows = "".join(_row(row, table) for row in table.rows)
    kind = "bs-plain" if not table.heads else ("bs-wide" if table.widths_percent else "bs-even")
    has_short_rows = not table.widths_percent and len(table.rows) <= _WHOLE_ROWS
    whole = " bs-whole" if has_short_rows else ""
    return (
        f'<div class="bs-scroll{whole}" tabindex="0" role="region" '
        f'aria-label="{escape(table.name)}">'
        f'<table class="{kind}">{columns}{heads}<tbody>{rows}</tbody></table></div>'
    )


def _row(row: tuple[Cell, ...], table: Table) -> str:
    first, *others = row
    head = f'<th scope="row"{_aside(0, table)}>{_cell(first)}</th>'
    cells = "".join(
        f"<td{_aside(number, table)}>{_cell(cell)}</td>"
        for number, cell in enumerate(others, start=1)
    )
    return f"<tr>{head}{cells}</tr>"


def _aside(number: int, table: Table) -> str:
    return ' class="bs-figure"' if number in table.figures else ""


def _cell(cell: Cell) -> str:
    if isinstance(cell, Status):
        return status_html(cell)
    if cell is BLANK:
        return '<span class="bs-line"></span>'
    first, *rest = str(cell).split("\n")
    if not rest:
        return escape(first)
    return f"<b>{escape(first)}</b>{''.join(f'<div>{escape(line)}</div>' for line in rest)}"


def style_string(text: str) -> str:
    r"""Write text as a string of a style sheet: nothing in it can end the string or the sheet.

    Parameters
    ----------
    text : str
        Any text.

    Examples
    --------
    >>> style_string('a"</style>')
    '"a\\22 \\3c \\2f style\\3e "'
    """
    plain = "".join(
        each if each.isascii() and each.isalnum() else f"\\{ord(each):x} " for each in text
    )
    return f'"{plain}"'
