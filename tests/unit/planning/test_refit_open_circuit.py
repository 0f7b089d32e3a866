"""What a log moved of the open-circuit voltage, as a brief keeps it."""

from __future__ import annotations

import numpy as np
import pytest

from packdesign.data.cell_table import load_cells
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.nodes import OCV_NODES, SOC_GRID
from packdesign.foundation.errors import BriefError
from packdesign.planning.refit.open_circuit import (
    LEFT_OVER_V,
    nodes_of,
    with_open_circuit_moved,
)


@pytest.fixture(scope="module")
def cell() -> CellModel:
    return model_from_datasheet(load_cells().find("INR18650-25R"))


def test_two_moves_are_a_straight_line_from_empty_to_full(cell: CellModel) -> None:
    moved = with_open_circuit_moved(cell, (-0.04, 0.02))
    assert nodes_of((-0.04, 0.02)) == (0.0, 1.0)
    assert moved.ocv_v - cell.ocv_v == pytest.approx(-0.04 + 0.06 * SOC_GRID)


def test_six_moves_stand_at_the_charges_of_a_refit(cell: CellModel) -> None:
    shift_v = (0.01, 0.02, -0.01, 0.0, 0.005, 0.01)
    moved = with_open_circuit_moved(cell, shift_v)
    at = np.interp(OCV_NODES, SOC_GRID, moved.ocv_v - cell.ocv_v)
    assert at == pytest.approx(shift_v, abs=1e-6)
    assert np.all(moved.spread.ocv_v <= LEFT_OVER_V)


def test_curve_never_falls_with_charge(cell: CellModel) -> None:
    moved = with_open_circuit_moved(cell, (0.3, -0.3))
    assert np.all(np.diff(moved.ocv_v) >= 0)


@pytest.mark.parametrize("given", [["1 mV"], ["1 mV", "2 mV", "3 mV"], ["1 mV"] * 7])
def test_any_other_count_is_refused(judged, given: list[str]) -> None:
    with pytest.raises(BriefError, match=f"two voltages.*or six.*got {len(given)}"):
        judged(
            pack={"cell": "Samsung SDI INR18650-25R", "series": 1, "parallel": 1},
            loads=[{"name": "lamp", "watts": 3}],
            measured={"open_circuit_shift": given},
        )
