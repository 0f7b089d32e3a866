"""Regulators, loads and the tree that refers them to the battery."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.engineering.demand.hold_up import hold_up, hold_up_s
from packdesign.engineering.demand.loads import (
    BATTERY,
    RailLoad,
    light_strip,
    light_watts,
    pixel_lights,
    radio,
)
from packdesign.engineering.demand.rail_tree import Rail, RailTree
from packdesign.engineering.demand.rails import Draw, Regulator, RegulatorKind
from packdesign.foundation.errors import OutOfRangeError, UnknownNameError

BUCK = Regulator(
    name="5 V", kind=RegulatorKind.BUCK, output_v=5, dropout_v=1.2, lowest_input_v=6.5,
    highest_input_v=28, efficiency_points=((0.1, 0.8), (1.0, 0.9)), quiescent_a=0.002,
)  # fmt: skip
LDO = Regulator(
    name="3.3 V", kind=RegulatorKind.LINEAR, output_v=3.3, dropout_v=1.1, quiescent_a=0.005
)
BOOST = Regulator(
    name="12 V", kind=RegulatorKind.BOOST, output_v=12, lowest_input_v=3.0,
    efficiency_points=((0.2, 0.85),),
)  # fmt: skip
TREE = RailTree(
    rails=(Rail(name="5 V", regulator=BUCK), Rail(name="3.3 V", regulator=LDO, fed_by="5 V")),
    loads=(
        light_watts(name="lamp", power_w=2.5, rail="5 V", on_fraction=0.6),
        RailLoad(
            name="logic", rail="3.3 V", mean=Draw(current_a=0.1), peak=Draw(current_a=0.2)
        ),
        RailLoad(
            name="fan", rail=BATTERY, mean=Draw(current_a=0.1), peak=Draw(current_a=0.1),
            lowest_v=7.0,
        ),
    ),
)  # fmt: skip


def test_a_chain_of_rails_comes_down_to_the_battery() -> None:
    """3.3 V: 0.105 A from 5 V; with 1.5 W of lamp 0.405 A out of the buck."""
    draw = TREE.draw(battery_v=11.1)
    output_a = 0.105 + 1.5 / 5
    efficiency = BUCK.efficiency_fraction(output_a=output_a)
    assert draw.power_w == pytest.approx(5 * output_a / efficiency)
    assert draw.current_a == pytest.approx(0.1 + 0.002)
    assert draw.at_a(voltage_v=9.0) > draw.at_a(voltage_v=12.0)


def test_loads_can_be_off_and_peaks_are_all_at_once() -> None:
    off = TREE.draw(battery_v=11.1, off=("lamp", "logic", "fan"))
    assert off.current_a == pytest.approx(0.002)
    assert TREE.draw(battery_v=11.1, peak=True).power_w > TREE.draw(battery_v=11.1).power_w


def test_the_window_names_who_sets_it() -> None:
    window = TREE.window()
    assert (window.lowest_v, window.lowest_device) == (7.0, "fan")
    assert (window.highest_v, window.highest_device) == (28, "5 V")
    assert RailTree().window().lowest_v == 0


def test_a_boost_works_between_its_minimum_and_its_output() -> None:
    assert (BOOST.needed_input_v, BOOST.allowed_input_v) == (3.0, 12)
    assert BOOST.draw(output_a=0.2, input_v=4).at_a(voltage_v=4) == pytest.approx(2.4 / 0.85 / 4)
    with pytest.raises(OutOfRangeError, match="cannot lower its input"):
        BOOST.draw(output_a=0.1, input_v=12.6)


@given(output_a=st.floats(1e-4, 2.0), input_v=st.floats(6.5, 28))
def test_no_regulator_gives_more_than_it_takes(output_a: float, input_v: float) -> None:
    assert 0 < BUCK.efficiency_fraction(output_a=output_a) <= 0.9
    for regulator in (BUCK, LDO):
        taken = regulator.draw(output_a=output_a, input_v=input_v).at_a(voltage_v=input_v)
        assert taken * input_v > regulator.output_v * output_a


def test_light_load_keeps_the_fixed_loss() -> None:
    """Half of the loss at the lowest point remains at no load."""
    lost = 5 * 0.1 * (1 / 0.8 - 1)
    nearly = 5 * 1e-9 * (1 / BUCK.efficiency_fraction(output_a=1e-9) - 1)
    assert nearly == pytest.approx(lost / 2, rel=1e-6)


@pytest.mark.parametrize(
    ("output_a", "input_v", "message"),
    [
        (0.1, 6.0, r"6.00 V in, but 5 V out needs 6.50 V"),
        (0.1, 30.0, "at most 28.00 V allowed"),
        (-0.1, 12.0, "gives 0 A or more"),
    ],
)
def test_a_regulator_outside_its_sheet_is_refused(
    output_a: float, input_v: float, message: str
) -> None:
    with pytest.raises(OutOfRangeError, match=message):
        BUCK.draw(output_a=output_a, input_v=input_v)


def test_a_rail_fed_below_its_dropout_is_refused() -> None:
    near = Regulator(name="4.5 V", kind=RegulatorKind.LINEAR, output_v=4.5, dropout_v=1.1)
    low = Rail(name="4.5 V", regulator=near, fed_by="5 V")
    with pytest.raises(OutOfRangeError, match=r"5.00 V in, but 4.5 V out needs 5.60 V"):
        RailTree(rails=(TREE.rails[0], low)).draw(battery_v=11.1)


@pytest.mark.parametrize(
    ("kind", "message"),
    [
        ({"efficiency_points": ((1.0, 1.1),)}, "at most 1"),
        ({"efficiency_points": ((1.0, 0.9), (0.5, 0.8))}, "must rise"),
        ({}, "needs its efficiency"),
        ({"output_v": 0.0}, "output_v is 0"),
    ],
)
def test_impossible_regulators_are_refused(kind: dict[str, object], message: str) -> None:
    with pytest.raises(OutOfRangeError, match=message):
        Regulator(**({"name": "x", "kind": RegulatorKind.BUCK, "output_v": 5.0} | kind))


def test_a_tree_must_hang_together() -> None:
    with pytest.raises(UnknownNameError, match="no rail named '5V'; nearest: 5 V"):
        RailTree(
            rails=(Rail(name="5 V", regulator=BUCK),),
            loads=(light_watts(name="lamp", power_w=1, rail="5V"),),
        )
    with pytest.raises(OutOfRangeError, match="circle"):
        RailTree(
            rails=(
                Rail(name="a", regulator=LDO, fed_by="b"),
                Rail(name="b", regulator=LDO, fed_by="a"),
            )
        )
    with pytest.raises(OutOfRangeError, match="different names"):
        RailTree(rails=(Rail(name="a", regulator=LDO), Rail(name="a", regulator=LDO)))


def test_lights_and_radios() -> None:
    ring = pixel_lights(name="ring", pixels=10, rail="5 V", typical_fraction=0, on_fraction=1)
    assert ring.mean.current_a == pytest.approx(0.01)
    strip = light_strip(name="s", power_w_per_m=10, length_m=0.3, rail="5 V", on_fraction=0.5)
    assert (strip.mean.power_w, strip.peak.power_w) == (1.5, 3.0)
    with pytest.raises(OutOfRangeError, match="typical_fraction is 30"):
        pixel_lights(name="ring", pixels=10, rail="5 V", typical_fraction=30)
    with pytest.raises(OutOfRangeError, match="fit in its period"):
        radio(name="r", rail="5 V", idle_a=0, burst_a=1, burst_s=2, period_s=1)
    with pytest.raises(OutOfRangeError, match="0 or more"):
        RailLoad(name="x", mean=Draw(current_a=-1), peak=Draw())


def test_hold_up_by_power_and_its_refusals() -> None:
    seconds = hold_up_s(capacitor_f=0.01, start_v=10, lowest_v=6, power_w=2)
    assert seconds == pytest.approx(0.01 * (100 - 36) / 4)
    assert "nothing to give" in hold_up(supply_v=7.2, lowest_v=7, dip_s=0.1, current_a=0.1).reason
    with pytest.raises(OutOfRangeError, match="starts above where it ends"):
        hold_up_s(capacitor_f=0.01, start_v=5, lowest_v=6, power_w=2)
    with pytest.raises(OutOfRangeError, match="not both"):
        hold_up_s(capacitor_f=0.01, start_v=10, lowest_v=6, power_w=2, current_a=1)
