"""How long it takes to read a table of 5,000 own cells, and to judge a pack that has run.

Ratios within one run: what a row of a long table costs over one of a short, and what all
verdicts cost of a whole assessment.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest

from packdesign.data.cell_table import load_cells
from packdesign.planning.assess.discharge import run_discharge
from packdesign.planning.assess.judgement import judge
from packdesign.planning.assess.loading import loading_of
from packdesign.planning.assess.service import assess, design_of
from packdesign.planning.brief.examples import example_names, example_text
from packdesign.planning.brief.load import brief_from_text
from tests.benchmarks.test_shortlist_speed import own_table

FEW, ROWS = 500, 5000
MOST_PER_ROW = 2.0
"""A row of the long table over one of the short; own choice."""
MOST_OF_THE_WHOLE = 0.7
"""What judging may cost of an assessment: a shortlist judges more than once; own choice."""


def least_s(work: Callable[[], object]) -> float:
    """Least of three times: what else the machine does is not the work's. [s]"""
    taken = []
    for _ in range(3):
        began = time.perf_counter()
        work()
        taken.append(time.perf_counter() - began)
    return min(taken)


def test_a_row_of_an_own_table_costs_the_same_in_a_long_one(tmp_path: Path) -> None:
    few, many = own_table(tmp_path / "few.csv", FEW), own_table(tmp_path / "many.csv", ROWS)
    few_s, many_s = least_s(lambda: load_cells(few)), least_s(lambda: load_cells(many))
    ratio = (many_s / ROWS) / (few_s / FEW)
    print(f"{ROWS} own rows {many_s:.2f} s; a row over one of {FEW}: {ratio:.2f}")
    assert ratio < MOST_PER_ROW


@pytest.mark.parametrize("name", example_names())
def test_judging_is_the_smaller_part_of_an_assessment(name: str) -> None:
    brief = brief_from_text(example_text(name))
    design = design_of(brief)
    loading = loading_of(brief, design)
    outcome = run_discharge(brief, design, loading)
    judging_s = least_s(lambda: judge(brief, design, loading, outcome))
    whole_s = least_s(lambda: assess(brief))
    print(f"{name}: judged in {judging_s:.2f} s of {whole_s:.2f} s")
    assert judging_s < MOST_OF_THE_WHOLE * whole_s
