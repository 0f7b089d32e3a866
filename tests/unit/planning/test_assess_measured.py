"""A measured resistance that cannot be true of the cell is questioned."""

from __future__ import annotations

import pytest

from packdesign.data.cell_table import load_cells
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.planning.verdicts.verdict import Status

CELL = "Samsung SDI INR18650-25R"
PACK = {"cell": CELL, "series": 3, "parallel": 1}
LOADS = [{"name": "lamp", "watts": 10, "duty": 1}]


def expected_milliohm() -> float:
    cell = load_cells().find(CELL)
    ohm = model_from_datasheet(cell).pulse_ohm(
        soc=0.5, temperature_degc=20.0, current_a=cell.capacity_ah, pulse_s=10.0
    )
    return 1000 * ohm


@pytest.mark.parametrize(
    ("times", "status", "word"),
    [
        (0.001, Status.CAUTION, "unit"),
        (0.4, Status.CAUTION, "unit"),
        (0.6, Status.OK, ""),
        (1.0, Status.OK, ""),
        (1.9, Status.OK, ""),
        (2.5, Status.CAUTION, "worn"),
    ],
)
def test_cell_resistance(judged, times: float, status: Status, word: str) -> None:
    measured = {"cell_resistance": f"{times * expected_milliohm()} mohm"}
    verdict = judged(pack=PACK, loads=LOADS, measured=measured)["resistance_measured"]
    assert verdict.status is status
    assert verdict.value == pytest.approx(times, rel=0.05)
    assert word in verdict.fix


def test_nothing_measured_gets_no_verdict(judged) -> None:
    assert "resistance_measured" not in judged(pack=PACK, loads=LOADS)
