"""Fewer points on the screen: no dip, no peak and no jump is lost."""

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
    rng = np.random.default_rng(seed)
    time_s, trace = np.cumsum(rng.exponential(size=count)), rng.normal(size=count)
    kept = kept_points(time_s, trace, most=most)
    assert kept[0] == 0
    assert kept[-1] == count - 1
    assert np.all(np.diff(kept) > 0)
    assert trace[kept].max() == trace.max()
    assert trace[kept].min() == trace.min()
    assert len(kept) <= max(count if count <= most else most + 2, 3)


@given(
    uses=st.integers(min_value=200, max_value=2000),
    most=st.integers(min_value=100, max_value=500),
    seed=st.integers(min_value=0, max_value=100),
)
def test_what_jumps_does_not_become_a_slope(uses: int, most: int, seed: int) -> None:
    """A current that is level but for its jumps: a line wider than a column stays level."""
    rng = np.random.default_rng(seed)
    ends_s = np.cumsum(rng.exponential(size=uses) ** 3 + 1e-6)
    time_s = np.repeat(np.concatenate([[0.0], ends_s]), 2)[1:-1]
    current_a = np.repeat(rng.choice([0.0, 2.0, 7.0], size=uses), 2)
    kept = kept_points(time_s, current_a, most=most)
    wide = np.diff(time_s[kept]) > time_s[-1] / (most // 4) * (1 + 1e-9)
    assert np.all(np.diff(current_a[kept])[wide] == 0)
    jumps = np.flatnonzero(np.diff(time_s) == 0)
    assert np.array_equal(np.isin(jumps, kept), np.isin(jumps + 1, kept))
