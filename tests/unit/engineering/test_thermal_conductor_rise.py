from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.engineering.electrical.conductors import wire_diameter_m, wire_ohm
from packdesign.engineering.thermal.conductor_rise import settled_wire_degc
from packdesign.engineering.thermal.convection import Body, Shape, film_w_per_m2_k
from packdesign.engineering.thermal.radiation import radiation_w_per_m2_k
from packdesign.foundation.errors import OutOfRangeError


def test_the_settled_wire_gives_away_what_it_makes():
    # The balance once more, written out: copper to outside through PVC, outside to air.
    copper = settled_wire_degc(awg=14, current_a=25.0, outer_diameter_m=0.0036)
    heat = 25.0**2 * wire_ohm(awg=14, length_m=1.0, conductor_degc=copper).high
    drop = heat * math.log(0.0036 / wire_diameter_m(awg=14)) / (2 * math.pi * 0.17)
    outside = copper - drop
    body = Body(shape=Shape.HORIZONTAL_CYLINDER, length_m=0.0036)
    film = film_w_per_m2_k(body, rise_k=outside - 25.0, ambient_degc=25.0) + radiation_w_per_m2_k(
        emissivity=0.9, surface_degc=outside, surroundings_degc=25.0
    )
    assert film * math.pi * 0.0036 * (outside - 25.0) == pytest.approx(heat, rel=0.01)


@given(st.integers(10, 26), st.floats(0.5, 10), st.floats(-10, 50))
def test_more_current_is_warmer_and_thicker_is_cooler(awg, amps, ambient):
    def settled(gauge: int, current: float) -> float:
        return settled_wire_degc(
            awg=gauge, current_a=current, outer_diameter_m=0.004, ambient_degc=ambient
        )

    here = settled(awg, amps)
    assert here >= ambient
    assert settled(awg, amps * 1.2) > here or here == math.inf
    assert settled(awg - 2, amps) < here + 0.01


def test_a_hair_under_fifty_ampere_settles_nowhere():
    assert settled_wire_degc(awg=30, current_a=50.0, outer_diameter_m=0.001) == math.inf


def test_no_current_is_as_cool_as_the_air():
    found = settled_wire_degc(awg=16, current_a=0.0, outer_diameter_m=0.003)
    assert found == pytest.approx(25.0, abs=1e-3)


def test_a_wire_has_an_outside():
    with pytest.raises(OutOfRangeError, match="outer_diameter_m is 0"):
        settled_wire_degc(awg=16, current_a=1.0, outer_diameter_m=0.0)
