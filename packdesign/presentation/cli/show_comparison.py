"""A comparison on the terminal: one column a brief, the first one leading."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from rich.text import Text

from packdesign.presentation.cli.screen import (
    heading,
    indented,
    plain_table,
    show_table,
    status_text,
)
from packdesign.presentation.cli.show_verdicts import show_dangers
from packdesign.presentation.cli.words import amount, duration

if TYPE_CHECKING:
    from rich.console import Console

    from packdesign.planning.compare.record import Comparison, FigureRow

__all__ = ["show_comparison"]

_SAME_FRACTION: Final = 0.0005
"""Changes below this are not shown. [-]"""
_NAMES: Final = {
    "cycles to 80 %": "full cycles until 80 % is left",
    "lowest voltage": "lowest voltage of the run",
    "lowest voltage, aged and cold": "lowest at a peak, aged, cold",
}
"""Names that say it better than those of the JSON, which scripts go by."""


def show_comparison(console: Console, found: Comparison) -> None:
    """Show a comparison.

    Parameters
    ----------
    console : Console
        Where.
    found : Comparison
        The comparison.
    """
    from packdesign.planning.cautions import general_cautions

    show_dangers(console, (), general_cautions())
    heading(console, "What is compared")
    letters = [chr(ord("A") + place) for place in range(len(found.packs))]
    for letter, each in zip(letters, found.packs, strict=True):
        name = each.problem if each.pack is None else each.pack.trial.name
        place = "" if each.rank is None else f", rank {each.rank}"
        chosen = " (chosen by the shortlist)" if each.was_chosen else ""
        told = f"{each.name}: {name}{chosen}{place}"
        indented(console, Text.assemble((f"{letter}  ", "bold"), told))
    heading(console, "Figures; in brackets the change against A")
    table = plain_table("what", *letters, numbers=len(letters))
    for row in found.figures:
        table.add_row(
            _NAMES.get(row.what, row.what), *(_cell(row, place) for place in range(len(letters)))
        )
    show_table(console, table)
    indented(
        console,
        "Full cycles until 80 % of the capacity is left: of this work, cycling alone. The command "
        "keep adds the years on the shelf and the share of a charge that each use takes.",
    )
    heading(console, "Verdicts that differ")
    differing = [row for row in found.verdicts if row.differs]
    if not differing:
        indented(console, "none")
        return
    table = plain_table("verdict", *letters)
    for verdicts in differing:
        words = [
            Text("-") if status is None else status_text(status) for status in verdicts.statuses
        ]
        table.add_row(verdicts.id, *words)
    show_table(console, table)


def _cell(row: FigureRow, place: int) -> str:
    value, change = row.values[place], row.changes[place]
    text = duration(value) if row.unit == "s" else amount(value, row.unit)
    first = row.values[0]
    if place == 0 or value is None or first is None or change is None:
        return text
    if abs(change) < _SAME_FRACTION:
        return text
    if row.unit == "degC":  # a share of a temperature means nothing
        return f"{text} ({value - first:+.1f} K)"
    return f"{text} ({change * 100:+.1f} %)"
