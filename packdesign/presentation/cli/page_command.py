"""``packdesign page``: the same functions with a mouse, in the browser."""

from __future__ import annotations

import subprocess
import sys
from importlib import resources
from pathlib import Path
from typing import Annotated

import typer

from packdesign.foundation.errors import InputError

__all__ = ["add_to"]

_HELP = """\
Open the page in the browser: pick an example or bring a brief, change it, see it judged.

It runs on this machine only, and nothing is sent anywhere. End it with Ctrl-C.

\b
Examples:
  packdesign page
  packdesign page --port 8600 --no-browser
"""


def _page(
    port: Annotated[int, typer.Option(help="Port on this machine.", min=1024, max=65535)] = 8501,
    no_browser: Annotated[
        bool, typer.Option("--no-browser", help="Only serve it; open nothing.")
    ] = False,
) -> None:
    """Carry out the command."""
    entry = Path(str(resources.files("packdesign.presentation.page").joinpath("entry.py")))
    if not entry.is_file():
        msg = f"the page is not part of this installation ({entry.name} is missing)"
        raise InputError(msg)
    words = [
        sys.executable, "-m", "streamlit", "run", str(entry),
        "--server.address", "localhost", "--server.port", str(port),
        "--browser.gatherUsageStats", "false",
        "--server.headless", "true" if no_browser else "false",
    ]  # fmt: skip
    try:
        ended = subprocess.run(words, check=False)
    except KeyboardInterrupt:
        return
    raise typer.Exit(ended.returncode)


def add_to(app: typer.Typer) -> None:
    """Add the command.

    Parameters
    ----------
    app : typer.Typer
        The command line.
    """
    app.command("page", help=_HELP, short_help="The same in the browser.")(_page)
