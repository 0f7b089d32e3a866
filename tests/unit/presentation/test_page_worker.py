"""The process in the background: JSON in, JSON lines out, one message where it is not possible."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest

from packdesign.presentation.page.worker import main

SMALL = """\
[pack]
cell = "Samsung SDI INR18650-25R"
series = 1
[[loads]]
name = "lamp"
watts = 12
"""


def _worked(job: str, brief: str) -> tuple[int, list[dict[str, Any]], str]:
    target, problems = io.StringIO(), io.StringIO()
    source = io.StringIO(json.dumps({"brief": brief, "files": {}}))
    code = main(job, source, target, problems)
    lines = [json.loads(line) for line in target.getvalue().splitlines()]
    return code, lines, problems.getvalue()


def test_the_full_engine_tells_its_progress_and_gives_a_trace() -> None:
    code, lines, problems = _worked("full_engine", SMALL)
    assert (code, problems) == (0, "")
    assert lines[0]["share"] <= lines[-2]["share"]
    result = lines[-1]["result"]
    assert len(result["trace"]["time_s"]) == len(result["trace"]["voltage_v"])
    assert result["summary"]["run_time_s"] == result["trace"]["time_s"][-1]


def test_a_particle_model_gives_its_own_curve() -> None:
    brief = SMALL.replace("Samsung SDI INR18650-25R", "LG Energy Solution INR21700-M50")
    code, lines, problems = _worked("particle_model", brief)
    assert (code, problems) == (0, "")
    other = _worked("full_engine", brief)[1][-1]["result"]["summary"]
    own = lines[-1]["result"]["summary"]
    assert own["run_time_s"] == pytest.approx(other["run_time_s"], rel=0.1)
    assert own["min_voltage_v"] != other["min_voltage_v"]


def test_no_particle_model_for_a_cell_without_a_published_set() -> None:
    code, _, problems = _worked("particle_model", SMALL)
    assert code == 2
    assert "no published physics parameter set" in problems


def test_a_brief_that_cannot_be_used_ends_with_one_message() -> None:
    code, lines, problems = _worked("full_engine", 'title = "nothing in it"\n')
    assert code == 2
    assert lines == [] or "result" not in lines[-1]
    assert len(problems.strip().splitlines()) == 1
