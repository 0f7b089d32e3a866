"""Where a figure comes from, and how wide its band is."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.foundation.basis import Band, Basis, weakest
from packdesign.foundation.errors import OutOfRangeError

sizes = st.floats(-1e6, 1e6)


def test_a_figure_is_as_weak_as_the_weakest_it_is_made_of() -> None:
    assert weakest(Basis.DATASHEET, Basis.PRACTICE, Basis.MEASURED) is Basis.PRACTICE
    assert [weakest(Basis.MEASURED, basis) for basis in Basis] == list(Basis)


def test_a_band_is_in_order() -> None:
    with pytest.raises(OutOfRangeError, match="low <= mid <= high; got 2, 1, 3"):
        Band(2, 1, 3)


def test_a_band_of_unknown_numbers_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="got nan"):
        Band(float("nan"), 1, 2)


@given(mid=sizes, spread=st.floats(0, 1), factor=st.floats(0, 100))
def test_a_scaled_band_stays_in_order(mid: float, spread: float, factor: float) -> None:
    band = Band.from_fraction(mid, spread_fraction=spread).scaled(factor)
    assert band.low <= band.mid <= band.high
    assert band.mid == mid * factor


def test_a_band_without_width() -> None:
    assert Band.exact(3.0) == Band(3.0, 3.0, 3.0)
