"""Cells on the terminal: a list, or one with every figure and where it comes from."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.text import Text

from packdesign.presentation.cli.screen import heading, indented, plain_table, show_table
from packdesign.presentation.cli.words import amount
from packdesign.presentation.export.cell_facts import cell_figures

if TYPE_CHECKING:
    from rich.console import Console

    from packdesign.data.cells import Cell

__all__ = ["show_cell", "show_cells"]


def show_cells(console: Console, cells: Sequence[Cell], *, among: int) -> None:
    """Show cells, one a line.

    Parameters
    ----------
    console : Console
        Where.
    cells : sequence of Cell
        The cells.
    among : int
        How many there are in all. [-]
    """
    table = plain_table(
        "cell", "Ah", "V", "A", "mohm", "g", "size", "chemistry", "trust", numbers=5
    )
    for cell in cells:
        amps = "" if cell.continuous_a is None else f"{cell.continuous_a:g}"
        if cell.continuous_needs_temperature_cut:
            amps += " *"
        ohm = cell.dc_resistance_ohm
        mark = ""
        if ohm is None:
            ohm, mark = cell.ac_resistance_ohm, "~"
        table.add_row(
            cell.name,
            f"{cell.capacity_ah:g}",
            f"{cell.nominal_v:g}",
            amps,
            "" if ohm is None else f"{mark}{ohm * 1000:g}",
            "" if cell.mass_kg is None else f"{cell.mass_kg * 1000:g}",
            cell.size_code,
            str(cell.family),
            str(cell.confidence),
        )
    show_table(console, table)
    console.print()
    console.print(
        f"{len(cells)} of {among} cells. A: printed continuous current; * holds only while "
        "something cuts off at a cell temperature. mohm: DC resistance; ~ is 1 kHz impedance, "
        "which is lower. Blank: not known."
    )


def show_cell(console: Console, cell: Cell) -> None:
    """Show one cell.

    Parameters
    ----------
    console : Console
        Where.
    cell : Cell
        The cell.
    """
    console.print(Text(cell.name, style="bold"))
    indented(
        console,
        f"{cell.form}, {cell.size_code}, {cell.chemistry or cell.family} "
        f"(family {cell.family}); trust in this row: {cell.confidence}",
    )
    heading(console, "Figures")
    table = plain_table("what", "value", "basis", "condition", numbers=1)
    for figure in cell_figures(cell):
        table.add_row(
            figure.name, amount(figure.value, figure.unit, digits=4), figure.basis,
            figure.condition,
        )  # fmt: skip
    show_table(console, table)
    for head, text in (
        ("Source", cell.source),
        ("Cycle life, as printed", cell.cycle_life),
        ("Notes", cell.notes),
    ):
        if text:
            heading(console, head)
            indented(console, text)
    if cell.continuous_needs_temperature_cut:
        console.print()
        indented(
            console,
            Text.assemble(
                ("! ", "bold red"),
                "The continuous current holds only while something cuts off at a cell temperature.",
            ),
        )
