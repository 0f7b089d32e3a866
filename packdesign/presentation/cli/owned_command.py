"""``packdesign owned``: a pack already owned, judged from its label and a two-load reading."""

from __future__ import annotations

import typer

from packdesign.presentation.cli.ending import end_with
from packdesign.presentation.cli.options import AsJson, BriefPath
from packdesign.presentation.cli.screen import results, write_object
from packdesign.presentation.cli.working import working

__all__ = ["add_to"]

_HELP = """\
Judge a pack already owned: from its label, and better from a reading under two loads.

What a label says of current is a claim. The brief gives [pack] series, parallel and either the cell
or label_capacity, and in [measured.two_load] the voltage at a light and at a heavy load. It also
says what the pack shall drive: [[loads]] with watts or amps, a [motor] with a [mission], or a
[load] log.

\b
Examples:
  packdesign owned mine.toml
  packdesign owned mine.toml --json
"""


def _owned(
    brief: BriefPath,
    as_json: AsJson = False,
) -> None:
    """Carry out the command."""
    from packdesign.planning.brief.load import load_brief
    from packdesign.planning.owned.service import owned_pack
    from packdesign.presentation.cli.show_assessment import show_assessment
    from packdesign.presentation.cli.show_owned import show_owned
    from packdesign.presentation.export.owned_object import owned_object

    wanted = load_brief(brief)
    with working("owned pack"):
        found = owned_pack(wanted)
    if as_json:
        write_object(owned_object(found))
    else:
        show_owned(results(), found)
        show_assessment(results(), found.assessment)
    end_with(found.verdicts)


def add_to(app: typer.Typer) -> None:
    """Add the command.

    Parameters
    ----------
    app : typer.Typer
        The command line.
    """
    app.command("owned", help=_HELP, short_help="Judge a pack already owned.")(_owned)
