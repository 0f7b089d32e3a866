"""``packdesign compare``: several briefs, or changes of one, side by side."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from packdesign.foundation.errors import InputError
from packdesign.presentation.cli.ending import end_with
from packdesign.presentation.cli.options import AsJson
from packdesign.presentation.cli.screen import results, write_object
from packdesign.presentation.cli.working import working

if TYPE_CHECKING:
    from packdesign.planning.brief.schema import Brief

__all__ = ["add_to"]

_HELP = """\
Judge several briefs, or one brief with a key changed, and set them side by side.

A brief that names no cell is given the best of its shortlist. Keys are written with dots:
cavity.bore, surroundings.ambient_min, motor.drive.ramp_up. What --set names becomes a brief of its
own, held against the first.

\b
Examples:
  packdesign compare corer.toml corer_bigger.toml
  packdesign compare corer.toml --set "surroundings.ambient_min=-5 degC"
  packdesign compare corer.toml --set pack.parallel=2 --set "motor.drive.ramp_up=1 s" --json
"""


def _compare(
    briefs: Annotated[
        list[Path], typer.Argument(help="Briefs, TOML files; the first leads.", metavar="BRIEF...")
    ],
    changes: Annotated[
        list[str] | None,
        typer.Option("--set", help="The first brief with this changed.", metavar="KEY=VALUE"),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Carry out the command."""
    from packdesign.planning.compare.service import compare
    from packdesign.presentation.cli.show_comparison import show_comparison
    from packdesign.presentation.export.comparison_object import comparison_object

    wanted = _named(briefs, changes or [])
    with working("compare") as tell:
        found = compare(wanted, progress=tell)
    if as_json:
        write_object(comparison_object(found))
    else:
        show_comparison(results(), found)
    end_with(verdict for row in found.verdicts for verdict in row.verdicts if verdict is not None)


def _named(paths: list[Path], changes: list[str]) -> dict[str, Brief]:
    """Give each brief a name of its own: its file, or what was changed."""
    from packdesign.planning.brief.change import changed_brief
    from packdesign.planning.brief.load import load_brief

    found: dict[str, Brief] = {}
    for path in paths:
        name = path.name if path.name not in found else str(path)
        if name in found:
            msg = f"{path} is named twice; name each brief once"
            raise InputError(msg)
        found[name] = load_brief(path)
    first = next(iter(found.values()))
    for change in changes:
        key, sign, value = change.partition("=")
        if not sign or not key.strip():
            msg = f"--set is '{change}'; write a key and a value, such as cavity.bore='48 mm'"
            raise InputError(msg)
        if change in found:
            msg = f"--set {change} is given twice; name each change once"
            raise InputError(msg)
        found[change] = changed_brief(first, {key.strip(): _value(value.strip())}, name=change)
    return found


def _value(written: str) -> object:
    """Read a value as TOML would; what is no TOML is text."""
    import tomllib

    try:
        return tomllib.loads(f"value = {written}")["value"]
    except tomllib.TOMLDecodeError:
        return written


def add_to(app: typer.Typer) -> None:
    """Add the command.

    Parameters
    ----------
    app : typer.Typer
        The command line.
    """
    app.command("compare", help=_HELP, short_help="Briefs, or changes of one, side by side.")(
        _compare
    )
