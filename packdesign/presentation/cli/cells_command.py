"""``packdesign cells``: the cells there are, and everything known of one."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from packdesign.data.cells import CellForm, Family
from packdesign.presentation.cli.options import AsJson
from packdesign.presentation.cli.screen import results, write_object

if TYPE_CHECKING:
    from packdesign.data.cells import Cell

__all__ = ["add_to"]

_HELP = """\
List the cells, or show one with every figure, its basis and its source.

A cell is named by maker and part number, or by the part number alone. Words after --word must all
be in its name or purpose. Your own cells join the list with --table, a CSV with the same columns as
cell_data/cells.csv.

\b
Examples:
  packdesign cells --size 18650 --least-amps 15
  packdesign cells --form pouch
  packdesign cells "Molicel INR-21700-P42A"
  packdesign cells --table my_cells.csv --json
"""


def _cells(  # noqa: PLR0913  one argument an option
    name: Annotated[str | None, typer.Argument(help="Show this one.", metavar="[NAME]")] = None,
    form: Annotated[CellForm | None, typer.Option(help="Only this form.")] = None,
    family: Annotated[Family | None, typer.Option(help="Only this chemistry.")] = None,
    size: Annotated[
        str | None, typer.Option(help="Only this size, as the trade writes it.", metavar="CODE")
    ] = None,
    word: Annotated[
        str | None, typer.Option(help="Only names that hold these words.", metavar="WORDS")
    ] = None,
    least_amps: Annotated[
        float | None,
        typer.Option(help="Only cells rated for this current for long.", metavar="A", min=0),
    ] = None,
    least_ah: Annotated[
        float | None, typer.Option(help="Only cells of this capacity.", metavar="AH", min=0)
    ] = None,
    table: Annotated[
        Path | None, typer.Option(help="Add the cells of this table.", metavar="CELLS.csv")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Carry out the command."""
    from packdesign.data.cell_table import load_cells
    from packdesign.presentation.cli.show_cells import show_cell, show_cells
    from packdesign.presentation.export.cell_facts import cell_object, cells_object

    known = load_cells(table)
    if name is not None:
        cell = known.find(name)
        if as_json:
            write_object(cell_object(cell))
        else:
            show_cell(results(), cell)
        return
    kept = tuple(
        cell
        for cell in known.rows_with(form=form, family=family, size_code=size)
        if _is_wanted(cell, word=word, least_a=least_amps, least_ah=least_ah)
    )
    if as_json:
        write_object(cells_object(kept, among=len(known)))
    else:
        show_cells(results(), kept, among=len(known))


def _is_wanted(
    cell: Cell, *, word: str | None, least_a: float | None, least_ah: float | None
) -> bool:
    text = f"{cell.name} {cell.purpose} {cell.chemistry}".casefold()
    rated_a = cell.continuous_a or 0.0
    return (
        all(part in text for part in (word or "").casefold().split())
        and rated_a >= (least_a or 0.0)
        and cell.capacity_ah >= (least_ah or 0.0)
    )


def add_to(app: typer.Typer) -> None:
    """Add the command.

    Parameters
    ----------
    app : typer.Typer
        The command line.
    """
    app.command("cells", help=_HELP, short_help="The cells there are, each with its sources.")(
        _cells
    )
