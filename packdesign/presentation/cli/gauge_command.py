"""``packdesign gauge``: the voltages at which the device warns, limits and stops."""

from __future__ import annotations

import typer

from packdesign.presentation.cli.chosen_pack import with_pack
from packdesign.presentation.cli.ending import end_with
from packdesign.presentation.cli.options import AsJson, BriefPath
from packdesign.presentation.cli.screen import results, write_object
from packdesign.presentation.cli.working import working

__all__ = ["add_to"]

_HELP = """\
Work out the voltages at which the device warns, limits, stops and cuts, and the divider for them.

The voltages hold under the working load, so that the device does not stop on the sag of a start.
The counts are what the controller's input reads; hold times keep a short dip from stopping it.

\b
Examples:
  packdesign gauge corer.toml
  packdesign gauge corer.toml --json
"""


def _gauge(
    brief: BriefPath,
    as_json: AsJson = False,
) -> None:
    """Carry out the command."""
    from packdesign.planning.assess.parts import judged_gauge
    from packdesign.planning.brief.load import load_brief
    from packdesign.presentation.cli.show_run import show_gauge
    from packdesign.presentation.export.contract import gauge_object

    wanted = load_brief(brief)
    with working("gauge") as tell:
        wanted = with_pack(wanted, tell)
        found = judged_gauge(wanted, progress=tell)
    if as_json:
        write_object(gauge_object(found))
    else:
        show_gauge(results(), found)
    end_with(found.verdicts)


def add_to(app: typer.Typer) -> None:
    """Add the command.

    Parameters
    ----------
    app : typer.Typer
        The command line.
    """
    app.command("gauge", help=_HELP, short_help="Voltages at which the device warns and stops.")(
        _gauge
    )
