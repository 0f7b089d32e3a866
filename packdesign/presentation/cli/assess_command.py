"""``packdesign assess``: the whole job for one brief."""

from __future__ import annotations

from typing import Annotated

import typer

from packdesign.presentation.cli.chosen_pack import with_pack
from packdesign.presentation.cli.ending import end_with
from packdesign.presentation.cli.engine_choice import EngineChoice
from packdesign.presentation.cli.options import AsJson, BriefPath
from packdesign.presentation.cli.screen import results, write_object
from packdesign.presentation.cli.working import working

__all__ = ["add_to"]

_HELP = """\
Judge the pack that a brief names: the whole job in one call.

Dangers and cautions come first, then the verdict on the whole, the pack, every verdict from the
worst on with reason and fix, and the numbers: discharge, starts of the motors, charge, voltages at
which the device warns and stops.

\b
Examples:
  packdesign assess corer.toml
  packdesign assess corer.toml --json > corer.json
  packdesign assess corer.toml --engine pybamm
"""


def _assess(
    brief: BriefPath,
    as_json: AsJson = False,
    engine: Annotated[
        EngineChoice,
        typer.Option(
            help="What runs the likely discharge; quick by default, for it is one of many steps "
            "here. The command discharge takes PyBaMM: they agree within 5 mV a cell."
        ),
    ] = EngineChoice.FAST,
) -> None:
    """Carry out the command."""
    from packdesign.planning.assess.discharge import Engine
    from packdesign.planning.assess.service import assess
    from packdesign.planning.assess.start_report import start_reports
    from packdesign.planning.brief.load import load_brief
    from packdesign.presentation.cli.show_assessment import show_assessment
    from packdesign.presentation.export.contract import assessment_object

    wanted = load_brief(brief)
    with working("assess") as tell:
        wanted = with_pack(wanted, tell)
        found = assess(wanted, engine=Engine(engine.value), progress=tell)
        starts = start_reports(wanted, found.design, found.loading)
    if as_json:
        write_object(assessment_object(found, starts))
    else:
        show_assessment(results(), found, starts)
    end_with(found.verdicts)


def add_to(app: typer.Typer) -> None:
    """Add the command.

    Parameters
    ----------
    app : typer.Typer
        The command line.
    """
    app.command("assess", help=_HELP, short_help="Judge the pack that a brief names.")(_assess)
