"""Cell, lead, strip, plug, switch and board are held against the hardest stretch of the work."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from packdesign.planning.assess.discharge import run_discharge
from packdesign.planning.assess.hardest_stretch import hardest_a, peak_lasts_s
from packdesign.planning.assess.loading import loading_of
from packdesign.planning.assess.service import design_of
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.verdicts.verdict import Status

CELL = {"cell": "Samsung SDI INR18650-25R", "series": 3}


def work(folder: Path, *steps: tuple[float, float], **pack: Any) -> dict[str, Any]:
    """Write a log of steps, each a length in seconds and a current in amperes."""
    rows, now_s = ["time_s,current_a"], 0.0
    for length_s, amperes in steps:
        rows += [f"{now_s},{amperes}", f"{now_s + length_s - 0.001},{amperes}"]
        now_s += length_s
    (folder / "work.csv").write_text("\n".join(rows))
    return {"pack": {**CELL, **pack}, "load": {"log": "work.csv"}}


def test_three_hard_minutes_in_an_easy_hour_are_not_averaged_away(judged, tmp_path):
    """20 A for 180 s, else 1 A: 4.6 A rms over the hour. The lead carries 11 A, the plug 15 A."""
    pack = {
        "parallel": 2,
        "lead": {"awg": 20, "bundled": False, "insulation_limit": "105 degC"},
        "connector": {"name": "XT30"},
        "switch": {"kind": "mechanical", "rating": "16 A", "rated_voltage": "24 V"},
        "protection": {"kind": "board", "continuous": "12 A"},
        "strips": {"material": "nickel", "width": "5 mm", "thickness": "0.1 mm"},
    }
    hard = judged(tmp_path, **work(tmp_path, (1800, 1), (180, 20), (1620, 1), **pack))
    for name in ("wire_current_20_awg", "contact_current_connector", "contact_current_switch"):
        assert hard[name].value == pytest.approx(20.0, rel=1e-3)
        assert hard[name].status is Status.STOP
        assert "That is its hardest " in hard[name].reason
        assert "over the whole run it carries 4." in hard[name].reason
    assert hard["board_current"].value == pytest.approx(20.0, rel=1e-3)
    assert hard["board_current"].status is Status.STOP
    assert hard["wire_temperature"].status is Status.STOP
    assert "That is at 20 A, its hardest " in hard["wire_temperature"].reason
    easy = judged(tmp_path, **work(tmp_path, (3600, 4.58), **pack))
    for name in ("wire_current_20_awg", "contact_current_switch", "board_current"):
        assert easy[name].status is Status.OK
        assert "hardest" not in easy[name].reason
    rises = [each["strip_rise_strip_between_cells"].value for each in (hard, easy)]
    assert rises[0] / rises[1] == pytest.approx((20 / 4.58) ** 2, rel=0.01)


def test_a_start_of_a_second_does_not_count_as_steady(judged, tmp_path):
    """25 A for 1 s in 10 s of 1 A are 8 A rms: a plug for 15 A stays within its rating."""
    pack = {"parallel": 2, "connector": {"name": "XT30"}}
    found = judged(tmp_path, **work(tmp_path, (600, 1), (1, 25), (600, 1), **pack))
    plug = found["contact_current_connector"]
    assert plug.status is Status.OK
    assert plug.value == pytest.approx(((25**2 + 9 * 1) / 10) ** 0.5, rel=0.01)


def cell(**steps: Any) -> dict[str, Any]:
    """A cell rated 9.6 A for good and 35 A for 10 s."""
    return {"cell": "Samsung SDI INR21700-48G", "series": 3, "parallel": 1, **steps}


@pytest.mark.parametrize(
    ("hard", "steady"),
    [
        (((2, 30), (300, 15)), Status.STOP),  # 15 A is half of the peak, and lasts 5 minutes
        (((2, 30), (7, 15)), Status.STOP),  # 10 s at 18.9 A
        (((2, 15), (7, 9)), Status.STOP),  # 10 s at 10.3 A
        (((2, 15), (7, 8)), Status.OK),  # 10 s at 9.5 A
        (((2, 30), (300, 1)), Status.STOP),  # 10 s at 13.5 A
        (((1, 30), (300, 1)), Status.OK),  # 10 s at 9.53 A
    ],
)
def test_what_lasts_longer_than_a_burst_is_held_to_the_continuous_rating(
    judged, tmp_path, hard, steady
):
    sections = work(tmp_path, (900, 1), *hard, (900, 1))
    found = judged(tmp_path, **(sections | {"pack": cell()}))
    assert found["burst_current"].status is Status.OK
    assert found["continuous_current"].status is steady
    assert found["continuous_current"].limit == 9.6


def figures(power_w: float, **mission: Any) -> Any:
    brief = brief_from_mapping(
        {"pack": {**CELL, "parallel": 2}, "loads": [{"name": "heater", "watts": power_w}]} | mission
    )
    design = design_of(brief)
    loading = loading_of(brief, design)
    return design, loading, run_discharge(brief, design, loading)


def test_power_is_taken_at_the_lowest_voltage_of_the_run():
    design, loading, outcome = figures(40.0)
    last_a = hardest_a(design, loading, outcome, at_least_s=1.0)
    assert last_a == pytest.approx(40.0 / outcome.summary.min_voltage_v, rel=0.02)
    assert last_a > outcome.summary.rms_current_a


def test_a_peak_that_never_ends_lasts_as_long_as_the_run():
    """One period of a steady load is no shorter for being short."""
    design, loading, outcome = figures(40.0)
    assert loading.demand.repeats
    found_s = peak_lasts_s(design, loading, outcome, peak_a=6.0)
    assert found_s == pytest.approx(outcome.summary.run_time_s)
