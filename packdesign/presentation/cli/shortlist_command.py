"""``packdesign shortlist``: the best packs of all that could be built, and why not the others."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from packdesign.presentation.cli.discharge_command import files_of
from packdesign.presentation.cli.ending import DONE, SAYS_STOP
from packdesign.presentation.cli.options import AsJson, BriefPath
from packdesign.presentation.cli.screen import messages, results, write_object
from packdesign.presentation.cli.working import working

if TYPE_CHECKING:
    from packdesign.planning.brief.schema import Brief

__all__ = ["add_to"]

_HELP = """\
Try every cell in every count that fits the cavity, and rank what passes.

The margin to the limits ranks first; [preferences] in the brief steers it. For each cell without a
pack: the limit that fell first, by how much, and the smallest change that would admit it. A board
and a charger named in the brief count; --any-parts leaves them open, to be bought for the pack.

\b
Examples:
  packdesign shortlist corer.toml
  packdesign shortlist corer.toml --any-parts --all
  packdesign shortlist corer.toml --front run_time,mass
  packdesign shortlist corer.toml --why INR21700-50S
  packdesign shortlist corer.toml --csv list.csv --json
"""


def _shortlist(  # noqa: PLR0913  one argument an option
    brief: BriefPath,
    as_json: AsJson = False,
    with_all: Annotated[
        bool, typer.Option("--all", help="Every pack that was run, and every cell that fell.")
    ] = False,
    any_parts: Annotated[
        bool, typer.Option("--any-parts", help="Leave board and charger of the brief open.")
    ] = False,
    most: Annotated[
        int, typer.Option(help="How many to list, each of another cell.", min=1, max=500)
    ] = 10,
    front: Annotated[
        str | None,
        typer.Option(
            help="Only packs that none beats in all of these (two or three, commas between): "
            "safety, run_time, burst, temperature, mass, volume, cycle_life, charge_time, price.",
            metavar="NAMES",
        ),
    ] = None,
    why: Annotated[
        str | None,
        typer.Option("--why", help="Only say why this cell is not on it.", metavar="CELL"),
    ] = None,
    csv: Annotated[
        Path | None, typer.Option("--csv", help="Write the list to this file.", metavar="OUT.csv")
    ] = None,
) -> None:
    """Carry out the command."""
    from packdesign.planning.brief.load import load_brief
    from packdesign.planning.shortlist.ranking import pareto_front
    from packdesign.planning.shortlist.service import shortlist
    from packdesign.presentation.cli.show_shortlist import show_shortlist
    from packdesign.presentation.export.files import check_writable, write_whole
    from packdesign.presentation.export.shortlist_object import shortlist_csv, shortlist_object

    wanted = load_brief(brief)
    names = [] if front is None else [name.strip() for name in front.split(",")]
    if names:
        pareto_front((), by=names)  # a slip in a name is said before the work begins
    if why is not None:
        _say_why(wanted, why, any_parts=any_parts, as_json=as_json)
        return
    if csv is not None:
        check_writable(csv, spare=files_of(wanted, brief))
    with working("shortlist") as tell:
        found = shortlist(wanted, most=most, any_parts=any_parts, progress=tell)
    chosen = None
    if names:
        chosen = pareto_front((*found.candidates, *found.others), by=names)
    if csv is not None:
        listed = (*found.candidates, *found.others) if with_all else found.candidates
        write_whole(csv, shortlist_csv(listed if chosen is None else chosen))
        messages().print(f"list written to {csv}", soft_wrap=True)
    if as_json:
        write_object(shortlist_object(found, with_all=with_all, only=chosen))
    else:
        show_shortlist(results(), found, with_all=with_all, only=chosen)
    best = found.best
    raise typer.Exit(SAYS_STOP if best is None or str(best.status) == "stop" else DONE)


def _say_why(brief: Brief, cell: str, *, any_parts: bool, as_json: bool) -> None:
    """Say why one cell fell, and what would admit it."""
    from packdesign.planning.shortlist.why_not import explained, why_not
    from packdesign.presentation.cli.show_shortlist import show_why
    from packdesign.presentation.export.shortlist_object import why_object

    with working("shortlist") as tell:
        tell(f"why not {cell}", 0.3)
        fallen = why_not(brief, cell, any_parts=any_parts)
        if fallen is not None:
            fallen = explained(brief, fallen, any_parts=any_parts)
    if as_json:
        write_object(why_object(cell, fallen))
    else:
        show_why(results(), cell, fallen)
    raise typer.Exit(DONE if fallen is None else SAYS_STOP)


def add_to(app: typer.Typer) -> None:
    """Add the command.

    Parameters
    ----------
    app : typer.Typer
        The command line.
    """
    app.command("shortlist", help=_HELP, short_help="The best packs that could be built.")(
        _shortlist
    )
