"""What each motor takes, from the full pack and the cold empty one, and the ramp that passes."""

from __future__ import annotations

import pytest

from packdesign.planning.assess.loading import loading_of
from packdesign.planning.assess.service import design_of
from packdesign.planning.assess.start_report import StartReport, start_reports
from packdesign.planning.brief.examples import example_text
from packdesign.planning.brief.load import brief_from_text


def _reports(name: str, *changes: tuple[str, str]) -> tuple[StartReport, ...]:
    text = example_text(name)
    for written, instead in changes:
        assert written in text
        text = text.replace(written, instead, 1)
    brief = brief_from_text(text)
    design = design_of(brief)
    return start_reports(brief, design, loading_of(brief, design))


def test_the_corer_starts_runs_and_stalls() -> None:
    (report,) = _reports("soil_corer")
    assert (report.motor, report.count) == ("corer", 1)
    assert report.steady_motor_a is not None
    assert report.steady_motor_a < report.start_motor_a < 8.0
    assert report.stall_motor_a == pytest.approx(8.0), "the driver's limit"
    assert report.stall_is_limited
    assert report.stall_battery_a is not None
    assert report.stall_battery_a < report.stall_motor_a, "duty below 1 at the limit"
    assert report.lowest_rail_v is not None
    assert 6.5 < report.lowest_rail_v < 12.6
    assert 0 < report.lowest_rail_time_s < 3
    assert report.lowest_rail_when == "cold, near empty"
    assert report.needed_rail_v == 6.5
    assert report.passing is not None
    assert not report.passing_note


def test_without_its_limit_the_stall_is_volts_over_ohms() -> None:
    (report,) = _reports("soil_corer", ('current_limit = "8 A"', 'current_limit = "100 A"'))
    assert not report.stall_is_limited
    assert report.stall_motor_a is not None
    assert 12.6 / 1.5 < report.stall_motor_a < 12.6 / 1.2


def test_like_motors_share_one_report_and_double_the_battery_s_part() -> None:
    (two,) = _reports("rover")
    (one,) = _reports("rover", ("count = 2", "count = 1"))
    assert (two.count, one.count) == (2, 1)
    assert two.steady_battery_a is not None
    assert one.steady_battery_a is not None
    assert two.steady_battery_a > one.steady_battery_a
    assert two.steady_motor_a == pytest.approx(one.steady_motor_a, rel=0.05)


def test_a_limit_of_the_hand_asks_for_a_ramp() -> None:
    """At 1.25 N m the hand takes the cutting but not a start at once."""
    (report,) = _reports(
        "soil_corer",
        ('reaction_torque_limit = "4 N*m"', 'reaction_torque_limit = "1.25 N*m"'),
        ('current_limit = "8 A"', 'current_limit = "30 A"'),
    )
    assert report.passing is not None
    assert not report.passing.at_end
    assert report.passing.value > 0
    assert "hand" in report.passing.hinges_on
    assert report.passing.figure <= 1.25


def test_a_pack_far_too_weak_is_said_and_not_raised() -> None:
    (report,) = _reports(
        "soil_corer",
        ('cell = "Samsung SDI INR18650-25R"', 'cell = "Generic ICR10440"'),
        ("series = 3\nparallel = 1", "series = 1\nparallel = 1"),
    )
    assert report.passing is None
    assert report.passing_note
    assert report.ways == ()
    assert report.steady_is_stalled
    if report.lowest_rail_v is not None:
        assert report.lowest_rail_v < 4.2


FAN = (
    'kind = "constant"\ntorque = "0.9 N*m"\nbreakaway_torque = "1.3 N*m"',
    'kind = "square"\ntorque = "3 N*m"\nat_speed = "200 rpm"',
)
FREE = ('current_limit = "8 A"', 'current_limit = "30 A"')


def test_where_no_ramp_does_duty_and_cells_that_would_are_told() -> None:
    """A load that grows with speed sags the rail below 9.5 V however slowly it comes up."""
    strict = ('min_voltage = "6.5 V"\nmax', 'min_voltage = "9.5 V"\nmax')
    (report,) = _reports("soil_corer", strict, FREE, FAN)
    assert report.passing is None
    slower, wider = report.ways
    count = int(wider.split(" of these cells in parallel")[0].split(" ")[-1])
    assert count > 1
    duty = slower.split("duty of ")[1].split(" ")[0]
    (slow,) = _reports("soil_corer", strict, FREE, FAN, ("duty = 1.0", f"duty = {duty}"))
    (wide,) = _reports("soil_corer", strict, FREE, FAN, ("parallel = 1", f"parallel = {count}"))
    assert slow.passing is not None
    assert wide.passing is not None
    assert slow.ways == wide.ways == ()


def test_a_current_limit_too_low_to_turn_is_told() -> None:
    (report,) = _reports("soil_corer", ('current_limit = "8 A"', 'current_limit = "2 A"'))
    assert report.steady_is_stalled
    (way,) = report.ways
    least = way.split("must be ")[1].split(" A")[0]
    (raised,) = _reports("soil_corer", ('current_limit = "8 A"', f'current_limit = "{least} A"'))
    assert not raised.steady_is_stalled


def test_a_load_beyond_the_motor_gets_no_advice_on_cells() -> None:
    (report,) = _reports("soil_corer", FREE, ('"0.9 N*m"', '"4 N*m"'), ('"1.3 N*m"', '"4 N*m"'))
    assert report.steady_is_stalled
    assert report.ways == ()


def test_what_has_no_motor_has_no_start() -> None:
    brief = brief_from_text(
        '[pack]\ncell = "INR18650-30Q"\nseries = 1\n[cavity]\nshape = "open"\n'
        '[[loads]]\nname = "lamp"\nwatts = 3\n'
    )
    design = design_of(brief)
    assert start_reports(brief, design, loading_of(brief, design)) == ()
