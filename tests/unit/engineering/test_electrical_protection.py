from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.data.boards import find_board, load_boards
from packdesign.engineering.electrical.protection import (
    TripRisk,
    board_trip_a,
    hot_sense_ohm,
    overcharge_trip_v,
    overdischarge_trip_v,
    trip_current_a,
    trip_risk,
)
from packdesign.foundation.basis import Band
from packdesign.foundation.errors import OutOfRangeError

DW01A = find_board("H&M DW01A")


def test_trip_current_of_a_design_note():
    # 100 mV over two transistors of 0.92 milliohm trips at 54 A (public design note, second hand,
    # which prints 54 to 68 A).
    trip = trip_current_a(threshold_v=Band.exact(0.1), sense_ohm=Band.exact(1.84e-3))
    assert trip.mid == pytest.approx(54.3, abs=0.05)


def test_the_dw01a_threshold_and_its_tolerance():
    # DW01A sheet (H&M Semi): 150 mV, 30 mV either way; two transistors of 25 milliohm together.
    trip = board_trip_a(DW01A, sense_ohm=Band.exact(0.050))
    assert trip is not None
    assert (trip.low, trip.mid, trip.high) == pytest.approx((2.4, 3.0, 3.6))


def test_a_hot_board_trips_at_less():
    cold = Band(0.04, 0.05, 0.06)
    hot = hot_sense_ohm(cold, hottest_degc=100.0)
    assert hot.high == pytest.approx(0.06 * 1.3)
    low = trip_current_a(threshold_v=Band.exact(0.15), sense_ohm=hot).low
    assert low < trip_current_a(threshold_v=Band.exact(0.15), sense_ohm=cold).low


def test_a_printed_current_range_is_taken_as_it_stands():
    board = replace(DW01A, overcurrent_a=80.0, overcurrent_min_a=70.0, overcurrent_max_a=90.0)
    assert board_trip_a(board) == Band(70.0, 80.0, 90.0)


def test_a_board_that_prints_neither_is_unknown():
    board = replace(
        DW01A,
        overcurrent_v=None,
        overcurrent_min_v=None,
        overcurrent_max_v=None,
    )
    assert board_trip_a(board) is None
    assert board_trip_a(DW01A) is None
    risk = trip_risk(None, delay_s=0.01, load_a=5.0)
    assert risk is TripRisk.UNKNOWN


def test_every_board_of_the_table_gives_a_trip_or_is_unknown():
    for board in load_boards():
        trip = board_trip_a(board, sense_ohm=Band(0.018, 0.020, 0.025))
        assert trip is None or 0 < trip.low <= trip.high, board.part


def test_the_thresholds_of_a_dw01a():
    # DW01A sheet (H&M Semi): 4.30 +/- 0.05 V and 2.40 +/- 0.10 V
    over, under = overcharge_trip_v(DW01A), overdischarge_trip_v(DW01A)
    assert (over.low, over.high) == pytest.approx((4.25, 4.35))
    assert (under.low, under.high) == pytest.approx((2.3, 2.5))


def test_a_threshold_that_is_not_printed_is_unknown():
    board = replace(DW01A, overcharge_v=None, overdischarge_v=None)
    assert overcharge_trip_v(board) is None
    assert overdischarge_trip_v(board) is None


def test_a_threshold_on_order_counts_as_the_whole_range():
    board = replace(DW01A, overcharge_v=None, overcharge_min_v=3.5, overcharge_max_v=4.5)
    trip = overcharge_trip_v(board)
    assert (trip.low, trip.mid, trip.high) == pytest.approx((3.45, 4.0, 4.55))


@given(st.floats(0, 200), st.floats(0, 10))
def test_more_current_for_longer_never_trips_less(amps, seconds):
    order = [TripRisk.NEVER, TripRisk.MAY, TripRisk.WILL]
    trip = Band(16.0, 20.0, 24.0)
    one = trip_risk(trip, delay_s=0.1, load_a=amps, load_s=seconds)
    more = trip_risk(trip, delay_s=0.1, load_a=amps + 5, load_s=seconds + 0.2)
    assert order.index(more) >= order.index(one)


def test_the_states_of_a_load():
    trip = Band(16.0, 20.0, 24.0)
    assert trip_risk(trip, delay_s=0.1, load_a=15.0) is TripRisk.NEVER
    assert trip_risk(trip, delay_s=0.1, load_a=30.0, load_s=0.04) is TripRisk.NEVER
    assert trip_risk(trip, delay_s=0.1, load_a=20.0, load_s=math.inf) is TripRisk.MAY
    assert trip_risk(trip, delay_s=None, load_a=30.0, load_s=0.04) is TripRisk.WILL


def test_what_makes_no_sense_is_refused():
    with pytest.raises(OutOfRangeError, match="must be above 0"):
        trip_current_a(threshold_v=Band.exact(0.1), sense_ohm=Band.exact(0.0))
    with pytest.raises(OutOfRangeError, match="hottest_degc is 0"):
        hot_sense_ohm(Band.exact(0.01), hottest_degc=0.0)
