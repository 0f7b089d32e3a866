"""Resettable fuses in warm air and in a short circuit; no number from outside: from memory."""

from __future__ import annotations

import pytest

from packdesign.data.fuses import load_resettable_fuses
from packdesign.engineering.electrical.resettable import held_fraction, trip_i2t_a2s, warms_up_s
from packdesign.foundation.errors import OutOfRangeError


def test_warm_air_takes_from_what_it_holds():
    shares = [held_fraction(ambient_degc=each) for each in (-60.0, -10.0, 23.0, 40.0, 60.0, 85.0)]
    assert shares == sorted(shares, reverse=True)
    assert shares[2] == 1.0
    with pytest.raises(OutOfRangeError, match="ambient_degc is 90"):
        held_fraction(ambient_degc=90.0)


@pytest.mark.parametrize("fuse", load_resettable_fuses(), ids=lambda each: each.name)
def test_what_passes_until_it_trips_is_only_known_from_its_test_on(fuse):
    if fuse.trip_test_a is None:
        assert trip_i2t_a2s(fuse, current_a=1e3) is None
        return
    assert trip_i2t_a2s(fuse, current_a=0.99 * fuse.trip_test_a) is None
    known = trip_i2t_a2s(fuse, current_a=fuse.trip_test_a)
    assert known == fuse.trip_test_a**2 * fuse.trip_time_longest_s
    assert trip_i2t_a2s(fuse, current_a=9 * fuse.trip_test_a) == known


@pytest.mark.parametrize("fuse", load_resettable_fuses(), ids=lambda each: each.name)
def test_it_follows_its_current_within_minutes_yet_not_at_once(fuse):
    """Slower than the test takes to trip it, for its current is above the trip current."""
    found_s = warms_up_s(fuse)
    if fuse.trip_test_a is None or fuse.trip_time_longest_s is None:
        assert found_s is None
    else:
        assert fuse.trip_time_longest_s < found_s < 600.0
