"""The page served as ``packdesign page`` does, and the Chromium that looks at it."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from packdesign.presentation.page.launch import page_command

if TYPE_CHECKING:
    from playwright.sync_api import Browser

PROJECT = Path(__file__).resolve().parents[2]
CHROMIUM_NAMES = ("chromium", "chromium-browser")
"""Names under which distributions install it, as ``.ci/run`` looks for it."""


def chromium_path() -> str | None:
    """Give where Chromium is installed; None where it is not."""
    found = (shutil.which(name) for name in CHROMIUM_NAMES)
    return next((path for path in found if path), None)


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """Serve the page from a folder until the block ends; gives its address."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    process = subprocess.Popen(
        page_command(port=port, open_browser=False),
        cwd=folder,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        env=os.environ | {"PYTHONPATH": str(PROJECT)},
    )
    address = f"http://localhost:{port}"
    try:
        for _ in range(100):
            try:
                with urllib.request.urlopen(f"{address}/_stcore/health", timeout=1):
                    break
            except OSError:
                time.sleep(0.2)
        yield address
    finally:
        process.terminate()
        process.wait(timeout=10)


@contextmanager
def chromium() -> Iterator[Browser]:
    """Start Debian's Chromium with an empty profile; it is closed when the block ends."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        found = play.chromium.launch(
            executable_path=chromium_path(),
            args=["--no-sandbox", "--disable-dev-shm-usage", "--disable-gpu"],
        )
        yield found
        found.close()
