"""``packdesign discharge``: the run of one pack, over time if wanted."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from packdesign.presentation.cli.chosen_pack import with_pack
from packdesign.presentation.cli.ending import end_with
from packdesign.presentation.cli.engine_choice import EngineChoice
from packdesign.presentation.cli.options import AsJson, BriefPath, Overwrite
from packdesign.presentation.cli.screen import messages, results, write_object
from packdesign.presentation.cli.working import working

if TYPE_CHECKING:
    from packdesign.planning.brief.schema import Brief

__all__ = ["add_to", "files_of"]

_HELP = """\
Run the demand of a brief through its pack, to the first limit reached.

The likely run comes from the engine you choose; low and high are the 5 and 95 % points of many runs
with the doubtful inputs drawn from their spread.

\b
Engines:
  pybamm    circuit model solved by PyBaMM (default)
  fast      the same model, own solver, thousands of times quicker
  physics   a published particle model, for the few cells that have one

\b
Examples:
  packdesign discharge corer.toml
  packdesign discharge corer.toml --trace run.csv --json
  packdesign discharge bench.toml --engine physics
"""


def files_of(brief: Brief, path: Path) -> tuple[Path, ...]:
    """Give the brief's own file and every file it names, none of which may be written over.

    Parameters
    ----------
    brief : Brief
        The brief.
    path : Path
        Its file.
    """
    named = (
        brief.cell_table,
        brief.load.log if brief.load is not None else None,
        brief.cavity.mesh if brief.cavity is not None else None,
        brief.measured.cells if brief.measured is not None else None,
    )
    return (path, *(Path(each) for each in named if each is not None))


def _discharge(
    brief: BriefPath,
    as_json: AsJson = False,
    trace: Annotated[
        Path | None,
        typer.Option("--trace", help="Write the run over time to this file.", metavar="OUT.csv"),
    ] = None,
    overwrite: Overwrite = False,
    engine: Annotated[
        EngineChoice,
        typer.Option(
            help="What runs the likely case: PyBaMM by default, for one run bears its start. The "
            "command assess takes the quick one: they agree within 5 mV a cell."
        ),
    ] = EngineChoice.PYBAMM,
) -> None:
    """Carry out the command."""
    from packdesign.planning.assess.discharge import Engine
    from packdesign.planning.assess.parts import judged_discharge
    from packdesign.planning.brief.load import load_brief
    from packdesign.presentation.cli.show_run import show_discharge
    from packdesign.presentation.export.contract import discharge_object
    from packdesign.presentation.export.files import check_writable
    from packdesign.presentation.export.trace_csv import write_discharge_trace

    wanted = load_brief(brief)
    if trace is not None:
        check_writable(trace, spare=files_of(wanted, brief), overwrite=overwrite)
    with working("discharge") as tell:
        wanted = with_pack(wanted, tell)
        found = judged_discharge(
            wanted, engine=Engine(engine.value), with_trace=trace is not None, progress=tell
        )
    if trace is not None:
        write_discharge_trace(trace, found.outcome)
        messages().print(f"run over time written to {trace}", soft_wrap=True)
    if as_json:
        write_object(discharge_object(found))
    else:
        show_discharge(results(), found)
    end_with(found.verdicts)


def add_to(app: typer.Typer) -> None:
    """Add the command.

    Parameters
    ----------
    app : typer.Typer
        The command line.
    """
    app.command("discharge", help=_HELP, short_help="Run the pack until its first limit.")(
        _discharge
    )
