"""``packdesign page``: the same functions with a mouse, in the browser."""

from __future__ import annotations

import signal
import subprocess
from typing import Annotated

import typer

from packdesign.presentation.cli.ending import DONE, UNUSABLE

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
    from packdesign.presentation.page.launch import page_command

    words = page_command(port=port, open_browser=not no_browser)
    with subprocess.Popen(words) as server:
        # whoever ends the command must not leave its server behind
        signal.signal(signal.SIGTERM, lambda *_: server.terminate())
        try:
            status = server.wait()
        except KeyboardInterrupt:
            return
    raise typer.Exit(UNUSABLE if status > 0 else DONE)


def add_to(app: typer.Typer) -> None:
    """Add the command.

    Parameters
    ----------
    app : typer.Typer
        The command line.
    """
    app.command("page", help=_HELP, short_help="The same in the browser.")(_page)
