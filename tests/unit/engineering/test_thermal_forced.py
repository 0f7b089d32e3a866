from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.engineering.thermal.air import air_at
from packdesign.engineering.thermal.forced import forced_film_w_per_m2_k, mixed_film_w_per_m2_k


def film(*, along_m: float = 0.065, speed: float = 1.0, degc: float = 30.0) -> float:
    return forced_film_w_per_m2_k(
        along_m=along_m, air_speed_m_per_s=speed, air=air_at(film_degc=degc)
    )


def test_the_film_grows_with_the_root_of_the_speed_and_falls_with_that_of_the_length():
    assert film(speed=4.0) == pytest.approx(2 * film(speed=1.0))
    assert film(along_m=0.26) == pytest.approx(film(along_m=0.065) / 2)


def test_still_air_blows_nothing():
    assert film(speed=0.0) == 0.0


@given(st.floats(1e-3, 50.0), st.floats(1e-3, 50.0))
def test_mixed_is_above_each_and_below_both_together(natural, forced):
    mixed = mixed_film_w_per_m2_k(natural=natural, forced=forced)
    assert max(natural, forced) * (1 - 1e-9) <= mixed <= natural + forced + 1e-9
