"""``packdesign refit``: what logs of the real device say of its pack."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from packdesign.presentation.cli.discharge_command import files_of
from packdesign.presentation.cli.options import AsJson, BriefPath, Overwrite
from packdesign.presentation.cli.screen import messages, results, write_object
from packdesign.presentation.cli.working import working

__all__ = ["add_to"]

_HELP = """\
Fit the model of a pack to logs of the real one.

A log is CSV with time_s, current_a (discharge positive) and voltage_v of the whole pack, perhaps
temperature_c of its surface. A rest before the load tells the charge it begins with (without one,
[start] does); rests tell resistance and open-circuit voltage apart, and so do two logs, a gentle
and a hard one. They give resistance, capacity and cooling, each with its 95 % interval. --write
puts them into the [measured] section of a copy of the brief, without its comments; predictions from
that brief use them and say so.

\b
Examples:
  packdesign refit corer.toml run.csv
  packdesign refit corer.toml gentle.csv hard.csv
  packdesign refit corer.toml run.csv --write corer_fitted.toml
"""


def _refit(
    brief: BriefPath,
    logs: Annotated[list[Path], typer.Argument(help="The logs, CSV files.", metavar="LOG.csv...")],
    as_json: AsJson = False,
    write: Annotated[
        Path | None,
        typer.Option("--write", help="Write the brief with these figures.", metavar="OUT.toml"),
    ] = None,
    overwrite: Overwrite = False,
) -> None:
    """Carry out the command."""
    from packdesign.planning.assess.log_fit import fit_log
    from packdesign.planning.assess.service import design_of
    from packdesign.planning.brief.load import load_brief
    from packdesign.presentation.cli.show_refit import show_refit
    from packdesign.presentation.export.files import check_writable
    from packdesign.presentation.export.refit_object import refit_object

    wanted = load_brief(brief.resolve())
    if write is not None:
        check_writable(write, spare=(*files_of(wanted, brief), *logs), overwrite=overwrite)
    with working("re-fit") as tell:
        tell("replay and fit", 0.1)
        found = fit_log(wanted, design_of(wanted), logs)
    if write is not None:
        from packdesign.planning.assess.log_fit import keys_of_fit
        from packdesign.planning.brief.change import changed_brief
        from packdesign.planning.brief.dump import brief_to_toml
        from packdesign.presentation.export.files import write_whole

        taught = changed_brief(wanted, keys_of_fit(found, wanted))
        write_whole(write, brief_to_toml(taught))
        messages().print(f"brief written to {write}; next: packdesign assess {write}",
                         soft_wrap=True)  # fmt: skip
    if as_json:
        written = None if write is None else str(write)
        write_object(refit_object(found, written=written))
    else:
        show_refit(results(), found)


def add_to(app: typer.Typer) -> None:
    """Add the command.

    Parameters
    ----------
    app : typer.Typer
        The command line.
    """
    app.command("refit", help=_HELP, short_help="Fit the pack's model to logs of it.")(_refit)
