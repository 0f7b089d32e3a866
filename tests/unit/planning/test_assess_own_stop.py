"""The device's own stop: before the run's end, and at the charge that the gauge names."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from packdesign.planning.assess.own_stop import own_stop_s
from packdesign.planning.assess.record import Assessment
from packdesign.planning.assess.service import assess
from packdesign.planning.brief.examples import example_text
from packdesign.planning.brief.load import brief_from_text


@pytest.fixture(scope="module")
def rover() -> Assessment:
    return assess(brief_from_text(example_text("rover")))


def test_device_stops_before_the_pack_is_empty(rover: Assessment) -> None:
    trace, left = rover.discharge.trace, rover.gauge.thresholds.stop.soc_fraction
    stop_s = own_stop_s(trace, rover.gauge)
    assert stop_s is not None
    assert 0 < stop_s < trace.time_s[-1]
    assert float(np.interp(stop_s, trace.time_s, trace.soc)) == pytest.approx(left, abs=0.01)


def test_a_run_that_ends_earlier_has_no_stop_of_its_own(rover: Assessment) -> None:
    trace = rover.discharge.trace
    short = replace(trace, soc=np.maximum(trace.soc, 0.5))
    assert own_stop_s(short, rover.gauge) is None
