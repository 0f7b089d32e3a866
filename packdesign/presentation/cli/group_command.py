"""``packdesign group``: measured cells sorted into groups, and every joint before it is made."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from packdesign.presentation.cli.ending import end_with
from packdesign.presentation.cli.options import AsJson, BriefPath
from packdesign.presentation.cli.screen import results, write_object

__all__ = ["add_to"]

_HELP = """\
Sort measured cells into the groups of a pack, before any of them is joined.

The brief names the cell, series and parallel. The file has one row a cell: cell (what is written
on it), rested_v, and as far as measured capacity_ah, resistance_milliohm, rest_days, start_v (the
voltage before that rest) and origin (new, mixed or salvaged). Shown are the cells turned away, the
groups, and for each joint the current, the heat, and the resistor that brings it level first.

\b
Examples:
  packdesign group corer.toml --cells bench.csv
  packdesign group corer.toml --json
"""


def _group(
    brief: BriefPath,
    as_json: AsJson = False,
    cells: Annotated[
        Path | None,
        typer.Option(
            "--cells",
            help="The measured cells. Left out: the file that the brief names.",
            metavar="FILE.csv",
        ),
    ] = None,
) -> None:
    """Carry out the command."""
    from packdesign.planning.assess.lot import measured_lot
    from packdesign.planning.brief.load import load_brief
    from packdesign.presentation.cli.show_group import show_group
    from packdesign.presentation.export.group_object import group_object

    found = measured_lot(load_brief(brief), cells=cells)
    if as_json:
        write_object(group_object(found))
    else:
        show_group(results(), found)
    end_with(found.verdicts)


def add_to(app: typer.Typer) -> None:
    """Add the command.

    Parameters
    ----------
    app : typer.Typer
        The command line.
    """
    app.command("group", help=_HELP, short_help="Sort measured cells into groups.")(_group)
