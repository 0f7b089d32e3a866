"""Wire that keeps all the heat of a short current."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.engineering.electrical.adiabatic import wire_after_current_degc
from packdesign.engineering.electrical.conductors import WIRE_LAY
from packdesign.foundation.errors import OutOfRangeError

AREA_M2 = 1.309e-6


def reached(current_a: float, time_s: float, start_degc: float = 40.0) -> float:
    return wire_after_current_degc(
        area_m2=AREA_M2, current_a=current_a, time_s=time_s, start_degc=start_degc
    )


def test_small_heat_is_current_squared_times_time_over_heat_capacity():
    """Plain I2 R t = m c dT: copper of 8960 kg/m3, 385 J/(kg K), 1.724e-8 ohm m; handbooks."""
    warm = 1.7241e-8 * (1 + 0.00393 * 20) * WIRE_LAY.high
    plain_k = (20.0 / AREA_M2) ** 2 * warm * 0.5 / (8960 * 385)
    assert reached(20.0, 0.5) - 40.0 == pytest.approx(plain_k, rel=0.02)


@given(st.floats(0.1, 60.0), st.floats(0.0, 2.0), st.floats(0.0, 2.0))
def test_two_stretches_heat_like_one(current_a, first_s, then_s):
    after = reached(current_a, then_s, start_degc=reached(current_a, first_s))
    assert after == pytest.approx(reached(current_a, first_s + then_s), rel=1e-9)


@given(st.floats(0.1, 60.0), st.floats(0.001, 2.0))
def test_twice_the_current_heats_like_four_times_the_time(current_a, time_s):
    assert reached(2 * current_a, time_s) == pytest.approx(reached(current_a, 4 * time_s), rel=1e-9)


def test_nothing_flows_or_no_time_passes():
    assert reached(0.0, 100.0) == reached(50.0, 0.0) == 40.0


def test_past_the_melting_of_copper_there_is_no_figure():
    assert math.isinf(reached(1000.0, 10.0))


@pytest.mark.parametrize(
    ("area_m2", "time_s", "start_degc"), [(0.0, 1.0, 20.0), (1e-6, -1.0, 20.0), (1e-6, 1.0, -250.0)]
)
def test_nonsense_is_refused(area_m2, time_s, start_degc):
    with pytest.raises(OutOfRangeError, match="a wire needs a cross section above 0"):
        wire_after_current_degc(
            area_m2=area_m2, current_a=1.0, time_s=time_s, start_degc=start_degc
        )
