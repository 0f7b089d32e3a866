"""``packdesign keep``: the years ahead, storing, carrying, the label, the end."""

from __future__ import annotations

from typing import Annotated

import typer

from packdesign.presentation.cli.chosen_pack import with_pack
from packdesign.presentation.cli.ending import end_with
from packdesign.presentation.cli.options import AsJson, BriefPath
from packdesign.presentation.cli.screen import results, write_object
from packdesign.presentation.cli.working import working

__all__ = ["add_to"]

_HELP = """\
Plan the time after the build: what is left after years, storing, carrying, label, end.

How often it is used, how long it must serve and where it is kept stand in [storage], how it travels
in [carrying]; measured capacity, resistance and looks of a used pack in [measured].

\b
Examples:
  packdesign keep corer.toml
  packdesign keep corer.toml --emergency     what to do when it smokes, swells or leaks
  packdesign keep corer.toml --json
"""


def _keep(
    brief: BriefPath,
    as_json: AsJson = False,
    emergency: Annotated[
        bool,
        typer.Option("--emergency", help="Show too what to do about damage, fire and injury."),
    ] = False,
) -> None:
    """Carry out the command."""
    import datetime

    from packdesign.planning.assess.keeping import kept_pack
    from packdesign.planning.brief.load import load_brief
    from packdesign.presentation.cli.show_keep import show_keep
    from packdesign.presentation.export.keep_object import keep_object

    wanted = load_brief(brief)
    with working("years ahead") as tell:
        wanted = with_pack(wanted, tell)
        found = kept_pack(wanted, today=datetime.date.today(), progress=tell)
    if as_json:
        write_object(keep_object(found))
    else:
        show_keep(results(), found, emergency=emergency)
    end_with(found.verdicts)


def add_to(app: typer.Typer) -> None:
    """Add the command.

    Parameters
    ----------
    app : typer.Typer
        The command line.
    """
    app.command("keep", help=_HELP, short_help="Plan the years: life, storing, carrying, end.")(
        _keep
    )
