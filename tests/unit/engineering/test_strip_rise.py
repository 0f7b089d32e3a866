"""A strip between two cells: the closed form against its limits, and what it must refuse."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.engineering.thermal.strip_rise import strip_rise_k
from packdesign.foundation.errors import OutOfRangeError


def rise(**changes: float) -> float:
    facts = {
        "current_a": 10.0, "length_m": 0.02, "width_m": 0.008, "thickness_m": 0.00015,
        "film_w_per_m2_k": 10.0,
    }  # fmt: skip
    return strip_rise_k(metal="pure nickel", **{**facts, **changes})


def test_without_air_it_is_the_heated_bar_of_the_textbook():
    # q L^2 / (8 k A): any text on heat conduction, from memory; air takes a little of it
    bare = rise(film_w_per_m2_k=0.0)
    assert rise() < bare < 1.1 * rise()
    assert rise(film_w_per_m2_k=0.0, length_m=0.04) == pytest.approx(4 * bare)


def test_a_long_strip_is_cooled_by_air_alone():
    long = rise(length_m=1.0)
    longer = rise(length_m=2.0)
    assert longer == pytest.approx(long, rel=1e-3)


@given(st.floats(0.1, 100), st.floats(0.001, 0.2), st.floats(0.00005, 0.001))
def test_thicker_is_cooler_and_more_current_warmer(current, length, thickness):
    facts = {"current_a": current, "length_m": length, "thickness_m": thickness}
    assert rise(**facts) > 0
    assert rise(**{**facts, "thickness_m": 2 * thickness}) < rise(**facts)
    assert rise(**{**facts, "current_a": 2 * current}) == pytest.approx(4 * rise(**facts))


def test_a_strip_without_size_is_refused():
    with pytest.raises(OutOfRangeError, match="above 0"):
        rise(width_m=0.0)
