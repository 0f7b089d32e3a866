"""HTML printed to PDF by the Chromium of this machine; nothing is fetched, nothing is kept."""

from __future__ import annotations

import contextlib
import os
import shutil
import signal
import subprocess
import tempfile
from pathlib import Path
from typing import Final

from packdesign.foundation.errors import InputError

__all__ = ["CHROMIUM_VARIABLE", "chromium_for_pdf", "pdf_of"]

CHROMIUM_VARIABLE: Final = "PACKDESIGN_CHROMIUM"
"""Environment variable that names the Chromium to use."""
_NAMES: Final = ("chromium", "chromium-browser", "chromium-headless-shell")
"""As Debian and its kin install it."""
_FLAGS: Final = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--no-pdf-header-footer",
)
_LONGEST_S: Final = 120.0
_BEGINS: Final = b"%PDF-"


def chromium_for_pdf() -> str:
    """Find the Chromium that prints.

    Returns
    -------
    str
        Where it is.

    Raises
    ------
    InputError
        If there is none, or the one named in the environment is not there.
    """
    named = os.environ.get(CHROMIUM_VARIABLE)
    found = shutil.which(named) if named else next(filter(None, map(shutil.which, _NAMES)), None)
    if found is not None:
        return found
    what = (
        f"no {named}, which {CHROMIUM_VARIABLE} names" if named else "no Chromium on this machine"
    )
    msg = (
        f"cannot write a PDF: there is {what}; write the sheet as .html and print it from any "
        f"browser, or install Chromium, or name one in {CHROMIUM_VARIABLE}"
    )
    raise InputError(msg)


def pdf_of(html: str, *, longest_s: float = _LONGEST_S) -> bytes:
    """Print a document.

    Parameters
    ----------
    html : str
        The document; it must need nothing beside it.
    longest_s : float
        When to give up. [s]

    Returns
    -------
    bytes
        The PDF, complete.

    Raises
    ------
    InputError
        If there is no Chromium, or it gave no PDF.
    """
    program = chromium_for_pdf()
    with tempfile.TemporaryDirectory(
        prefix="packdesign-print-", ignore_cleanup_errors=True
    ) as folder:
        source, made = Path(folder) / "sheet.html", Path(folder) / "sheet.pdf"
        source.write_text(html, encoding="utf-8")
        command = [
            program,
            *_FLAGS,
            f"--user-data-dir={folder}/profile",
            f"--print-to-pdf={made}",
            source.as_uri(),
        ]
        _run(command, longest_s=longest_s)
        content = made.read_bytes() if made.is_file() else b""
    if not content.startswith(_BEGINS):
        raise InputError(_no_pdf(program, "it ended without one"))
    return content


def _run(command: list[str], *, longest_s: float) -> None:
    """Run to the end, or end it with everything that it started."""
    try:
        running = subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
    except OSError as error:
        raise InputError(_no_pdf(command[0], error.strerror or str(error))) from None
    try:
        running.wait(timeout=longest_s)
    except subprocess.TimeoutExpired:
        raise InputError(_no_pdf(command[0], f"it took more than {longest_s:g} s")) from None
    finally:
        if running.poll() is None:
            with contextlib.suppress(ProcessLookupError, PermissionError):
                os.killpg(running.pid, signal.SIGKILL)
            running.wait()


def _no_pdf(program: str, why: str) -> str:
    return f"{program} gave no PDF: {why}; write the sheet as .html and print it from any browser"
