"""The entry point: the commands under one name, and one place where every run ends.

Nothing heavy is imported here: each command imports what it needs when it runs.
"""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Sequence
from typing import Annotated

import typer

from packdesign.foundation.errors import InputError, PackDesignError
from packdesign.presentation.cli import (
    assess_command,
    brief_command,
    cells_command,
    charge_command,
    compare_command,
    discharge_command,
    gauge_command,
    group_command,
    keep_command,
    layout_command,
    owned_command,
    page_command,
    refit_command,
    sheet_command,
    shortlist_command,
)
from packdesign.presentation.cli.ending import DONE, fail, fail_unexpectedly
from packdesign.presentation.export.version import program_version

__all__ = ["app", "run"]

_HELP = """\
Design a custom lithium pack for a small motor-driven device, and plan its charging.

You write down what you know in a brief, a text file: the cavity, the motor, the mission, the
charger. The program lays out the pack, runs it, and judges it: what fits, what sags, what gets hot,
how to charge it, where the device must stop. Every figure says where it comes from.

\b
A first pack:
  packdesign brief corer.toml --example soil_corer    a brief to start from
  packdesign assess corer.toml                        the whole job
  packdesign discharge corer.toml --trace run.csv     the run over time
  packdesign charge corer.toml                        settings, time, balance
  packdesign keep corer.toml                          years, storing, carrying, the end
  packdesign sheet corer.toml --out corer.pdf         all of it on paper, for the bench
  packdesign shortlist corer.toml                     what else could be built
  packdesign page                                     the same with a mouse

\b
Exit status: 0 done, nothing says stop; 1 done, something says stop;
2 the input cannot be used.

Lithium packs built at home burn houses down. Nothing here makes a pack safe.
"""

app = typer.Typer(
    name="packdesign",
    help=_HELP,
    add_completion=False,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)


def _show_version(asked: bool) -> None:
    if asked:
        typer.echo(f"packdesign {program_version()}")
        raise typer.Exit(DONE)


@app.callback()
def _root(
    debug: Annotated[
        bool, typer.Option("--debug", help="Show where an unexpected error happened.")
    ] = False,
    show_version: Annotated[
        bool,
        typer.Option("--version", callback=_show_version, is_eager=True, help="Show the version."),
    ] = False,
) -> None:
    """Take the options that go before any command."""


for _module in (
    assess_command,
    shortlist_command,
    compare_command,
    owned_command,
    discharge_command,
    charge_command,
    gauge_command,
    layout_command,
    group_command,
    keep_command,
    sheet_command,
    refit_command,
    cells_command,
    brief_command,
    page_command,
):
    _module.add_to(app)


def _refuse_empty(given: Sequence[str]) -> None:
    """Refuse a word of no letters before it is taken for the folder one stands in."""
    if "" in given:
        before = " ".join(["packdesign", *given[: list(given).index("")]])
        msg = (
            f"the word after '{before}' is empty: name the file or the value that "
            "belongs there (a variable of the shell may not be set)"
        )
        raise InputError(msg)


def run(arguments: Sequence[str] | None = None) -> None:
    """Run the command line.

    Parameters
    ----------
    arguments : sequence of str, optional
        Words after the program's name. Left out: those it was called with.

    Raises
    ------
    SystemExit
        Always, with the exit status of the run.
    """
    given = list(sys.argv[1:] if arguments is None else arguments)
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(AttributeError, ValueError):
            stream.reconfigure(errors="replace")  # type: ignore[union-attr]
    try:
        _refuse_empty(given)
        app(args=given, prog_name="packdesign")
    except PackDesignError as error:
        status = fail(str(error))
    except OSError as error:
        status = fail(f"{error.filename or 'a file'}: {error.strerror or error}")
    except Exception as error:
        status = fail_unexpectedly(error, debug="--debug" in given)
    else:
        status = DONE
    sys.exit(status)
