"""Whether a motor comes to its speed in the time that the mission gives it."""

from __future__ import annotations

import pytest

from packdesign.planning.verdicts.verdict import Status

PACK = {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1}


def motor(mass: str = "1 kg", radius: str = "100 mm") -> dict[str, object]:
    """240 rpm at 12 V, 10 A stalled, held to 8 A."""
    return {
        "name": "tool",
        "nominal_voltage": "12 V",
        "no_load_speed": "240 rpm",
        "no_load_current": "0.4 A",
        "stall_current": "10 A",
        "terminal_resistance": "1.2 ohm",
        "drives": {"shape": "disc", "mass": mass, "radius": radius},
        "drive": {"ramp_up": "0.01 s", "current_limit": "8 A"},
    }


def mission(*actions: tuple[str, float]) -> dict[str, object]:
    return {"actions": [{"do": do, "seconds": seconds} for do, seconds in actions]}


def test_a_light_disc_comes_to_its_speed(judged):
    found = judged(pack=PACK, motor=motor(), mission=mission(("start", 3), ("hold", 5)))
    assert found["run_up_tool"].status is Status.OK
    assert found["run_up_tool"].value == pytest.approx(100, abs=5)


def test_a_heavy_drum_never_does_and_is_told(judged):
    """500 kg m2 under less than 4 N m gain less than 0.07 rad/s in 8 s, of some 25 rad/s."""
    heavy = motor(mass="1000 kg", radius="1 m")
    found = judged(pack=PACK, motor=heavy, mission=mission(("start", 3), ("hold", 5)))
    verdict = found["run_up_tool"]
    assert verdict.status is Status.CAUTION
    assert verdict.value < 1.0
    assert "'hold'" in verdict.reason
    assert "inertia" in verdict.fix


def test_what_is_taken_as_settled_after_half_a_minute_is_told_too(judged):
    heavy = motor(mass="1000 kg", radius="1 m")
    found = judged(pack=PACK, motor=heavy, mission=mission(("start", 600)))
    assert found["run_up_tool"].status is Status.CAUTION
    assert "after 30" in found["run_up_tool"].reason


def test_a_start_cut_short_is_judged_where_its_run_up_ends(judged):
    """The hold after it drives on; a brake after it does not."""
    goes_on = judged(pack=PACK, motor=motor(), mission=mission(("start", 0.02), ("hold", 5)))
    assert goes_on["run_up_tool"].status is Status.OK
    cut = judged(pack=PACK, motor=motor(), mission=mission(("start", 0.02), ("brake", 5)))
    assert cut["run_up_tool"].status is Status.CAUTION
    assert "'start'" in cut["run_up_tool"].reason


def test_no_action_that_runs_up_gets_no_verdict(judged):
    found = judged(pack=PACK, motor=motor(), mission=mission(("stall", 1), ("rest", 5)))
    assert "run_up_tool" not in found
