"""Verdicts on motors: the hand, the winding, a held shaft, braking, what is known of them."""

from __future__ import annotations

import math

import pytest

from packdesign.foundation.basis import Basis
from packdesign.planning.verdicts.verdict import Status

PACK = {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1}
# 12 V over 1.2 ohm is 10 A stalled; 240 rpm behind no gear
MOTOR = {
    "name": "tool",
    "nominal_voltage": "12 V",
    "no_load_speed": "240 rpm",
    "no_load_current": "0.4 A",
    "stall_current": "10 A",
    "terminal_resistance": "1.2 ohm",
    "drives": {"shape": "disc", "mass": "1 kg", "radius": "100 mm"},
    "load": {"torque": "1 N*m"},
}
DRIVE = {"ramp_up": "0.5 s", "current_limit": "8 A", "stall_timeout": "0.5 s"}
MISSION = {"actions": [{"do": "start", "seconds": 3}, {"do": "hold", "seconds": 5}]}


def motor(drive: dict[str, object] | None = None, **changes: object) -> dict[str, object]:
    return {**MOTOR, "drive": {**DRIVE, **(drive or {})}, **changes}


def test_the_hand_is_held_to_its_limit_and_told_a_ramp(judged):
    tight = judged(pack=PACK, motor=motor({"reaction_torque_limit": "1.2 N*m"}), mission=MISSION)[
        "reaction_torque_tool"
    ]
    assert tight.status is Status.STOP
    assert tight.value > 1.2
    # J w / (limit - load) with J = 0.005 kg m2 and a rotor of usual inertia; never below that of
    # the disc alone at the speed where it runs, some 15 rad/s
    ramp_s = float(tight.fix.split("over ")[1].split(" s")[0])
    assert ramp_s > 0.005 * 12 / 0.2
    loose = judged(pack=PACK, motor=motor({"reaction_torque_limit": "20 N*m"}), mission=MISSION)
    assert loose["reaction_torque_tool"].status is Status.OK
    assert loose["jam_torque_tool"].status is Status.OK


def test_work_beyond_the_limit_has_no_ramp(judged):
    found = judged(pack=PACK, motor=motor({"reaction_torque_limit": "0.9 N*m"}), mission=MISSION)
    assert "no ramp helps" in found["reaction_torque_tool"].fix


def test_a_jam_twists_with_the_current_limit(judged):
    found = judged(pack=PACK, motor=motor({"reaction_torque_limit": "2 N*m"}), mission=MISSION)
    jam = found["jam_torque_tool"]
    # Kt = (12 - 0.4 x 1.2) / (240 rpm) = 0.458 N m/A; 8 A less 0.4 A no load
    constant = (12 - 0.4 * 1.2) / (240 * math.pi / 30)
    assert jam.value == pytest.approx(constant * (8 - 0.4), rel=0.06)
    assert jam.status is Status.CAUTION
    allowed_a = float(jam.fix.split("limit to ")[1].split(" A")[0])
    assert allowed_a == pytest.approx(2 / constant + 0.4, rel=0.06)


def test_the_winding_against_rating_peak_and_heat(judged):
    found = judged(
        pack=PACK,
        motor=motor(
            rated_current="1 A",
            max_current="20 A",
            max_winding_temperature="100 degC",
            winding_to_housing="1 K/W",
            housing_to_air="3 K/W",
        ),
        mission=MISSION,
    )
    steady = found["motor_current_tool"]
    # 1 N m over the torque constant, and the no-load current on top
    constant = (12 - 0.4 * 1.2) / (240 * math.pi / 30)
    assert steady.value == pytest.approx(1 / constant + 0.4, rel=0.05)
    assert steady.status is Status.CAUTION
    assert found["motor_peak_tool"].status is Status.OK
    # copper loss at 25 degC air: 4 K/W x I2 R (1 + 0.00393 (T - 25))
    heat_k = 4 * steady.value**2 * 1.2
    settled = 25 + heat_k / (1 - 0.00393 * heat_k)
    assert found["motor_winding_tool"].value == pytest.approx(settled, rel=0.01)


@pytest.mark.parametrize(("torque", "status"), [("0.8 N*m", "caution"), ("1.3 N*m", "ok")])
def test_a_rated_torque_stands_in_for_a_rated_current(judged, torque, status):
    """Work takes 1 N m; the rating is the current that holds the rated torque."""
    told = judged(pack=PACK, motor=motor(rated_torque=torque), mission=MISSION)[
        "motor_current_tool"
    ]
    constant = (12 - 0.4 * 1.2) / (240 * math.pi / 30)
    rated_nm = float(torque.split()[0])
    assert told.limit == pytest.approx(rated_nm / constant + 0.4, rel=0.06)
    assert told.status == status
    assert "rated torque" in told.reason
    both = judged(
        pack=PACK, motor=motor(rated_torque=torque, rated_current="1 A"), mission=MISSION
    )["motor_current_tool"]
    assert both.limit == 1.0


def test_a_motor_that_overheats_is_told_its_share_of_the_time(judged):
    warm = {"winding_to_housing": "2 K/W", "housing_to_air": "8 K/W"}
    found = judged(
        pack=PACK,
        motor=motor(rated_current="1 A", max_winding_temperature="100 degC", **warm),
        surroundings={"ambient": "25 degC", "ambient_max": "35 degC"},
        mission=MISSION,
    )
    steady_a = found["motor_current_tool"].value

    def share(name: str) -> float:
        return float(found[name].fix.split(" % of")[0].split()[-1]) / 100

    # as much heat as the rating for good, rounded down
    assert share("motor_current_tool") == pytest.approx(1 / steady_a**2, abs=0.01)
    # 65 K above the hottest day, at the resistance of a winding of 100 degC
    hot_k = 10 * steady_a**2 * 1.2 * (1 + 0.00393 * 75)
    assert share("motor_winding_tool") == pytest.approx(65 / hot_k, abs=0.01)


def test_what_is_known_of_a_motor_is_said(judged):
    sheet = judged(pack=PACK, motor=motor(), mission=MISSION)["motor_known_tool"]
    assert sheet.status is Status.OK
    assert sheet.basis is Basis.DATASHEET
    bare = judged(pack=PACK, motor={"name": "tool", "nominal_voltage": "12 V"})
    assert bare["motor_known_tool"].status is Status.CAUTION
    assert "fixed" in bare["motor_known_tool"].fix or "hold" in bare["motor_known_tool"].fix
    assert bare["assumed_inertia_of_tool"].basis is Basis.ASSUMED


def test_a_motor_without_a_voltage_is_assumed_and_named(judged):
    found = judged(pack=PACK, motor={"stall_current": "5 A"})
    assert "10.8 V" in found["assumed_voltage_of_motor"].reason
    assert found["assumed_voltage_of_motor"].status is Status.CAUTION


def test_a_held_shaft_is_voltage_over_resistance_or_the_limit(judged):
    limited = judged(pack=PACK, motor=motor({"current_limit": "4 A"}), mission=MISSION)[
        "stall_current"
    ]
    assert limited.status is Status.OK
    assert "4 A (the driver's limit" in limited.reason
    assert "for 0.5 s" in limited.reason
    # 4 A through 1.2 ohm at 120 degC, 1.65 ohm, are 26 W: 2.6 A near empty, where a cold winding
    # on the full pack would be 1.6 A
    assert limited.value == pytest.approx(2.6, abs=0.15)
    assert "hot, on the cold, near-empty pack" in limited.reason
    free = judged(pack=PACK, motor={**MOTOR, "drive": {"ramp_up": "0.5 s"}}, mission=MISSION)
    open_ended = free["stall_current"]
    assert open_ended.status is Status.CAUTION
    assert "nothing to end it" in open_ended.reason
    assert "stall timeout" in open_ended.fix
    # 12.6 V over the hungriest motor and the pack: below 12.6 / 1.2, above 8 A
    assert 8.0 < open_ended.value < 12.6 / 1.2 * 1.1


def test_shafts_are_held_together(judged):
    """Two motors of a device that is stuck take what one section of two such motors takes."""
    free = {**MOTOR, "drive": {"ramp_up": "0.5 s"}}
    twice = [{**free, "name": "left"}, {**free, "name": "right"}]
    two = judged(pack=PACK, motors=twice, mission=MISSION)["stall_current"]
    counted = judged(pack=PACK, motor={**free, "count": 2}, mission=MISSION)["stall_current"]
    assert two.value == pytest.approx(counted.value, rel=1e-6)
    assert "the shafts of left and right at once" in two.reason


def test_a_planned_stall_beyond_the_cell_stops(judged):
    heavy = {**MOTOR, "stall_current": "60 A", "terminal_resistance": "0.2 ohm"}
    mission = {"actions": [{"do": "start", "seconds": 3}, {"do": "stall", "seconds": 20}]}
    planned = judged(pack=PACK, motor=heavy, mission=mission)["stall_current"]
    assert planned.status is Status.STOP
    assert planned.value > 20.0
    by_chance = judged(pack=PACK, motor=heavy, mission=MISSION)["stall_current"]
    assert by_chance.status is Status.CAUTION


def test_the_fuse_on_a_held_shaft_is_timed(judged):
    pack = {**PACK, "fuse": {"part": "ATO 5 A"}}
    found = judged(pack=pack, motor={**MOTOR, "drive": {}}, mission=MISSION)["stall_current"]
    # gates of the ATO series at 200 %: 0.15 s to 5 s
    assert "The ATO 257/287 5 A fuse blows in 0.1" in found.reason
    assert "nothing but fuse and board to end it" in found.reason


GIVING = {"regenerates": True, "ramp_down": "0.05 s", "bus_capacitor": "470 uF"}


def test_braking_is_judged_only_where_it_gives_back(judged):
    plain = judged(pack=PACK, motor=motor({"bus_capacitor": "470 uF"}), mission=MISSION)
    assert not any(name.startswith("regen") for name in plain)


def test_braking_with_the_board_open_names_a_clamp_or_a_limit(judged):
    found = judged(
        pack=PACK,
        motor=motor({**GIVING, "max_voltage": "18 V"}, load={"torque": "0.05 N*m"}),
        mission=MISSION,
        surroundings={"ambient_min": "-5 degC"},
    )
    assert found["regen_connected_tool"].status is Status.OK
    assert found["regen_full_tool"].value >= found["regen_connected_tool"].value
    blocked = found["regen_board_open_tool"]
    assert blocked.status is Status.STOP
    # all the energy of the disc cannot go anywhere but into 470 uF
    assert blocked.value > 18.0
    assert "clamp of" in blocked.fix
    assert found["regen_cold"].status is Status.STOP
    assert found["regen_charge_current_tool"].limit == 4.0


def test_a_clamp_counts_with_a_doubt_and_no_capacitor_stops(judged):
    drive = {**GIVING, "max_voltage": "18 V", "clamp": "16 V"}
    held = judged(pack=PACK, motor=motor(drive, load={"torque": "0.05 N*m"}), mission=MISSION)
    assert held["regen_board_open_tool"].status is Status.CAUTION
    assert held["regen_board_open_tool"].value == 16.0
    drive = {"regenerates": True, "ramp_down": "0.05 s", "max_voltage": "18 V"}
    silent = judged(pack=PACK, motor=motor(drive), mission=MISSION)["regen_board_open_tool"]
    assert silent.status is Status.UNKNOWN
    none = judged(pack=PACK, motor=motor({**drive, "bus_capacitor": "0 uF"}), mission=MISSION)
    assert none["regen_board_open_tool"].status is Status.STOP
    assert "no capacitor" in none["regen_board_open_tool"].reason


def test_a_pack_that_collapses_in_the_first_instant_is_told_in_words(judged):
    wild = {"nominal_voltage": "12 V", "stall_current": "900 A", "no_load_speed": "20000 rpm"}
    found = judged(pack=PACK, motor=wild, loads=[{"name": "lamp", "watts": 60}])
    assert found["mission_possible"].status is Status.CAUTION
    assert "unlucky cell and motor: 'on': the pack cannot" in found["mission_possible"].reason
    assert found["burst_current"].status is Status.STOP


def test_a_load_beyond_the_motor_stops(judged):
    found = judged(pack=PACK, motor=motor(load={"torque": "50 N*m"}), mission=MISSION)
    stood = found["mission_possible"]
    assert stood.status is Status.STOP
    assert stood.value > stood.limit, "the time is not what fails, and the reason says so"
    assert "the whole run of" in stood.reason
    assert "is held against one use" in stood.reason


@pytest.mark.parametrize(
    ("frequency", "inductance", "decay", "status"),
    [
        ("20 kHz", "400 uH", "slow", Status.OK),
        ("1 kHz", "400 uH", "slow", Status.CAUTION),
        ("2 kHz", "400 uH", "slow", Status.OK),
        ("2 kHz", "400 uH", "fast", Status.CAUTION),
        ("20 kHz", None, "slow", Status.UNKNOWN),
    ],
)
def test_a_current_that_breaks_off_between_pulses_is_a_caution(
    judged, frequency, inductance, decay, status
):
    drive = {"pwm_frequency": frequency, "decay": decay}
    given = {} if inductance is None else {"inductance": inductance}
    found = judged(pack=PACK, motor=motor(drive, **given), mission=MISSION)["pwm_ripple_tool"]
    # 12.6 V x 1/4 / (f L) against twice some 2.7 A: 0.39 A at 20 kHz, 7.9 A at 1 kHz
    if inductance is None:
        assert (found.status, found.value) == (status, None)
        assert "inductance" in found.fix
        return
    swing = 12.6 / 4 / (float(frequency.split()[0]) * 1000 * 400e-6)
    assert found.value == pytest.approx(swing * (2 if decay == "fast" else 1))
    assert found.status is status


def test_without_a_frequency_nothing_is_said_of_it(judged):
    assert "pwm_ripple_tool" not in judged(pack=PACK, motor=motor(), mission=MISSION)


def test_a_hot_motor_is_held_to_what_it_must_break_away(judged):
    def hot(degc: str | None, torque: str, drive: dict[str, object] | None = None, **load: object):
        given = {} if degc is None else {"winding_temperature": degc}
        section = motor({"current_limit": "100 A", **(drive or {})}, **given)
        section["load"] = {"torque": torque, **load}
        return judged(pack=PACK, motor=section, mission=MISSION).get("hot_torque_tool")

    cold, warm = hot("25 degC", "1 N*m"), hot("125 degC", "1 N*m")
    assert (cold.status, warm.status) == (Status.OK, Status.OK)
    # copper 1.393 times at 100 K more, a ferrite magnet 0.8: some 3.8 N m cold become 2.2 hot
    assert 0.5 < warm.value / cold.value < 0.65
    between = f"{(cold.value + warm.value) / 2:.2f} N*m"
    assert hot("25 degC", "1 N*m", breakaway_torque=between).status is Status.OK
    assert hot("125 degC", "1 N*m", breakaway_torque=between).status is Status.CAUTION
    # where the driver's limit sets the current, only the magnet counts
    limited = {"current_limit": "4 A"}
    ratio = hot("125 degC", "1 N*m", limited).value / hot("25 degC", "1 N*m", limited).value
    assert ratio == pytest.approx(0.8, abs=0.01)
    assert hot(None, "1 N*m") is None
    assert hot("125 degC", "0 N*m") is None


@pytest.mark.parametrize(
    ("wish", "held_s", "said"),
    [
        ({"run_time": "25 min"}, 1500.0, ""),
        ({"uses": 40}, 400.0, ""),
        ({"run_time": "25 min", "uses": 40}, 1500.0, "so the run time holds"),
        ({"run_time": "25 min", "uses": 1000}, 10000.0, "so the uses hold"),
    ],
)
def test_of_a_run_time_and_uses_the_longer_counts_and_is_told(judged, wish, held_s, said):
    """A use is 10 s."""
    mission = {"actions": [{"do": "hold", "seconds": 4}, {"do": "rest", "seconds": 6}], **wish}
    found = judged(
        pack={"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1},
        motor={"nominal_voltage": "12 V", "no_load_speed": "200 rpm", "stall_current": "10 A",
               "load": {"torque": "0.2 N*m"}},
        mission=mission,
    )["run_time"]  # fmt: skip
    assert found.limit == pytest.approx(held_s)
    assert (said in found.note) if said else not found.note
