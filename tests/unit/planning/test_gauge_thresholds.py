"""Thresholds: their order, what pushes each, the states of charge."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.gauge.pack import GaugePack, Wished
from packdesign.planning.gauge.thresholds import thresholds


def straight(soc: float) -> float:
    """A made-up cell: 3.0 V empty, 4.2 V full, straight between."""
    return 3.0 + 1.2 * soc


def pack_of(**changes) -> GaugePack:
    facts = {
        "series": 3, "family": "nmc", "cell_full_v": 4.2, "cell_cutoff_v": 2.5,
        "open_circuit_v": straight, "working_a": 3.0, "peak_a": 15.0,
    }  # fmt: skip
    ohm = changes.pop("ohm", 0.1)
    resistance = {"lasting_ohm": lambda soc: ohm, "sudden_ohm": lambda soc: ohm}
    return GaugePack(**(facts | resistance | changes))


@given(
    st.integers(1, 7),
    st.floats(0.0, 0.4),
    st.floats(0.0, 10.0),
    st.floats(0.0, 30.0),
    st.floats(0.0, 0.3),
    st.sampled_from(["nmc", "lfp", "lto"]),
)
def test_thresholds_always_fall_from_warn_to_cut(series, ohm, working_a, more_a, error_v, family):
    pack = pack_of(
        series=series, ohm=ohm, working_a=working_a, peak_a=working_a + more_a,
        family=family,
    )  # fmt: skip
    levels = [each.loaded_v for each in thresholds(pack, error_v=error_v).in_order]
    gaps = [upper - lower for upper, lower in pairwise(levels)]
    assert min(gaps) >= 2 * error_v - 1e-9
    assert levels[-1] >= series * 2.5


def test_rail_minimum_lifts_the_hard_cut():
    found = thresholds(pack_of(rail_minimum_v=9.5, peak_a=4.0))
    assert found.hard_cut.loaded_v == 9.5
    assert found.stop.loaded_v == pytest.approx(9.5 + 3 * 0.05)


def test_stop_is_where_a_softened_start_would_drag_the_pack_to_the_floor():
    pack = pack_of(rail_minimum_v=9.5)
    found = thresholds(pack)
    assert pack.softened_a == pytest.approx(3.0 + 0.5 * 12.0)
    assert found.stop.loaded_v - 6.0 * 0.1 == pytest.approx(found.hard_cut.loaded_v)


def test_the_weakest_group_lifts_the_hard_cut_where_nothing_sees_it():
    """Straight cell, 0.1 V of sag each: the weakest at 3.1 V is at 16.7 %, the others at 21.7 %."""
    seen = pack_of(cell_cutoff_v=3.1)
    unseen = pack_of(cell_cutoff_v=3.1, behind_fraction=0.05)
    assert seen.floor_v == pytest.approx(9.3)
    assert unseen.floor_v == pytest.approx(3.1 + 2 * (3.1 + 0.05 * 1.2))
    assert thresholds(unseen).hard_cut.loaded_v == pytest.approx(unseen.floor_v)
    assert pack_of(series=1, cell_cutoff_v=3.1, behind_fraction=0.05).floor_v == pytest.approx(3.1)


def test_limit_is_where_a_start_would_drag_the_pack_to_the_floor():
    pack = pack_of(ohm=0.2, peak_a=18.0)
    found = thresholds(pack)
    start_sag_v = (18.0 - 3.0) * 0.2
    assert found.limit.loaded_v - start_sag_v == pytest.approx(found.hard_cut.loaded_v)


def test_warning_leaves_its_reserve_of_charge():
    found = thresholds(pack_of(ohm=0.2, peak_a=18.0))
    assert found.warn.soc_fraction - found.limit.soc_fraction == pytest.approx(0.10)


def test_resting_voltage_is_the_loaded_one_and_the_sag():
    found = thresholds(pack_of())
    for level in found.in_order:
        assert level.resting_v == pytest.approx(level.loaded_v + 0.3)
        assert level.soc_fraction == pytest.approx(
            min(1.0, max(0.0, (level.resting_v / 3 - 3.0) / 1.2))
        )


def test_hysteresis_outlasts_the_rebound_and_stops_stay():
    found = thresholds(pack_of(), error_v=0.05)
    for level in (found.warn, found.limit):
        assert level.release_v is not None
        assert level.release_v > level.resting_v
    assert found.stop.release_v is None
    assert found.hard_cut.release_v is None


def test_stop_waits_out_a_start_and_the_cut_does_not():
    found = thresholds(pack_of(start_s=3.0))
    assert found.stop.hold_s >= 3.0
    assert found.hard_cut.hold_s < 2.0


def test_wished_voltages_are_taken_as_given():
    found = thresholds(pack_of(wished=Wished(warn_v=3.6, stop_v=3.1)))
    assert found.warn.loaded_v == pytest.approx(10.8)
    assert found.stop.loaded_v == pytest.approx(9.3)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"series": 0}, "1 or more in series"),
        ({"cell_cutoff_v": 4.5}, "cut-off < full voltage"),
        ({"peak_a": 1.0}, "working <= peak current"),
    ],
)
def test_senseless_packs_are_refused(changes, message):
    with pytest.raises(OutOfRangeError, match=message):
        pack_of(**changes)


@given(st.floats(0.1, 600.0), st.floats(0.5, 40.0), st.floats(0.3, 20.0))
def test_the_hold_of_the_stop_runs_the_pack_down_by_no_more_than_a_step(start_s, peak_a, ah):
    pack = pack_of(working_a=0.4, peak_a=peak_a, start_s=start_s, capacity_ah=ah)
    found = thresholds(pack)
    hold_s = found.stop.hold_s
    assert hold_s <= max(2.0, 2 * start_s)
    assert hold_s >= 2.0
    if hold_s > 2.0:
        drawn = peak_a * hold_s / 3600 / ah
        left_v = pack.curve.at(pack.curve.soc_at(9.0) - drawn)
        assert left_v >= 9.0 - 0.15 - 1e-6


def test_a_short_start_is_waited_out_twice():
    assert thresholds(pack_of(start_s=2.5, capacity_ah=5.0)).stop.hold_s == 5.0
    assert thresholds(pack_of(start_s=0.3, capacity_ah=5.0)).stop.hold_s == 2.0
