from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.engineering.electrical.conductors import (
    conductor_metal,
    settled_conductor_degc,
    strip_ohm,
    wire_area_m2,
    wire_ohm,
)
from packdesign.foundation.errors import OutOfRangeError, UnknownNameError


def test_three_gauges_thicker_is_close_to_twice_the_copper():
    for awg in range(0, 38):
        assert wire_area_m2(awg=awg) / wire_area_m2(awg=awg + 3) == pytest.approx(2.0, rel=0.005)


@pytest.mark.parametrize("awg", [-4, 41])
def test_a_gauge_outside_the_law_is_refused(awg):
    with pytest.raises(OutOfRangeError, match=f"awg is {awg}"):
        wire_ohm(awg=awg, length_m=1.0)


def test_a_negative_length_is_refused():
    with pytest.raises(OutOfRangeError, match=r"length_m is -0\.1"):
        wire_ohm(awg=16, length_m=-0.1)


def test_a_length_that_is_not_a_number_is_refused():
    with pytest.raises(OutOfRangeError, match="length_m is nan"):
        wire_ohm(awg=16, length_m=math.nan)


def test_a_strip_needs_a_cross_section():
    with pytest.raises(OutOfRangeError, match="width and thickness above 0"):
        strip_ohm(metal="copper", length_m=0.01, width_m=0.0, thickness_m=0.0001)


def test_an_unknown_metal_offers_the_nearest():
    with pytest.raises(UnknownNameError, match="pure nickel"):
        conductor_metal("pure nickl")


@given(st.floats(0, 2), st.floats(0.001, 0.03), st.floats(5e-5, 5e-4))
def test_a_strip_twice_as_wide_has_half_the_resistance(length, width, thickness):
    narrow = strip_ohm(metal="copper", length_m=length, width_m=width, thickness_m=thickness)
    wide = strip_ohm(metal="copper", length_m=length, width_m=2 * width, thickness_m=thickness)
    assert narrow.mid == pytest.approx(2 * wide.mid)


@given(st.floats(0.1, 30), st.floats(-20, 60))
def test_the_settled_conductor_gives_away_what_it_makes(current, ambient):
    ohm, alpha, loss = 0.0132, 0.00393, 0.12
    found = settled_conductor_degc(
        current_a=current,
        ohm_per_m=ohm,
        rise_per_k=alpha,
        loss_w_per_m_k=loss,
        ambient_degc=ambient,
    )
    made = current**2 * ohm * (1 + alpha * (found - 20))
    assert made == pytest.approx(loss * (found - ambient), rel=1e-9)


def test_a_current_beyond_all_cooling_settles_nowhere():
    found = settled_conductor_degc(
        current_a=100.0, ohm_per_m=0.1, rise_per_k=0.004, loss_w_per_m_k=0.1, ambient_degc=20.0
    )
    assert found == math.inf


def test_heat_needs_somewhere_to_go():
    with pytest.raises(OutOfRangeError, match="loss_w_per_m_k is 0"):
        settled_conductor_degc(
            current_a=1.0, ohm_per_m=0.1, rise_per_k=0.004, loss_w_per_m_k=0, ambient_degc=20.0
        )
