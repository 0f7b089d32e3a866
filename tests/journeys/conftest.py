"""The bench replay of the design, with a log and a cell table made up for these tests."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.briefs import BENCH

OWN_CELLS = """\
maker,part_number,form,size_code,family,capacity_mah,nominal_v,full_v,cutoff_v,continuous_a,\
dc_resistance_milliohm,diameter_mm,length_mm
Made up,T30,cylinder,18650,nmc,{capacity_mah},3.6,4.2,2.5,10,30,18.4,65.2
"""


def bench_log() -> str:
    """Write 40 min of pulses: 3 A for 50 s, 0.5 A for 10 s, one row each 5 s."""
    rows = [f"{time_s},{3.0 if time_s % 60 < 50 else 0.5}" for time_s in range(0, 2400, 5)]
    return "\n".join(["time_s,current_a", *rows, ""])


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """Give the brief of a bench replay with its log and its cell table beside it."""
    (tmp_path / "log.csv").write_text(bench_log())
    (tmp_path / "my_cells.csv").write_text(OWN_CELLS.format(capacity_mah=3000))
    brief = tmp_path / "bench.toml"
    brief.write_text(BENCH)
    return brief
