"""The command that serves the page, with every setting it needs said on the command line.

An installed package has no ``.streamlit`` folder beside it, so nothing may hang on that file.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Final

__all__ = ["SETTINGS", "page_command"]

SETTINGS: Final[dict[str, str | int | bool]] = {
    "browser.gatherUsageStats": False,
    "client.toolbarMode": "minimal",
    "client.showErrorDetails": "none",
    "server.address": "localhost",
    "server.maxUploadSize": 50,
    "server.fileWatcherType": "none",
    "server.headless": True,
    "server.runOnSave": False,
    "theme.base": "light",
    "theme.primaryColor": "#1f4a6b",
    "theme.backgroundColor": "#fbfaf4",
    "theme.secondaryBackgroundColor": "#f0eee2",
    "theme.textColor": "#1c2730",
    "theme.borderColor": "#8f9383",
    "theme.linkColor": "#1f4a6b",
    "theme.baseRadius": "none",
    "theme.font": "Verdana, DejaVu Sans, sans-serif",
    "theme.headingFont": "Georgia, DejaVu Serif, serif",
    "theme.codeFont": "DejaVu Sans Mono, monospace",
    "theme.baseFontSize": 14,
}
"""Streamlit's settings for the page: nothing is sent anywhere, and the look."""

_OWN_MACHINE: Final = "localhost"


def page_command(
    *, port: int = 8501, address: str = _OWN_MACHINE, open_browser: bool = True
) -> list[str]:
    """Give the command that serves the page.

    Parameters
    ----------
    port : int
        Where it listens. [-]
    address : str
        Which interface it listens on; this machine only, unless said.
    open_browser : bool
        Whether to open the page in the browser.

    Returns
    -------
    list of str
        Program and arguments, for ``subprocess``.

    Examples
    --------
    >>> "--server.port=8600" in page_command(port=8600)
    True
    """
    settings = SETTINGS | {
        "server.port": port,
        "server.address": address,
        "server.headless": not open_browser,
    }
    entry = Path(__file__).with_name("entry.py")
    flags = [f"--{key}={_written(value)}" for key, value in settings.items()]
    return [sys.executable, "-m", "streamlit", "run", str(entry), *flags]


def _written(value: str | int | bool) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)
