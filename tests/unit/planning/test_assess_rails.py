"""Verdicts on rails: room, output, loads on them, and the capacitor that carries them through."""

from __future__ import annotations

import pytest

from packdesign.planning.verdicts.verdict import Status

PACK = {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1}
BUCK = {"name": "5 V", "kind": "buck", "dropout": "1.2 V", "max_output": "1 A"}


def on_rail(*loads: dict[str, object], rail: dict[str, object] = BUCK) -> dict[str, object]:
    return {"pack": PACK, "rails": [rail], "loads": [{"rail": "5 V", **each} for each in loads]}


@pytest.mark.parametrize(
    ("window", "status"),
    [
        ({"min_voltage": "3 V", "max_voltage": "3.6 V"}, Status.STOP),
        ({"min_voltage": "4.5 V", "max_voltage": "5.5 V"}, Status.OK),
        ({"min_voltage": "5.5 V"}, Status.STOP),
        ({"max_voltage": "6 V"}, Status.OK),
    ],
)
def test_a_load_is_held_to_the_voltage_of_its_rail(judged, window, status):
    found = judged(**on_rail({"name": "radio", "watts": 0.5, **window}))["load_voltage_radio"]
    assert found.status is status
    assert found.value == 5.0
    assert ("Feed radio" in found.fix) is (status is Status.STOP)


def test_a_load_without_a_window_is_not_judged(judged):
    found = judged(**on_rail({"name": "lamp", "watts": 0.5}))
    assert "load_voltage_lamp" not in found


def test_too_much_asked_of_a_regulator_is_a_verdict_not_an_error(judged):
    always = judged(**on_rail({"name": "pump", "amps": "1.5 A"}))["rail_current_5_v"]
    assert (always.status, always.value, always.limit) == (Status.STOP, 1.5, 1.0)
    bursts = judged(
        **on_rail(
            {"name": "radio", "watts": 1.0, "burst": "7.5 W", "burst_time": "10 ms",
             "burst_period": "1 s"}
        )
    )["rail_current_5_v"]  # fmt: skip
    assert bursts.status is Status.CAUTION
    assert "may reach 1.5 A" in bursts.reason


def test_a_rail_behind_a_rail_counts_on_both(judged):
    rails = [
        {**BUCK, "max_output": "0.4 A"},
        {"name": "3.3 V", "kind": "linear", "fed_by": "5 V", "dropout": "1.1 V"},
    ]
    loads = [{"name": "brain", "amps": "0.5 A", "rail": "3.3 V"}]
    found = judged(pack=PACK, rails=rails, loads=loads)
    # a linear regulator takes the current that it gives
    assert found["rail_current_5_v"].value == pytest.approx(0.5)
    assert found["rail_current_5_v"].status is Status.STOP
    assert found["rail_headroom_3_3_v"].value == 5.0
    assert found["rail_headroom_3_3_v"].limit == pytest.approx(4.4)


def test_the_second_tightest_rail_has_its_own_headroom(judged):
    rails = [BUCK, {"name": "9 V", "kind": "linear", "dropout": "0.6 V"}]
    loads = [
        {"name": "brain", "watts": 0.5, "rail": "5 V"},
        {"name": "amplifier", "amps": "50 mA", "rail": "9 V"},
    ]
    found = judged(pack=PACK, rails=rails, loads=loads)
    assert found["voltage_min_9_v"].limit == pytest.approx(9.6)
    assert "regulator of rail 9 V" in found["voltage_min_9_v"].reason
    assert found["rail_headroom_5_v"].limit == pytest.approx(6.2)
    assert "rail_headroom_9_v" not in found


def test_a_regulator_of_unknown_dropout_is_unknown(judged):
    rails = [{"name": "5 V", "kind": "buck"}, {"name": "9 V", "kind": "linear", "dropout": "0.6 V"}]
    loads = [{"name": "brain", "watts": 0.5, "rail": "5 V"}]
    found = judged(pack=PACK, rails=rails, loads=loads)["rail_headroom_5_v"]
    assert found.status is Status.UNKNOWN
    assert "dropout" in found.fix


MOTOR = {
    "name": "tool",
    "nominal_voltage": "12 V",
    "no_load_speed": "3000 rpm",
    "no_load_current": "1 A",
    "stall_current": "60 A",
    "drives": {"shape": "disc", "mass": "200 g", "radius": "40 mm"},
}
MISSION = {"actions": [{"do": "start", "seconds": 3}, {"do": "rest", "seconds": 30}]}


def held_up(capacitor: str, **motor: object) -> dict[str, object]:
    rail = {"name": "8 V", "kind": "linear", "dropout": "1 V", "holdup_capacitor": capacitor}
    return {
        "pack": PACK,
        "rails": [rail],
        "loads": [{"name": "brain", "amps": "50 mA", "rail": "8 V"}],
        "motor": {**MOTOR, **motor},
        "mission": MISSION,
    }


def test_a_capacitor_is_sized_for_the_dip_of_the_worst_start(judged):
    small = judged(**held_up("10 uF"))["hold_up_8_v"]
    assert small.status is Status.STOP
    assert small.limit > 10.0
    assert "Fit" in small.fix
    enough = judged(**held_up(f"{small.limit * 1.1:.0f} uF"))
    assert enough["hold_up_8_v"].status is Status.OK
    # carried through, the rail is judged by the run and not by the dip
    bare = judged(**held_up("10 uF"))
    assert bare["voltage_min_8_v"].value < enough["voltage_min_8_v"].value


def test_a_soft_start_needs_no_capacitor(judged):
    soft = judged(**held_up("10 uF", drive={"ramp_up": "2 s", "current_limit": "5 A"}))
    assert soft["hold_up_8_v"].status is Status.OK
    assert "not even needed" in soft["hold_up_8_v"].reason


def test_a_supply_without_room_cannot_be_carried(judged):
    brief = held_up("10000 uF")
    brief["rails"] = [{**brief["rails"][0], "name": "8 V", "dropout": "2.5 V"}]
    found = judged(**brief)["hold_up_8_v"]
    assert found.status is Status.STOP
    assert "no capacitor can do this" in found.reason
