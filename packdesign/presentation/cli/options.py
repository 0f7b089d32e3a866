"""Arguments and options that several commands take, worded once."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

__all__ = ["AsJson", "BriefPath", "Overwrite"]

BriefPath = Annotated[Path, typer.Argument(help="The brief, a TOML file.", metavar="BRIEF")]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON object, nothing else.")]
Overwrite = Annotated[bool, typer.Option("--overwrite", help="Replace the file if there is one.")]
