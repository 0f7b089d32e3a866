"""Hold-up, bursts and arms against published examples, source beside each."""

from __future__ import annotations

import pytest

from packdesign.engineering.demand.hold_up import hold_up, hold_up_s
from packdesign.engineering.demand.loads import RailLoad
from packdesign.engineering.demand.rail_tree import RailTree
from packdesign.engineering.demand.rails import Draw, Regulator, RegulatorKind


def test_e7_hold_up_of_a_controller() -> None:
    """electronics.stackexchange question 146271 (mirror qastack.id): 45 ms."""
    seconds = hold_up_s(capacitor_f=0.001, start_v=11.5, lowest_v=7, current_a=0.1)
    assert seconds == pytest.approx(0.045, abs=5e-4)
    needed = hold_up(supply_v=11.5, lowest_v=7, dip_s=0.045, current_a=0.1, diode_v=0)
    assert needed.feasible
    assert needed.capacitor_f == pytest.approx(0.001)


def test_e8_no_capacitor_can_do_this() -> None:
    """forum.allaboutcircuits.com thread 148969: 6.38 V droop; 0.24 F for half a volt."""
    lasts_s = hold_up_s(capacitor_f=0.0188, start_v=10.0, lowest_v=10.0 - 6.38, current_a=0.12)
    assert lasts_s == pytest.approx(1.0, abs=0.001)
    answer = hold_up(supply_v=4.5, lowest_v=4.0, dip_s=1, current_a=0.12, diode_v=0)
    assert not answer.feasible
    assert answer.capacitor_f == pytest.approx(0.24)
    assert "no capacitor can do this" in answer.reason


def test_e9_small_hold_up() -> None:
    """diybanter.com thread 209669: 50 mA for 5 us within 0.1 V takes 2.5 uF."""
    answer = hold_up(supply_v=3.6, lowest_v=3.5, dip_s=5e-6, current_a=0.05, diode_v=0)
    assert answer.capacitor_f == pytest.approx(2.5e-6)


def test_e26_peak_of_a_servo_arm() -> None:
    """robotforge.org, power tutorial: six servos of 2.5 A and 0.5 A of logic: 15.5 A."""
    arm = RailLoad(name="arm", mean=Draw(current_a=1.0), peak=Draw(current_a=6 * 2.5))
    logic = RailLoad(name="logic", mean=Draw(current_a=0.5), peak=Draw(current_a=0.5))
    tree = RailTree(loads=(arm, logic))
    assert tree.draw(battery_v=6, peak=True).at_a(voltage_v=6) == pytest.approx(15.5)


def test_e2_logic_of_a_rover_on_its_bus() -> None:
    """manolobot battery notes: 3.8 A at 5 V is 19 W; 1.58 A (ideal) to 2 A on 12 V."""
    buck = Regulator(
        name="5 V", kind=RegulatorKind.BUCK, output_v=5, efficiency_points=((3.0, 0.8),)
    )
    draw = buck.draw(output_a=3.8, input_v=12)
    assert draw.power_w * 0.8 == pytest.approx(19)
    assert draw.at_a(voltage_v=12) == pytest.approx(2.0, abs=0.03)


def test_lm2596_sheet_point() -> None:
    """TI LM2596, 5 V version: 80 % at 12 V in, 3 A out, so 1.56 A in; input at least 7 V."""
    buck = Regulator(
        name="LM2596-5.0", kind=RegulatorKind.BUCK, output_v=5, lowest_input_v=7,
        efficiency_points=((3.0, 0.80),),
    )  # fmt: skip
    assert buck.draw(output_a=3, input_v=12).at_a(voltage_v=12) == pytest.approx(1.5625)
    assert buck.needed_input_v == 7


@pytest.mark.parametrize(
    ("name", "dropout_v", "output_v", "needed_v"),
    [
        ("MCP1700", 0.178, 2.8, 2.978),
        ("AMS1117", 1.1, 3.3, 4.4),
    ],  # their sheets, typical, full load
)
def test_linear_regulators_stop_at_their_dropout(
    name: str, dropout_v: float, output_v: float, needed_v: float
) -> None:
    linear = Regulator(name=name, kind=RegulatorKind.LINEAR, output_v=output_v, dropout_v=dropout_v)
    assert linear.needed_input_v == pytest.approx(needed_v)
