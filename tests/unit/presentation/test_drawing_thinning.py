"""Fewer points on the screen: no dip and no peak is lost."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from packdesign.presentation.drawing.thinning import kept_points


@given(
    count=st.integers(min_value=1, max_value=5000),
    most=st.integers(min_value=10, max_value=500),
    seed=st.integers(min_value=0, max_value=100),
)
def test_the_extremes_and_the_ends_are_kept(count: int, most: int, seed: int) -> None:
    trace = np.random.default_rng(seed).normal(size=count)
    kept = kept_points(trace, most=most)
    assert kept[0] == 0
    assert kept[-1] == count - 1
    assert np.all(np.diff(kept) > 0)
    assert trace[kept].max() == trace.max()
    assert trace[kept].min() == trace.min()
    assert len(kept) <= max(count if count <= most else most + 2, 3)
