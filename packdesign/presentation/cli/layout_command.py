"""``packdesign layout``: how the cells sit in the cavity, with drawing and envelope."""

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
Lay the cells of a brief out in its cavity.

Every way that fits, with clearance, length left over, strips, taps, mass and centre of mass, energy
per litre, tolerances, room to swell; and how much more room would let in one more cell. Where the
brief gives no counts, as many cells as go in are laid out.

\b
Examples:
  packdesign layout corer.toml
  packdesign layout corer.toml --svg pack.svg       the drawing to scale
  packdesign layout corer.toml --stl pack.stl       the wrapped outside, in mm, for your CAD
  packdesign layout corer.toml --all --json
"""


def _layout(
    brief: BriefPath,
    as_json: AsJson = False,
    svg: Annotated[
        Path | None, typer.Option("--svg", help="Write the drawing.", metavar="OUT.svg")
    ] = None,
    stl: Annotated[
        Path | None,
        typer.Option("--stl", help="Write the wrapped outside of the pack.", metavar="OUT.stl"),
    ] = None,
    with_all: Annotated[bool, typer.Option("--all", help="List every way that fits.")] = False,
    overwrite: Overwrite = False,
) -> None:
    """Carry out the command."""
    from packdesign.foundation.errors import InputError
    from packdesign.planning.brief.load import load_brief
    from packdesign.planning.layout.service import layout_of
    from packdesign.presentation.cli.show_layout import show_layout
    from packdesign.presentation.export.files import check_writable, write_whole
    from packdesign.presentation.export.layout_object import layout_object

    if svg is not None and svg == stl:
        msg = f"--svg and --stl both name {svg}; give each its own file"
        raise InputError(msg)
    wanted = load_brief(brief)
    for path in (svg, stl):
        if path is not None:
            check_writable(path, spare=files_of(wanted, brief), overwrite=overwrite)
    with working("layout") as tell:
        wanted = with_pack(wanted, tell)
        found = layout_of(wanted)
    if svg is not None:
        from packdesign.presentation.drawing.pack_drawing import pack_svg

        write_whole(svg, pack_svg(found.chosen, found.cavity))
        messages().print(f"drawing written to {svg}", soft_wrap=True)
    if stl is not None:
        from packdesign.presentation.drawing.pack_model import envelope_stl

        write_whole(stl, envelope_stl(found.chosen))
        messages().print(f"envelope written to {stl}, in millimetres", soft_wrap=True)
    if as_json:
        write_object(layout_object(found, with_all=with_all))
    else:
        show_layout(results(), found, with_all=with_all)
    end_with(found.verdicts)


def add_to(app: typer.Typer) -> None:
    """Add the command.

    Parameters
    ----------
    app : typer.Typer
        The command line.
    """
    app.command("layout", help=_HELP, short_help="Lay the cells out in the cavity.")(_layout)
