"""How fast wires and strips warm up."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.engineering.demand.worst_window import worst_window_rms_a
from packdesign.engineering.electrical.conductors import wire_diameter_m
from packdesign.engineering.thermal.conductor_time import (
    strip_time_constant_s,
    wire_time_constant_s,
)
from packdesign.foundation.errors import OutOfRangeError


def test_thicker_wire_is_slower():
    times = [
        wire_time_constant_s(awg=awg, outer_diameter_m=wire_diameter_m(awg=awg) + 0.0012)
        for awg in (30, 24, 18, 12)
    ]
    assert times == sorted(times)
    assert times[0] > 5.0
    assert times[-1] < 300.0


def strip_s(length_m: float = 0.02, film: float = 0.0) -> float:
    return strip_time_constant_s(
        metal="pure nickel", length_m=length_m, thickness_m=0.00015, film_w_per_m2_k=film
    )


def test_a_strip_between_cells_goes_with_its_length_squared():
    assert strip_s(0.04) == pytest.approx(4 * strip_s(0.02))
    assert strip_s(film=50.0) < strip_s(film=0.0)


@given(st.floats(1.0, 1000.0), st.floats(0.01, 50.0))
def test_the_worst_window_of_a_time_constant_is_on_the_safe_side_for_a_pulse(tau_s, pulses):
    """A first-order body that meets one pulse from rest never passes what the window says."""
    length_s = pulses * tau_s
    window_a = worst_window_rms_a(
        duration_s=np.array([100 * tau_s, length_s, 100 * tau_s]),
        current_a=np.array([0.0, 10.0, 0.0]),
        at_least_s=tau_s,
    )
    body = 10.0**2 * -math.expm1(-length_s / tau_s)
    assert window_a**2 >= body * (1 - 1e-9)


def test_nonsense_is_refused():
    with pytest.raises(OutOfRangeError, match="must not be below the conductor's"):
        wire_time_constant_s(awg=10, outer_diameter_m=0.001)
    with pytest.raises(OutOfRangeError, match="a strip needs length and thickness above 0"):
        strip_s(0.0)
