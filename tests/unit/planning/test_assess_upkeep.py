"""Verdicts on the years ahead, on carrying, and on a pack or cells in the hand."""

from __future__ import annotations

import pytest

from packdesign.planning.verdicts.verdict import Status

PACK = {"cell": "Samsung SDI INR18650-30Q", "series": 2, "parallel": 2}
LAMP = [{"name": "lamp", "watts": 20, "min_voltage": "5.5 V"}]


def test_years_are_judged_only_where_the_brief_tells_of_them(judged):
    plain = judged(pack=PACK, loads=LAMP)
    assert not any(name.startswith(("aged", "transport")) for name in plain)


def test_more_years_leave_less(judged):
    mission = {"run_time": "30 min"}
    one, four = (
        judged(
            pack=PACK,
            loads=LAMP,
            mission=mission,
            storage={"uses_per_week": 2, "service_life": f"{years} year"},
        )
        for years in (1, 4)
    )
    assert four["aged_capacity"].value < one["aged_capacity"].value < 1.0
    assert four["aged_run_time"].value < one["aged_run_time"].value
    assert one["aged_run_time"].limit == pytest.approx(1800.0)
    assert "104 charges of 23 %" in one["aged_capacity"].reason


def test_a_tired_pack_resets_in_the_cold(judged):
    brief = {
        "pack": {**PACK, "series": 3, "parallel": 1},
        "loads": [{"name": "drive", "watts": 100, "min_voltage": "9 V"}],
        "surroundings": {"ambient": "20 degC", "ambient_min": "-10 degC"},
        "storage": {"uses_per_week": 3, "service_life": "2 year"},
    }
    found = judged(**brief)["aged_start"]
    assert found.status is Status.CAUTION
    assert "resets" in found.reason
    assert found.limit == -10.0


def test_carrying_is_classed_and_a_flight_is_a_caution(judged):
    at_home = judged(pack=PACK, loads=LAMP, carrying={"mode": "car"})["transport_class"]
    assert at_home.status is Status.OK
    # 2 x 2 cells of 3.6 V and 3 Ah
    assert at_home.value == pytest.approx(4 * 3.6 * 3.0)
    assert "UN 38.3" in at_home.reason
    assert at_home.limit is at_home.margin is None, "the passenger rules do not hold there"
    flown = judged(pack=PACK, loads=LAMP, carrying={"mode": "air"})["transport_class"]
    assert flown.status is Status.CAUTION
    assert flown.limit == 100.0
    assert flown.margin == pytest.approx(1 - flown.value / 100.0)


LOOKED_AT = {
    "dented": False, "leaking": False, "smells": False, "warm_at_rest": False, "was_wet": False,
    "swollen": 0.0,
}  # fmt: skip


@pytest.mark.parametrize(
    ("volts", "status"),
    [
        (["3.61 V", "3.62 V"], Status.OK),
        (["3.61 V", "3.50 V"], Status.CAUTION),
        (["3.61 V", "1.9 V"], Status.STOP),
    ],
)
def test_go_or_no_go_is_a_verdict(judged, volts, status):
    measured = {"group_voltages": volts, "temperature": "20 degC", "condition": LOOKED_AT}
    found = judged(pack=PACK, loads=LAMP, measured=measured)["charge_go"]
    assert found.status is status
    assert found.limit == 2.0
    assert found.value == pytest.approx(float(volts[1].split()[0]) if status != Status.OK else 3.61)


def test_taps_stand_for_groups_and_a_wrong_count_is_told(judged):
    measured = {
        "tap_voltages": ["0 V", "3.61 V", "7.22 V", "10.83 V"],
        "temperature": "20 degC",
        "condition": LOOKED_AT,
    }
    found = judged(pack=PACK, loads=LAMP, measured=measured)
    assert found["charge_go"].value == pytest.approx(3.61)
    assert found["group_count"].value == 3.0


def test_a_lot_of_cells_is_sorted_grouped_and_joined(judged, tmp_path):
    (tmp_path / "cells.csv").write_text(
        "cell,rested_v,capacity_ah,resistance_milliohm,rest_days,start_v,origin\n"
        "a,3.60,3.0,20,14,3.61,new\nb,3.61,3.0,20,14,3.62,new\nc,3.40,3.0,21,14,3.41,new\n"
        "d,1.40,3.0,22,14,3.60,new\ne,3.60,3.0,20,,,new\n"
    )
    brief = {"pack": PACK, "loads": LAMP, "measured": {"cells": "cells.csv"}}
    found = judged(tmp_path, **brief)
    assert (found["intake_cells"].value, found["intake_cells"].limit) == (4.0, 4.0)
    assert found["intake_cells"].status is Status.CAUTION
    assert "d (1.40 V" in found["intake_cells"].reason
    assert found["intake_joints"].status is Status.STOP  # 0.2 V apart
    assert found["intake_known"].status is Status.UNKNOWN
    short = {**brief, "pack": {**PACK, "parallel": 3}}
    assert judged(tmp_path, **short)["intake_cells"].status is Status.STOP
