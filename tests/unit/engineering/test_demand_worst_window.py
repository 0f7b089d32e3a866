"""The hardest stretch of a demand: against a brute force, and what must hold of any demand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.engineering.demand.worst_window import worst_window_rms_a
from packdesign.foundation.errors import OutOfRangeError

PIECES = st.lists(
    st.tuples(st.integers(1, 20), st.integers(-30, 30)), min_size=1, max_size=12
)  # whole seconds: a brute force over whole seconds then meets every edge
LENGTH = st.integers(1, 60)


def worst(pieces: list[tuple[int, int]], at_least_s: float, *, repeats: bool) -> float:
    duration_s, current_a = (np.array(each, dtype=float) for each in zip(*pieces, strict=True))
    return worst_window_rms_a(
        duration_s=duration_s, current_a=current_a, at_least_s=at_least_s, repeats=repeats
    )


def whole_rms_a(pieces: list[tuple[int, int]]) -> float:
    seconds = sum(length for length, _ in pieces)
    return math.sqrt(sum(length * amperes**2 for length, amperes in pieces) / seconds)


def by_brute_force(pieces: list[tuple[int, int]], at_least_s: int, *, repeats: bool) -> float:
    """Every begin and every end on the whole second, one by one."""
    seconds = [amperes**2 for length, amperes in pieces for _ in range(length)]
    period = len(seconds)
    if repeats:
        seconds = seconds * (at_least_s // period + 3)
    elif at_least_s >= period:
        return whole_rms_a(pieces)
    heat = [0, *np.cumsum(seconds).tolist()]
    means = [
        (heat[end] - heat[begin]) / (end - begin)
        for begin in range(min(period, len(seconds)))
        for end in range(begin + at_least_s, min(begin + at_least_s + period, len(seconds)) + 1)
    ]
    return math.sqrt(max(means))


@given(PIECES, LENGTH, st.booleans())
def test_it_is_the_best_of_all_stretches(pieces, at_least_s, repeats):
    found = worst(pieces, at_least_s, repeats=repeats)
    assert found == pytest.approx(by_brute_force(pieces, at_least_s, repeats=repeats), rel=1e-9)


@given(PIECES, st.floats(0.0, 100.0), st.booleans())
def test_it_lies_between_the_whole_and_the_peak(pieces, at_least_s, repeats):
    found = worst(pieces, at_least_s, repeats=repeats)
    peak_a = max(abs(amperes) for _, amperes in pieces)
    assert whole_rms_a(pieces) * (1 - 1e-9) <= found <= peak_a * (1 + 1e-9)


@given(PIECES, st.booleans())
def test_of_no_length_it_is_the_peak(pieces, repeats):
    assert worst(pieces, 0.0, repeats=repeats) == max(abs(amperes) for _, amperes in pieces)


@given(PIECES, st.floats(0.0, 100.0), st.floats(0.0, 100.0), st.booleans())
def test_a_longer_time_never_gives_more(pieces, one_s, other_s, repeats):
    short_s, long_s = sorted((one_s, other_s))
    assert worst(pieces, long_s, repeats=repeats) <= worst(pieces, short_s, repeats=repeats) * (
        1 + 1e-9
    )


@given(PIECES, st.floats(0.01, 100.0))
def test_a_repeated_demand_is_never_easier(pieces, at_least_s):
    once, over_and_over = (worst(pieces, at_least_s, repeats=each) for each in (False, True))
    assert over_and_over >= once * (1 - 1e-9)


def test_a_stretch_runs_over_the_end_of_a_period():
    pieces = [(5, 10), (50, 0), (5, 10)]
    assert worst(pieces, 10, repeats=True) == pytest.approx(10.0)
    assert worst(pieces, 10, repeats=False) == pytest.approx(10.0 / math.sqrt(2.0))


def test_a_time_between_two_pulses_counts_both():
    """Over 2 s one pulse of two seconds' heat is met, over 3 s both: the longer is the harder."""
    assert worst([(1, 3), (1, 0), (1, 3)], 2, repeats=False) == pytest.approx(3 * math.sqrt(2 / 3))


def test_a_long_log_is_quick_enough_to_be_exact():
    """A tenth of a second of noise a point, one minute of 20 A in ten hours, found to the digit."""
    current_a = np.random.default_rng(1).uniform(0.0, 1.0, 360_000)
    current_a[200_000:200_600] = 20.0
    found = worst_window_rms_a(
        duration_s=np.full(360_000, 0.1), current_a=current_a, at_least_s=60.0
    )
    assert found == pytest.approx(20.0, rel=1e-6)


@pytest.mark.parametrize(
    ("duration_s", "current_a", "at_least_s"),
    [([], [], 1.0), ([1.0], [1.0, 2.0], 1.0), ([0.0], [1.0], 1.0), ([1.0], [1.0], -1.0)],
)
def test_nonsense_is_refused(duration_s, current_a, at_least_s):
    with pytest.raises(OutOfRangeError, match=r"as many currents as durations|must be 0 or more"):
        worst_window_rms_a(
            duration_s=np.array(duration_s), current_a=np.array(current_a), at_least_s=at_least_s
        )
