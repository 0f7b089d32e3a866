"""A shortlist on the terminal: the packs that pass, why they stand there, why the others fell."""

from __future__ import annotations

from collections.abc import Sequence
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

    from packdesign.planning.shortlist.record import Candidate, Rejected, Shortlist

__all__ = ["show_shortlist", "show_why"]

_CHANGE: Final = {True: "Would do", False: "Would help", None: "For this limit"}
"""What is said of a change: tried and enough, tried and not enough, not tried."""
_FEW: Final = 12
"""Cells that fell, shown unless all are asked for. [-]"""


def show_shortlist(
    console: Console,
    found: Shortlist,
    *,
    with_all: bool = False,
    only: Sequence[Candidate] | None = None,
) -> None:
    """Show a shortlist.

    Parameters
    ----------
    console : Console
        Where.
    found : Shortlist
        The shortlist.
    with_all : bool
        Whether to show every pack that was run and every cell that fell.
    only : sequence of Candidate or None
        Show these packs instead.
    """
    from packdesign.planning.cautions import general_cautions

    listed = (*found.candidates, *found.others) if with_all else found.candidates
    listed = tuple(listed if only is None else only)
    show_dangers(console, (), general_cautions())
    heading(console, "Shortlist")
    if found.best is None:
        indented(console, Text("!! STOP: no pack passes; see below what fell first.", "bold red"))
    if only is not None and not listed:
        indented(console, "No pack without a stop has all of these figures known.")
    else:
        _packs(console, listed)
    if not with_all and only is None:
        _because(console, listed)
    _fallen(console, found.rejected if with_all else found.rejected[:_FEW], found)
    console.print()
    console.print(
        f"{found.considered} packs considered, {found.fit} fit cavity and voltages, "
        f"{found.run} run, in {found.screened_s:.1f} s; the first in full in {found.seconds:.1f} s."
    )


def show_why(console: Console, cell: str, fallen: Rejected | None) -> None:
    """Show why one cell is not on the list.

    Parameters
    ----------
    console : Console
        Where.
    cell : str
        The cell asked about.
    fallen : Rejected or None
        None where a pack of it passes.
    """
    if fallen is None:
        console.print(f"A pack of {cell} passes; see the shortlist.")
        return
    _one_fallen(console, fallen)


def _packs(console: Console, listed: Sequence[Candidate]) -> None:
    priced = any(each.figures.price is not None for each in listed)
    heads = ("run time", "lowest", "hottest", "mass", "room", *(("price",) if priced else ()))
    table = plain_table("pack", *heads, numbers=len(heads))
    for each in listed:
        run = each.run
        table.add_row(
            Text.assemble(f"{each.rank:>3} ", status_text(each.status), f"  {each.trial.name}"),
            duration(run.run_time_s.mid),
            f"{run.min_voltage_v.mid:.1f} V",
            f"{run.peak_cell_degc.mid:.0f} degC",
            amount(each.pack.mass_g, "g"),
            f"{each.figures.margin_fraction * 100:.0f} %",
            *((_price(each),) if priced else ()),
        )
    show_table(console, table)


def _price(each: Candidate) -> str:
    figures = each.figures
    return "?" if figures.price is None else f"{figures.price:.2f} {figures.currency}"


def _because(console: Console, listed: Sequence[Candidate]) -> None:
    for each in listed[:5]:
        console.print()
        indented(console, Text(f"{each.rank}. {each.trial.name}", style="bold"))
        for reason in each.because:
            indented(console, f"- {reason}", by=7)


def _fallen(console: Console, fallen: Sequence[Rejected], found: Shortlist) -> None:
    if not fallen:
        return
    heading(console, "Why not the others, those nearest to passing first")
    for each in fallen:
        _one_fallen(console, each)
    left = len(found.rejected) - len(fallen)
    if left:
        indented(console, f"... and {left} more; --all shows them.")


def _one_fallen(console: Console, each: Rejected) -> None:
    tried = f"{each.pack} of " if each.pack else ""
    indented(console, Text.assemble((f"{tried}{each.cell.name}: ", "bold"), each.reason))
    if each.change:
        indented(console, f"{_CHANGE[each.admits]}: {each.change}", by=7)
