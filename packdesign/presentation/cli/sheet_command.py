"""``packdesign sheet``: everything about one pack as a document to print, and its twin as JSON."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Final

import typer

from packdesign.presentation.cli.chosen_pack import with_pack
from packdesign.presentation.cli.discharge_command import files_of
from packdesign.presentation.cli.ending import end_with
from packdesign.presentation.cli.engine_choice import EngineChoice
from packdesign.presentation.cli.options import AsJson, BriefPath, Overwrite
from packdesign.presentation.cli.screen import messages, results, write_object
from packdesign.presentation.cli.working import working

__all__ = ["add_to"]

_HELP = """\
Write the build sheet of a brief: one document to print and take to the bench.

Page 1 is the verdict on the whole, the pack in short and what to do next. Behind it dangers, the
pack with its drawing, parts to get, assembly with boxes to tick and fields to fill in, the run,
every check, the gauge, the charge plan, storing and carrying with a label to cut out, sources. It
needs nothing beside it.

\b
Where:
  --out sheet.html   for any browser
  --out sheet.pdf    printed by the Chromium on this machine; the environment variable
                     PACKDESIGN_CHROMIUM names another than the one on the PATH
  left out           BRIEF's own name, ending in _sheet.html, in this folder; with --json nowhere

With --json the same is printed as one object, its "file" null where no document is written.

\b
Examples:
  packdesign sheet corer.toml
  packdesign sheet corer.toml --out corer.pdf --overwrite
  packdesign sheet corer.toml --json > corer.json
"""
_KINDS: Final = (".html", ".pdf")


def _sheet(
    brief: BriefPath,
    out: Annotated[
        Path | None, typer.Option("--out", help="Write it here.", metavar="FILE.html|FILE.pdf")
    ] = None,
    overwrite: Overwrite = False,
    as_json: AsJson = False,
    engine: Annotated[
        EngineChoice, typer.Option(help="What runs the likely discharge.")
    ] = EngineChoice.FAST,
) -> None:
    """Carry out the command."""
    import datetime

    from packdesign.planning.assess.discharge import Engine
    from packdesign.planning.assess.service import assess
    from packdesign.planning.assess.start_report import start_reports
    from packdesign.planning.brief.load import load_brief
    from packdesign.presentation.cli.show_verdicts import show_overall
    from packdesign.presentation.export.files import check_writable, write_whole
    from packdesign.presentation.export.pdf import pdf_of
    from packdesign.presentation.export.sheet_object import sheet_object
    from packdesign.presentation.sheet.service import build_sheet

    wanted = load_brief(brief)
    path = Path(f"{brief.stem}_sheet.html") if out is None and not as_json else out
    if path is not None:
        _check_kind(path)
        check_writable(path, spare=files_of(wanted, brief), overwrite=overwrite)
    with working("build sheet") as tell:
        wanted = with_pack(wanted, tell)
        found = assess(wanted, engine=Engine(engine.value), progress=tell)
        starts = tuple(start_reports(wanted, found.design, found.loading))
        sheet = build_sheet(found, starts=starts, made_on=datetime.date.today())
        tell("writing", 1.0)
        if path is not None:
            content = pdf_of(sheet.html) if path.suffix.lower() == ".pdf" else sheet.html
            write_whole(path, content)
    if path is not None:
        messages().print(f"build sheet written to {path}", soft_wrap=True)
    if as_json:
        write_object(sheet_object(sheet, file=path))
    else:
        show_overall(results(), sheet.facts.told, sheet.facts.overall)
    end_with(sheet.facts.verdicts)


def _check_kind(path: Path) -> None:
    """Refuse before any work what cannot be written."""
    from packdesign.foundation.errors import InputError
    from packdesign.presentation.export.pdf import chromium_for_pdf

    if path.suffix.lower() not in _KINDS:
        ending = f"ends in '{path.suffix}'" if path.suffix else "has no ending"
        msg = f"--out {path} {ending}; a build sheet is written as .html or .pdf"
        raise InputError(msg)
    if path.suffix.lower() == ".pdf":
        chromium_for_pdf()


def add_to(app: typer.Typer) -> None:
    """Add the command.

    Parameters
    ----------
    app : typer.Typer
        The command line.
    """
    app.command("sheet", help=_HELP, short_help="Write the build sheet, to print.")(_sheet)
