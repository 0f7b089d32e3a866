"""``packdesign charge``: how to charge the pack, and what it takes."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from packdesign.presentation.cli.chosen_pack import with_pack
from packdesign.presentation.cli.discharge_command import files_of
from packdesign.presentation.cli.ending import end_with
from packdesign.presentation.cli.options import AsJson, BriefPath, Overwrite
from packdesign.presentation.cli.screen import messages, results, write_object
from packdesign.presentation.cli.working import working

__all__ = ["add_to"]

_HELP = """\
Plan the charge of the pack that a brief names.

Settings for the charger, each with where it comes from; the time with its band; what must feed it;
hours to balance; the first charge step by step; faster and gentler charges with their price in
life; what fifty charges do without balancing; the go or no-go list. Where the cells are too cold or
too hot to be charged, it says so and runs nothing.

\b
Examples:
  packdesign charge corer.toml
  packdesign charge corer.toml --start-soc 0.3
  packdesign charge corer.toml --bench
  packdesign charge corer.toml --trace charge.csv --json
"""


def _charge(
    brief: BriefPath,
    as_json: AsJson = False,
    trace: Annotated[
        Path | None,
        typer.Option("--trace", help="Write the charge over time to this file.", metavar="OUT.csv"),
    ] = None,
    overwrite: Overwrite = False,
    start_soc: Annotated[
        float | None,
        typer.Option(
            help="Charge at the start, 0 to 1. Left out: what a full use leaves.", metavar="SOC"
        ),
    ] = None,
    bench: Annotated[
        bool,
        typer.Option(
            "--bench",
            help="Show the tables for the bench too: currents by temperature, balance connector.",
        ),
    ] = False,
) -> None:
    """Carry out the command."""
    from packdesign.foundation.errors import InputError
    from packdesign.planning.assess.parts import judged_charge
    from packdesign.planning.brief.load import load_brief
    from packdesign.presentation.cli.show_charge import show_charge
    from packdesign.presentation.export.contract import charge_object
    from packdesign.presentation.export.files import check_writable
    from packdesign.presentation.export.trace_csv import write_charge_trace

    if start_soc is not None and not 0 <= start_soc <= 1:
        msg = f"--start-soc is {start_soc:g}; it must lie from 0 (empty) to 1 (full)"
        raise InputError(msg)
    wanted = load_brief(brief)
    if trace is not None:
        check_writable(trace, spare=files_of(wanted, brief), overwrite=overwrite)
    with working("charge") as tell:
        wanted = with_pack(wanted, tell)
        found = judged_charge(wanted, start_soc=start_soc, progress=tell)
    if trace is not None and found.plan.charge is not None:
        write_charge_trace(trace, found.plan.charge)
        messages().print(f"charge over time written to {trace}", soft_wrap=True)
    elif trace is not None:
        messages().print(f"no charge is allowed, so {trace} is not written", soft_wrap=True)
    if as_json:
        write_object(charge_object(found))
    else:
        show_charge(results(), found, for_the_bench=bench)
    end_with(found.verdicts)


def add_to(app: typer.Typer) -> None:
    """Add the command.

    Parameters
    ----------
    app : typer.Typer
        The command line.
    """
    app.command("charge", help=_HELP, short_help="Plan the charge: settings, time, balance.")(
        _charge
    )
