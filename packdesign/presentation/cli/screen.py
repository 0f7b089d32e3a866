"""The terminal: where results and messages go, and how a status is shown without colour.

Results go to stdout, messages and progress to stderr.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Final

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

if TYPE_CHECKING:
    from packdesign.planning.verdicts.verdict import Status

__all__ = [
    "heading",
    "indented",
    "messages",
    "plain_table",
    "results",
    "show_table",
    "status_text",
    "write_object",
]

_WIDTH_OFF_TERMINAL: Final = 100
_INDENT: Final = 4
_MARKS: Final = {
    "stop": ("!! STOP", "bold red"),
    "caution": (" ! CAUTION", "bold yellow"),
    "unknown": (" ? UNKNOWN", "bold magenta"),
    "ok": ("   OK", "green"),
}
"""Word, mark and colour of each status; the word alone is enough."""


def results() -> Console:
    """Give the console for results."""
    return _console(to_stderr=False)


def messages() -> Console:
    """Give the console for messages and progress."""
    return _console(to_stderr=True)


def _console(*, to_stderr: bool) -> Console:
    stream = sys.stderr if to_stderr else sys.stdout
    width = None if stream.isatty() else _WIDTH_OFF_TERMINAL
    return Console(stderr=to_stderr, width=width, markup=False, highlight=False, emoji=False)


def write_object(value: Mapping[str, Any]) -> None:
    """Print one JSON object and nothing else.

    Parameters
    ----------
    value : mapping
        The object.
    """
    from packdesign.presentation.export.plain import object_text

    sys.stdout.write(object_text(value) + "\n")


def status_text(status: Status) -> Text:
    """Give a status as a word with its mark.

    Parameters
    ----------
    status : Status
        The status.
    """
    word, style = _MARKS[str(status)]
    return Text(word, style=style)


def heading(console: Console, words: str) -> None:
    """Print the head of a section.

    Parameters
    ----------
    console : Console
        Where.
    words : str
        The head.
    """
    console.print()
    console.print(Text(words.upper(), style="bold"))


def indented(console: Console, text: str | Text, *, by: int = _INDENT) -> None:
    """Print a paragraph, every line of it set in from the left.

    Parameters
    ----------
    console : Console
        Where.
    text : str or Text
        The paragraph.
    by : int
        How far. [columns]
    """
    console.print(Padding(text, (0, 0, 0, by), expand=False))


def show_table(console: Console, table: Table, *, by: int = _INDENT) -> None:
    """Print a table, set in from the left.

    Parameters
    ----------
    console : Console
        Where.
    table : Table
        The table.
    by : int
        How far. [columns]
    """
    console.print(Padding(table, (0, 0, 0, by), expand=False))


def plain_table(*columns: str, numbers: int = 0, head: bool = True) -> Table:
    """Make a table without lines.

    Parameters
    ----------
    columns : str
        Heads of the columns.
    numbers : int
        How many of the columns after the first hold numbers, set to the right. [-]
    head : bool
        Whether the heads are shown.
    """
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), show_header=head)
    for place, column in enumerate(columns):
        is_number = 1 <= place <= numbers
        table.add_column(column, justify="right" if is_number else "left", header_style="underline")
    return table
