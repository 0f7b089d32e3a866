"""Balancing, drift and the balance connector."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.engineering.charging.balance_connector import (
    balance_lead_charge_limit,
    balance_pins,
    split_charge_hours_lost,
)
from packdesign.engineering.charging.balancing import (
    Bleed,
    balance_hours,
    bleed_current,
    bleed_current_two_resistors,
    simulated_balance_hours,
)
from packdesign.engineering.charging.drift import DriftCase, OpenCircuitCurve, simulate_drift
from packdesign.engineering.charging.mismatch import (
    BalanceEnd,
    balance_at,
    false_gap,
    gap_from_voltage,
)
from packdesign.foundation.errors import OutOfRangeError

CURVE = OpenCircuitCurve(
    soc=np.array([0.0, 0.1, 0.5, 0.9, 1.0]), voltage_v=np.array([2.8, 3.4, 3.7, 4.08, 4.20])
)


def leaking_string(**changes: object) -> DriftCase:
    facts = {
        "capacity_ah": (2.5, 2.5, 2.5),
        "behind_ah": (0.0, 0.0, 0.0),
        "leak_a": (0.0, 0.0, 0.0002),
        "cycle_h": 24.0,
        "used_ah": 1.8,
        "full_v": 4.2,
    }
    return DriftCase(**{**facts, **changes})


@given(
    behind=st.lists(st.floats(0.0, 0.2), min_size=2, max_size=5),
    current=st.floats(0.03, 0.2),
    duty=st.floats(0.3, 1.0),
)
def test_stepping_agrees_with_arithmetic_within_tolerance(behind, current, duty):
    bleed = Bleed(current_a=current, duty_fraction=duty)
    gap = max(behind) - min(behind)
    arithmetic = balance_hours(gap_ah=gap, bleed=bleed)
    stepped = simulated_balance_hours(behind, bleed=bleed, tolerance_ah=0.001, step_s=10.0)
    slack = 0.001 / bleed.mean_a + 20.0 / 3600
    assert abs(stepped - arithmetic) <= slack


def test_neighbours_that_take_turns_need_twice_as_long():
    bleed = Bleed(current_a=0.06, neighbours_take_turns=True)
    stepped = simulated_balance_hours([0.0, 0.0, 0.12], bleed=bleed)
    assert stepped == pytest.approx(4.0, rel=0.02)
    assert balance_hours(gap_ah=0.12, bleed=bleed) == pytest.approx(4.0)


def test_unequal_resistance_deceives_less_as_the_current_falls():
    at_full = false_gap(current_a=2.5, resistance_spread_ohm=0.004, slope_v_per_ah=0.4)
    at_end = false_gap(current_a=0.125, resistance_spread_ohm=0.004, slope_v_per_ah=0.4)
    assert at_end == pytest.approx(at_full / 20)


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: Bleed(current_a=0.0), "above 0 A"),
        (lambda: Bleed(current_a=0.1, duty_fraction=1.2), "duty"),
        (lambda: bleed_current(cell_v=4.2, path_ohm=0.0), "above 0 ohm"),
        (lambda: balance_hours(gap_ah=-0.1, bleed=Bleed(current_a=0.1)), "0 Ah or more"),
        (lambda: gap_from_voltage(voltage_spread_v=0.1, slope_v_per_ah=0.0), "slope"),
        (lambda: balance_at([], end=BalanceEnd.TOP), "capacity above 0"),
        (lambda: balance_pins(series=0, full_v_per_cell=4.2), "at least 1"),
        (lambda: leaking_string(leak_a=(0.0,)), "for each group"),
        (lambda: leaking_string(cycle_h=0.0), "above 0"),
        (
            lambda: OpenCircuitCurve(soc=np.array([0.0, 0.0]), voltage_v=np.array([3.0, 4.0])),
            "must rise",
        ),
        (
            lambda: OpenCircuitCurve(soc=np.array([0.0]), voltage_v=np.array([3.0])),
            "at least 2",
        ),
    ],
)
def test_what_makes_no_sense_is_refused(call, match):
    with pytest.raises(OutOfRangeError, match=match):
        call()


def test_two_resistor_path_counts_both_resistors():
    one = bleed_current(cell_v=4.0, path_ohm=80.0)
    assert bleed_current_two_resistors(
        cell_v=4.0, resistor_ohm=35.0, switch_ohm=10.0
    ) == pytest.approx(one)


def test_top_and_bottom_balance_give_the_same_charge_but_another_danger():
    top = balance_at([2.5, 2.3, 2.5], end=BalanceEnd.TOP)
    bottom = balance_at([2.5, 2.3, 2.5], end=BalanceEnd.BOTTOM)
    assert top.usable_ah == bottom.usable_ah == 2.3
    assert top.weakest_index == 1
    assert "low voltage of group 2" in top.watch
    assert "high voltage of group 2" in bottom.watch
    assert top.spread_at_other_end_fraction == pytest.approx(0.08)


def test_a_leaking_group_drifts_by_its_leak_each_cycle_without_balancing():
    history = simulate_drift(leaking_string(), curve=CURVE, cycles=50)
    per_cycle_ah = 0.0002 * 24.0
    assert history.spread_ah[-1] == pytest.approx(49 * per_cycle_ah, rel=1e-6)
    assert history.highest_v > 4.2 + 0.03
    assert np.all(np.diff(history.spread_ah) > 0)


def test_balancing_holds_the_gap_and_the_voltage():
    history = simulate_drift(leaking_string(), curve=CURVE, cycles=50, bleed=Bleed(current_a=0.06))
    assert np.max(history.spread_ah) < 1e-6
    assert history.highest_v == pytest.approx(4.2, abs=1e-3)
    assert history.balance_h[-1] == pytest.approx(0.0048 / 0.06, rel=0.05)


def test_a_board_that_cuts_per_group_limits_the_voltage_and_costs_capacity():
    leak_a = (0.0, 0.0, 0.001)
    free = simulate_drift(leaking_string(leak_a=leak_a), curve=CURVE, cycles=50)
    cut = simulate_drift(leaking_string(leak_a=leak_a, group_cut_v=4.25), curve=CURVE, cycles=50)
    assert cut.highest_v == pytest.approx(4.25, abs=1e-6)
    assert free.highest_v > cut.highest_v
    assert cut.delivered_ah[-1] < cut.delivered_ah[0]


def test_pins_are_one_more_than_groups_and_rise_evenly():
    pins = balance_pins(series=4, full_v_per_cell=3.65)
    assert [pin.number for pin in pins] == [1, 2, 3, 4, 5]
    assert pins[0].wire_colour == "black"
    assert pins[-1].wire_colour == "red"
    assert np.allclose(np.diff([pin.full_v for pin in pins]), 3.65)


def test_balance_lead_carries_what_its_contacts_carry():
    assert balance_lead_charge_limit(charge_a=2.0) == 2.0
    assert balance_lead_charge_limit(charge_a=9.0) == 3.0
    assert split_charge_hours_lost(
        capacity_ah=3.0, wanted_charge_a=1.0, per_cell_charge_a=2.0
    ) == pytest.approx(0.0)
