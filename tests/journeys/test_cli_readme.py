"""The README tells the truth: its output is what the commands print, its lines are what runs."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from tests.journeys.readme_tour import README, toured

LINE = "python3 -m venv .venv && .venv/bin/pip install -q -c requirements.lock "


def _lines() -> list[str]:
    blocks = re.findall(r"```sh\n(.*?)\n```", README.read_text(encoding="utf-8"), re.DOTALL)
    return [line for block in blocks for line in block.splitlines()]


def test_the_readme_has_two_lines_to_copy() -> None:
    first, second = _lines()
    assert first.startswith(LINE)
    assert second.startswith(LINE)
    assert "packdesign assess" in first
    assert "python -m pytest" in second


def test_the_example_of_the_first_line_is_there(project: Path) -> None:
    brief = _lines()[0].split()[-1]
    assert (project / brief).is_file()


def test_the_gate_runs_the_readme_s_test_line_word_for_word(project: Path) -> None:
    gate = project / ".ci" / "run"
    assert os.access(gate, os.X_OK)
    assert _lines()[1] in gate.read_text().splitlines()


def test_links_lead_somewhere(project: Path) -> None:
    text = README.read_text(encoding="utf-8")
    for target in re.findall(r"\]\(([^)#:]+)\)", text):
        assert (project / target).exists(), target
    for target in re.findall(r"`((?:tests|packdesign|cell_data)/[^`]*)`", text):
        assert (project / target).exists(), target


def test_the_lock_pins_every_dependency(project: Path) -> None:
    import tomllib

    settings = tomllib.loads((project / "pyproject.toml").read_text())["project"]
    wanted = [*settings["dependencies"], *settings["optional-dependencies"]["test"]]
    locked = (project / "requirements.lock").read_text()
    pinned = {line.partition("==")[0].lower() for line in locked.splitlines() if "==" in line}
    names = {re.split(r"[<>=!~\[ ;]", each, maxsplit=1)[0].lower() for each in wanted}
    assert names <= pinned
    assert "://" not in locked


@pytest.mark.slow
def test_the_tour_is_what_the_commands_print() -> None:
    now = README.read_text(encoding="utf-8")
    assert toured(now) == now, "run: python -m tests.journeys.readme_tour"
