"""The device's own stop: by the counts that the firmware is given, held for as long as it waits."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.planning.assess.own_stop import held_below_s, own_stop_s
from packdesign.planning.assess.record import Assessment
from packdesign.planning.assess.service import assess
from packdesign.planning.brief.examples import example_text
from packdesign.planning.brief.load import brief_from_text


@pytest.fixture(scope="module")
def rover() -> Assessment:
    return assess(brief_from_text(example_text("rover")))


@pytest.fixture(scope="module")
def turntable() -> Assessment:
    return assess(brief_from_text(example_text("turntable")))


def test_device_stops_before_the_pack_is_empty(rover: Assessment) -> None:
    trace, stop = rover.discharge.trace, rover.gauge.firmware[2]
    stop_s = own_stop_s(trace, rover.gauge)
    assert stop_s is not None
    assert 0 < stop_s < trace.time_s[-1]
    after = (trace.time_s > stop_s - 2.0) & (trace.time_s <= stop_s)
    assert np.all(trace.voltage_v[after] <= stop.acts_v)


def test_a_stop_that_is_raised_comes_sooner(rover: Assessment) -> None:
    """Calibrated, the device runs on to its plain stop."""
    found = rover.gauge
    plain = [
        replace(each, acts_v=level.loaded_v)
        for each, level in zip(found.firmware, found.thresholds.in_order, strict=True)
    ]
    raised_s = own_stop_s(rover.discharge.trace, found)
    plain_s = own_stop_s(rover.discharge.trace, replace(found, firmware=tuple(plain)))
    assert raised_s is not None
    assert plain_s is not None
    assert raised_s < plain_s - 60.0


def test_the_hard_cut_comes_after_the_stop(rover: Assessment) -> None:
    """It stood one count below it, held for 0.2 s against 2 s, and came first."""
    trace = rover.discharge.trace
    _, _, stop, cut = (
        held_below_s(trace.time_s, trace.voltage_v, below_v=each.acts_v, hold_s=each.hold_ms / 1000)
        for each in rover.gauge.firmware
    )
    assert stop is not None
    assert cut is not None
    assert stop + 60.0 < cut


def test_the_cold_leaves_charge_behind_and_the_device_stops_all_the_same(
    turntable: Assessment,
) -> None:
    """At 2 % of charge by the curve of a warm cell the cold run never arrives."""
    trace = turntable.discharge.trace
    assert trace.soc[-1] > 0.05
    stop_s = own_stop_s(trace, turntable.gauge)
    assert stop_s is not None
    assert stop_s < trace.time_s[-1]


def test_a_run_that_ends_earlier_has_no_stop_of_its_own(rover: Assessment) -> None:
    trace = rover.discharge.trace
    high = replace(trace, voltage_v=np.maximum(trace.voltage_v, 6.5))
    assert own_stop_s(high, rover.gauge) is None


def test_a_hard_cut_alone_ends_the_run_too(rover: Assessment) -> None:
    trace = rover.discharge.trace
    short = replace(trace, time_s=trace.time_s / 1e3)
    stop = rover.gauge.firmware[2]
    assert held_below_s(short.time_s, short.voltage_v, below_v=stop.acts_v, hold_s=2.0) is None
    assert own_stop_s(short, rover.gauge) is not None, "0.5 s below the hard cut, 0.8 s the stop"


PIECES = st.tuples(st.floats(0.5, 5.0), st.floats(5.0, 8.0), st.floats(5.0, 8.0))


@given(st.lists(PIECES, min_size=2, max_size=8), st.floats(0.0, 6.0), st.floats(5.0, 8.0))
def test_a_voltage_is_held_below_as_a_fine_clock_finds_it(pieces, hold_s, below_v) -> None:
    """Pieces with steps between, against a plain count of how long it has been below, by 10 ms.

    Between two ticks a voltage moves by 0.06 V at most: 3 V in 0.5 s.
    """
    lengths, begins_v, ends_v = (np.array(each) for each in zip(*pieces, strict=True))
    ends_s = np.cumsum(lengths)
    time_s = np.column_stack((ends_s - lengths, ends_s)).ravel()
    voltage_v = np.column_stack((begins_v, ends_v)).ravel()
    found = held_below_s(time_s, voltage_v, below_v=below_v, hold_s=hold_s)
    fine_s = np.arange(0.0, time_s[-1], 0.01)
    is_below = np.interp(fine_s, time_s, voltage_v) <= below_v - 0.06
    since_s = np.maximum.accumulate(np.where(is_below, 0.0, fine_s))
    # Twice the clock's own step is allowed, for the fall itself lies between two ticks.
    acts = fine_s[is_below & (fine_s - since_s >= hold_s + 0.02)]
    if acts.size:
        assert found is not None
        assert found <= acts[0] + 0.02
    if found is not None:
        held = (fine_s > found - hold_s + 1e-6) & (fine_s < found - 1e-6)
        assert np.all(np.interp(fine_s[held], time_s, voltage_v) <= below_v + 1e-6)
