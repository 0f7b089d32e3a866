"""A motor and a switch named by their row of a table need no figures of their own."""

from __future__ import annotations

import math

import pytest

from packdesign.data.motors import find_motor
from packdesign.foundation.errors import BriefError
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.needs.motors import known_motors
from packdesign.planning.needs.parts import switch_of

GEARED = "37D 12 V 30:1"


def test_a_motor_named_by_its_part_has_the_figures_of_its_sheet():
    (motor,) = brief_from_mapping({"motor": {"part": GEARED}}).all_motors
    sheet = find_motor(GEARED)
    assert (motor.kind, motor.gear_ratio) == ("brushed", sheet.gear_ratio)
    assert (motor.nominal_v, motor.stall_current_a) == (12.0, 5.5)
    assert motor.no_load_speed_rad_per_s == pytest.approx((sheet.no_load_rpm or 0) * math.tau / 60)
    assert motor.stall_torque_nm == sheet.stall_torque_nm


def test_what_the_brief_says_goes_before_the_sheet():
    brief = brief_from_mapping(
        {"motor": {"part": GEARED, "stall_current": "4.9 A", "gear_ratio": 29.0}}
    )
    (motor,) = brief.all_motors
    assert (motor.stall_current_a, motor.gear_ratio) == (4.9, 29.0)
    assert motor.no_load_current_a == 0.2


def test_the_part_makes_the_same_motor_as_its_figures_written_out():
    by_part = known_motors(brief_from_mapping({"motor": {"part": GEARED}}))["motor"]
    sheet = find_motor(GEARED)
    written = {
        "nominal_voltage": "12 V",
        "no_load_speed": f"{sheet.no_load_rpm} rpm",
        "no_load_current": f"{sheet.no_load_a} A",
        "stall_current": f"{sheet.stall_a} A",
        "stall_torque": f"{sheet.stall_torque_nm} N*m",
        "gear_ratio": sheet.gear_ratio,
        "kind": "brushed",
    }
    by_hand = known_motors(brief_from_mapping({"motor": written}))["motor"]
    assert by_part.typical().resistance_ohm == pytest.approx(by_hand.typical().resistance_ohm)


def test_a_part_that_no_table_has_is_refused_with_the_nearest():
    with pytest.raises(BriefError, match=r"no motor named '37D 12 V 31:1'; nearest: 37D 12 V"):
        brief_from_mapping({"motor": {"part": "37D 12 V 31:1"}})


def test_a_switch_named_by_its_part_is_rated_as_its_sheet_says():
    pack = {"switch": {"name": "SRD-12VDC-SL-C", "kind": "relay"}}
    switch = switch_of(brief_from_mapping({"pack": pack}).pack)
    assert switch is not None
    assert (switch.rating_a, switch.rated_v, switch.resistance_ohm) == (7.0, 28.0, 0.1)


def test_a_transistor_is_rated_without_sign_and_its_resistance_stays_unknown():
    pack = {"switch": {"name": "AO3401A", "kind": "transistor", "rating": "3 A"}}
    switch = switch_of(brief_from_mapping({"pack": pack}).pack)
    assert switch is not None
    assert (switch.rating_a, switch.rated_v, switch.resistance_ohm) == (3.0, 30.0, None)


def test_a_switch_that_no_table_has_is_as_well_known_as_the_brief_tells():
    pack = {"switch": {"name": "rocker", "rating": "20 A"}}
    switch = switch_of(brief_from_mapping({"pack": pack}).pack)
    assert switch is not None
    assert (switch.rating_a, switch.rated_v) == (20.0, None)
