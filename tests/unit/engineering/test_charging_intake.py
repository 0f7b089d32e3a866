"""Intake, grouping and paralleling of measured cells."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packdesign.engineering.charging.grouping import best_groups
from packdesign.engineering.charging.intake import CellReading, IntakeLimits, Origin, take_in
from packdesign.engineering.charging.paralleling import (
    JoinSide,
    join_steps,
    levelling,
    voltage_match,
)
from packdesign.foundation.errors import OutOfRangeError

LIMITS = IntakeLimits(rated_capacity_ah=2.5)


def reading(label: str, **facts: object) -> CellReading:
    return CellReading(**{"label": label, "rested_v": 3.60, **facts})


def good(label: str, **facts: object) -> CellReading:
    return reading(
        label,
        **{
            "capacity_ah": 2.5, "resistance_ohm": 0.020, "rest_days": 14, "start_v": 3.602, **facts,
        },
    )  # fmt: skip


@pytest.mark.parametrize(
    ("bad", "part"),
    [
        (good("x", rested_v=1.9, start_v=1.9), "never charge it"),
        (good("x", capacity_ah=2.2), "below 2.250 Ah"),
        (good("x", resistance_ohm=0.030), "milliohm"),
        (good("x", resistance_ohm=0.00002), "0.02 milliohm is far below the 20 of the lot"),
        (good("x", rested_v=-3.6, start_v=-3.6), "the probes were crossed"),
        (good("x", start_v=3.70), "leaks inside"),
    ],
)
def test_a_bad_cell_is_turned_away_with_its_reason(bad, part):
    result = take_in([good("a"), good("b"), good("c"), bad], LIMITS)
    assert [each.label for each in result.rejected] == ["x"]
    assert part in result.rejected[0].reasons[0]
    assert len(result.accepted) == 3
    assert not result.raises_gate


def test_what_was_not_measured_is_said():
    result = take_in([reading("a"), good("b")], LIMITS)
    assert len(result.accepted) == 2
    assert "capacity, resistance, self-discharge" in result.not_judged[0]
    assert len(result.not_judged) == 1


def test_salvaged_and_mixed_cells_raise_the_gate():
    assert take_in([good("a"), good("b", origin=Origin.SALVAGED)], LIMITS).raises_gate
    assert take_in([good("a"), good("b", origin=Origin.MIXED)], LIMITS).raises_gate


def test_a_label_twice_or_no_cell_is_refused():
    with pytest.raises(OutOfRangeError, match="more than once"):
        take_in([good("a"), good("a")], LIMITS)
    with pytest.raises(OutOfRangeError, match="no measured cell"):
        take_in([], LIMITS)


def lot(capacities: list[float], ohms: list[float] | None = None) -> list[CellReading]:
    return [
        reading(
            str(index), capacity_ah=capacity, resistance_ohm=None if ohms is None else ohms[index]
        )
        for index, capacity in enumerate(capacities)
    ]


@settings(deadline=None, max_examples=15)
@given(st.lists(st.floats(2.3, 2.6), min_size=6, max_size=6, unique=True))
def test_up_to_six_cells_the_best_partition_is_found(capacities):
    found = best_groups(lot(capacities), series=3, parallel=2)
    best = min(
        np.ptp([capacities[order[i]] + capacities[order[i + 1]] for i in (0, 2, 4)])
        for order in itertools.permutations(range(6))
    )
    assert max(found.group_ah) - min(found.group_ah) == pytest.approx(best, abs=1e-6)


@settings(deadline=None, max_examples=10)
@given(st.lists(st.floats(2.3, 2.6), min_size=20, max_size=24))
def test_larger_lots_use_each_cell_once_and_beat_taking_them_as_they_come(capacities):
    found = best_groups(lot(capacities), series=5, parallel=4)
    used = [label for group in found.groups for label in group]
    assert sorted([*used, *found.spare]) == sorted(str(i) for i in range(len(capacities)))
    assert all(len(group) == 4 for group in found.groups)
    taken = [float(capacities[int(label)]) for label in sorted(used, key=int)]
    as_come = [sum(taken[start : start + 4]) for start in range(0, 20, 4)]
    assert max(found.group_ah) - min(found.group_ah) <= max(as_come) - min(as_come) + 1e-9


def test_equal_capacities_are_grouped_by_resistance():
    ohms = [0.020, 0.030, 0.020, 0.030]
    found = best_groups(lot([2.5] * 4, ohms), series=2, parallel=2)
    assert found.resistance_spread_fraction == pytest.approx(0.0)


def test_too_few_or_unmeasured_cells_are_refused():
    with pytest.raises(OutOfRangeError, match="need 6 cells; got 4"):
        best_groups(lot([2.5] * 4), series=3, parallel=2)
    with pytest.raises(OutOfRangeError, match="not known for u"):
        best_groups([reading("u")], series=1, parallel=1)


@given(
    first=st.floats(3.0, 4.2),
    second=st.floats(3.0, 4.2),
    ohm=st.floats(0.005, 0.1),
    joint=st.floats(0.0, 10.0),
)
def test_levelling_loses_the_same_heat_whatever_the_resistance(first, second, ohm, joint):
    a = JoinSide(rested_v=first, resistance_ohm=ohm, capacity_ah=2.5)
    b = JoinSide(rested_v=second, resistance_ohm=ohm, capacity_ah=2.5)
    bare = levelling(a, b, slope_v_per_soc=1.0)
    slowed = levelling(a, b, slope_v_per_soc=1.0, joint_ohm=joint)
    assert slowed.heat_j == pytest.approx(bare.heat_j)
    assert slowed.peak_a <= bare.peak_a
    assert min(first, second) - 1e-9 <= bare.joined_v <= max(first, second) + 1e-9


def test_each_joint_is_followed_from_the_settled_group():
    sides = [
        JoinSide(rested_v=volts, resistance_ohm=0.02, capacity_ah=2.5) for volts in (3.8, 3.7, 3.7)
    ]
    first, second = join_steps(sides, slope_v_per_soc=1.0)
    assert first.joined_v == pytest.approx(3.75)
    assert second.peak_a == pytest.approx(0.05 / 0.03)
    assert second.peak_a < first.peak_a


def test_the_match_needed_is_the_one_that_gives_the_current_allowed():
    match = voltage_match(max_levelling_a=1.0, total_ohm=0.04)
    a = JoinSide(rested_v=3.7, resistance_ohm=0.02, capacity_ah=2.5)
    b = JoinSide(rested_v=3.7 + match, resistance_ohm=0.02, capacity_ah=2.5)
    assert levelling(a, b, slope_v_per_soc=1.0).peak_a == pytest.approx(1.0)
    with pytest.raises(OutOfRangeError, match="slope"):
        levelling(a, b, slope_v_per_soc=0.0)
    with pytest.raises(OutOfRangeError, match="above 0"):
        JoinSide(rested_v=3.7, resistance_ohm=0.0, capacity_ah=2.5)


@pytest.mark.parametrize("slip", [{"resistance_ohm": 0.00002}, {"rested_v": -3.6, "start_v": -3.6}])
def test_a_reading_that_cannot_be_is_not_taken_for_a_bad_cell(slip):
    rejected = take_in([good("a"), good("b"), good("c"), good("x", **slip)], LIMITS).rejected
    assert [each.is_not_believed for each in rejected] == [True]
