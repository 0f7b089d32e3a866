"""``packdesign brief``: a brief to start from."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from packdesign.presentation.cli.options import AsJson
from packdesign.presentation.cli.screen import messages, write_object

__all__ = ["add_to"]

_HELP = """\
Write a brief to start from: one with every key explained, or one of the examples.

\b
Examples:
  packdesign brief mine.toml
  packdesign brief corer.toml --example soil_corer
  packdesign brief --examples           the names of the examples
  packdesign brief | less               look without writing
"""


def _brief(
    out: Annotated[
        Path | None,
        typer.Argument(help="The file to write. Left out: to the screen.", metavar="[OUT.toml]"),
    ] = None,
    example: Annotated[
        str | None, typer.Option(help="Name of an example instead.", metavar="NAME")
    ] = None,
    list_examples: Annotated[
        bool, typer.Option("--examples", help="List the examples and end.")
    ] = False,
    overwrite: Annotated[
        bool, typer.Option("--overwrite", help="Replace the file if there is one.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Carry out the command."""
    from packdesign.planning.brief.examples import example_names, example_text

    if list_examples:
        names = example_names()
        if as_json:
            write_object({"schema": 1, "examples": list(names)})
        else:
            sys.stdout.write("\n".join(names) + "\n")
        return
    if example is not None:
        text = example_text(example)
    else:
        from packdesign.planning.brief.starting import starting_brief

        text = starting_brief()
    if out is not None:
        _write(out, text, overwrite=overwrite)
    if as_json:
        write_object(
            {"schema": 1, "file": None if out is None else str(out), "example": example or "",
             "text": text}
        )  # fmt: skip
    elif out is None:
        sys.stdout.write(text)
    else:
        messages().print(f"written to {out}; next: packdesign assess {out}", soft_wrap=True)


def _write(out: Path, text: str, *, overwrite: bool) -> None:
    from packdesign.foundation.errors import InputError
    from packdesign.presentation.export.files import write_whole

    if out.is_file() and not overwrite:
        msg = f"{out} is there already; name another file, or add --overwrite to replace it"
        raise InputError(msg)
    write_whole(out, text)


def add_to(app: typer.Typer) -> None:
    """Add the command.

    Parameters
    ----------
    app : typer.Typer
        The command line.
    """
    app.command("brief", help=_HELP, short_help="Write a brief to start from.")(_brief)
