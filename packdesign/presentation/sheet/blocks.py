"""What the sheet is made of: sections of plain blocks, from which paper and JSON are both written.

Blocks hold text as it is; only the HTML is written with marks, and all text is escaped there.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Final

from packdesign.planning.verdicts.verdict import Status

__all__ = [
    "BLANK",
    "Blanks",
    "Block",
    "Bullets",
    "Cell",
    "Note",
    "Picture",
    "Section",
    "Subhead",
    "Table",
    "Tick",
    "Ticks",
]


class _Blank(Enum):
    """The one empty field."""

    FIELD = "field"


BLANK: Final = _Blank.FIELD
"""A field of a table to be filled in by hand."""

Cell = str | Status | _Blank
"""Of a table: text whose lines stand below each other, a status, or a field to fill in."""


@dataclass(frozen=True, slots=True)
class Subhead:
    """A heading inside a section."""

    text: str


@dataclass(frozen=True, slots=True)
class Note:
    """A paragraph."""

    text: str
    is_grave: bool = False
    """Whether it stands in a frame."""


@dataclass(frozen=True, slots=True)
class Bullets:
    """Sentences, each with a dot."""

    texts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Tick:
    """Something to do, with a box to tick."""

    text: str
    detail: str = ""
    """Why, and who says so; in small letters."""


@dataclass(frozen=True, slots=True)
class Ticks:
    """Things to do, in order."""

    ticks: tuple[Tick, ...]


@dataclass(frozen=True, slots=True)
class Blanks:
    """Fields to fill in by hand, side by side, each under its name."""

    names: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows under heads; the heads are repeated on every page."""

    name: str
    """What it holds, for those who cannot see it."""
    heads: tuple[str, ...]
    """Empty: a table of names and figures, which needs none."""
    rows: tuple[tuple[Cell, ...], ...]
    figures: tuple[int, ...] = ()
    """Which columns hold figures, set to the right."""
    widths_percent: tuple[float, ...] = ()
    """Of the columns; empty: as they need. [%]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A drawing, as SVG that we drew ourselves."""

    svg: str
    caption: str = ""
    is_to_size: bool = False
    """Whether it must be printed in its own millimetres, not to the width of the page."""


Block = Subhead | Note | Bullets | Ticks | Blanks | Table | Picture


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One part of the sheet."""

    id: str
    """One word, for links and scripts."""
    title: str
    blocks: tuple[Block, ...]
    is_on_new_page: bool = False
