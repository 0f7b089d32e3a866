"""A measured resistance that cannot be true of the cell is questioned."""

from __future__ import annotations

import pytest

from packdesign.data.cell_table import load_cells
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.foundation.errors import BriefError
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
        (0.001, Status.STOP, "unit"),  # reckoned with, everything came out well
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


@pytest.mark.parametrize(("air", "is_said"), [("42 degC", True), ("38 degC", False)])
def test_the_room_of_the_charge_counts_before_it(judged, air, is_said):
    found = judged(
        pack={"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1},
        loads=[{"name": "lamp", "watts": 5}],
        charger={"current": "1 A", "ambient_max": air},
        measured={"group_voltages": ["3.7 V", "3.7 V", "3.7 V"]},
    )
    assert ("not above 40 degC" in found["charge_go"].reason) is is_said


@pytest.mark.parametrize("key", ["group_voltages_full", "group_voltages_loaded"])
def test_every_list_of_groups_must_have_them_all(judged, key):
    with pytest.raises(BriefError, match=rf"measured.{key} has 2 voltages, but the pack has 3"):
        judged(
            pack={"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1},
            loads=[{"name": "lamp", "watts": 5}],
            measured={key: ["3.5 V", "3.5 V"]},
        )


def test_a_surface_likely_too_hot_on_the_hottest_day_is_a_stop(judged):
    """Before, the check called it a caution beside a hazard that said stop."""
    sections = {
        "pack": {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 2},
        "loads": [{"name": "heater", "watts": 100}],
        "surroundings": {"ambient": "20 degC", "ambient_max": "50 degC", "hand_held": True},
    }
    hot = judged(**sections)["surface_temperature"]
    assert hot.status is Status.STOP
    ordinary = sections | {"surroundings": {"ambient": "20 degC", "hand_held": True}}
    assert judged(**ordinary)["surface_temperature"].status is not Status.STOP
