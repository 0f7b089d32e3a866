"""What every test needs: quiet third parties, the command line, and where the material lies."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from tests.remembered import runs_remembered

os.environ.setdefault("PYBAMM_DISABLE_TELEMETRY", "true")
os.environ.setdefault("STREAMLIT_BROWSER_GATHER_USAGE_STATS", "false")

PROJECT = Path(__file__).resolve().parent.parent


def pytest_configure(config: pytest.Config) -> None:
    """Share nothing out where there are no workers: benchmarks measure nothing otherwise."""
    if not config.getoption("numprocesses", default=None):
        config.option.dist = "no"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put files with long tests first, or one worker sits idle while another ends the last."""
    long = {item.path for item in items if item.get_closest_marker("slow")}
    browser = {item.path for item in items if item.get_closest_marker("browser")}
    items.sort(key=lambda item: (item.path not in browser, item.path not in long))


@dataclass(frozen=True, slots=True)
class Ran:
    """What a run of the command line left behind."""

    status: int
    out: str
    err: str

    @property
    def json(self) -> dict[str, Any]:
        """Stdout as the one JSON object it must be; NaN and Infinity are no JSON."""
        value = json.loads(self.out, parse_constant=_refuse)
        assert isinstance(value, dict)
        return value


def _refuse(word: str) -> float:
    msg = f"{word} is not JSON"
    raise AssertionError(msg)


@pytest.fixture
def packdesign(capfd: pytest.CaptureFixture[str]) -> Callable[..., Ran]:
    """Run the command line in this process, as its entry point does."""
    from packdesign.presentation.cli.main import run

    def call(*words: str | Path) -> Ran:
        capfd.readouterr()
        with pytest.raises(SystemExit, match=r"^[012]$") as ended:
            run([str(word) for word in words])
        out, err = capfd.readouterr()
        assert isinstance(ended.value.code, int)
        return Ran(ended.value.code, out, err)

    return call


@pytest.fixture(scope="session", autouse=True)
def _runs_remembered() -> Iterator[None]:
    """Let no two tests of a worker wait for the same run; see `tests.remembered`."""
    with runs_remembered():
        yield


@pytest.fixture(scope="session")
def project() -> Path:
    """Folder of the checkout."""
    return PROJECT


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
