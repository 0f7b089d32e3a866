"""CC-CV in closed form."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.engineering.charging.closed_form import (
    StraightCell,
    charge_straight_cell,
    constant_voltage_tail,
)
from packdesign.foundation.errors import OutOfRangeError


@given(
    resistance=st.floats(0.005, 0.2),
    crate=st.floats(0.1, 2.0),
    start=st.floats(0.0, 0.9),
)
def test_charge_is_what_the_end_current_leaves(resistance, crate, start):
    cell = StraightCell(capacity_ah=2.5, empty_v=3.2, full_v=4.2, resistance_ohm=resistance)
    end_a = 0.05
    charge = charge_straight_cell(cell, charge_a=2.5 * crate, end_a=end_a, start_soc=start)
    missing = 2.5 * (1 - start) - end_a * resistance / cell.slope_v_per_ah
    assert charge.charged_ah == pytest.approx(missing, rel=1e-6, abs=1e-6)


def test_without_resistance_there_is_no_tail():
    cell = StraightCell(capacity_ah=2.0, empty_v=3.0, full_v=4.0, resistance_ohm=0.0)
    charge = charge_straight_cell(cell, charge_a=1.0, end_a=0.1)
    assert (charge.cc_time_h, charge.cv_time_h) == (2.0, 0.0)


def test_more_resistance_moves_charge_into_the_tail():
    low, high = (
        charge_straight_cell(
            StraightCell(capacity_ah=2.5, empty_v=3.2, full_v=4.2, resistance_ohm=ohm),
            charge_a=2.5,
            end_a=0.125,
        )
        for ohm in (0.02, 0.08)
    )
    assert high.cc_time_h < low.cc_time_h
    assert high.cv_time_h > low.cv_time_h
    assert high.time_h > low.time_h


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: constant_voltage_tail(start_a=0.1, end_a=0.2, rate_per_h=5.0), "start current"),
        (lambda: constant_voltage_tail(start_a=0.5, end_a=0.1, rate_per_h=0.0), "rate"),
        (
            lambda: StraightCell(capacity_ah=0.0, empty_v=3.0, full_v=4.2, resistance_ohm=0.1),
            "straight cell",
        ),
        (
            lambda: charge_straight_cell(
                StraightCell(capacity_ah=2.0, empty_v=3.0, full_v=4.0, resistance_ohm=0.1),
                charge_a=0.0,
                end_a=0.1,
            ),
            "charge current",
        ),
    ],
)
def test_what_makes_no_sense_is_refused(call, match):
    with pytest.raises(OutOfRangeError, match=match):
        call()
