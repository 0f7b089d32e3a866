"""What every test needs: quiet third parties, and where the measured material lies."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

os.environ.setdefault("PYBAMM_DISABLE_TELEMETRY", "true")
os.environ.setdefault("STREAMLIT_BROWSER_GATHER_USAGE_STATS", "false")

PROJECT = Path(__file__).resolve().parent.parent


@pytest.fixture(scope="session")
def measured() -> Path:
    """Folder of measured cells beside the project; the test is skipped where it is absent."""
    folder = PROJECT.parent / "shared" / "measured"
    if not folder.is_dir():
        pytest.skip("no ../shared/measured beside the project")
    return folder


@pytest.fixture(scope="session")
def published() -> Path:
    """Folder of published check values kept with the tests."""
    return PROJECT / "tests" / "reference" / "tables"
