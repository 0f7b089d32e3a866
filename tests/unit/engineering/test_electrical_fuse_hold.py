from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from packdesign.data.fuses import Fuse, FuseGate
from packdesign.engineering.electrical.fuse_hold import fuse_hold
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError

FUSE = Fuse(
    series="own example",
    maker="",
    body="6.3x32 glass cartridge",
    speed="fast",
    rated_a=10.0,
    rated_v_dc=32.0,
    rated_v_ac=None,
    breaking_capacity_a=1000.0,
    breaking_condition="",
    cold_resistance_ohm=None,
    melting_i2t_a2s=200.0,
    drop_at_rated_v=None,
    basis=Basis.DATASHEET,
    source="",
    notes="",
    gates=(
        FuseGate(rating_fraction=1.0, shortest_s=14_400.0, longest_s=None),
        FuseGate(rating_fraction=1.35, shortest_s=2.0, longest_s=600.0),
        FuseGate(rating_fraction=2.0, shortest_s=0.4, longest_s=5.0),
        FuseGate(rating_fraction=6.0, shortest_s=0.05, longest_s=0.3),
    ),
)


def _hold(times, amps, *, fuse=FUSE, missions=1000.0, **more):
    return fuse_hold(
        fuse,
        duration_s=np.array(times, dtype=float),
        current_a=np.array(amps, dtype=float),
        missions=missions,
        **more,
    )


def test_a_gentle_mission_is_held():
    hold = _hold([10.0, 50.0], [6.0, 2.0])
    assert hold.holds is True
    # the hardest ten minutes begin and end with a minute's 10 s at 6 A: eleven of them in 610 s
    assert hold.rms_a == pytest.approx(math.sqrt((11 * 10 * 36 + 10 * 50 * 4) / 610))
    assert hold.steady_margin_fraction == pytest.approx(1 - hold.rms_a / 7.5)
    assert (hold.overload_margin_fraction, hold.pulse_margin_fraction) == (1.0, 1.0)


def test_a_start_is_held_against_its_share_of_the_melting_heat():
    # 20 A for 0.1 s: 40 A2s of the 38 % of 200 A2s that a thousand pulses may have.
    hold = _hold([0.1, 60.0], [20.0, 4.0])
    assert hold.pulse_margin_fraction == pytest.approx(1 - 40 / 76)
    assert hold.overload_margin_fraction == pytest.approx(1 - 0.1 / 0.4)
    assert hold.holds is True


def test_two_starts_in_a_mission_count_twice():
    once = _hold([0.1, 60.0], [20.0, 4.0], missions=1000)
    twice = _hold([0.1, 60.0, 0.1, 60.0], [20.0, 4.0, 20.0, 4.0], missions=500)
    assert once.pulse_margin_fraction == pytest.approx(twice.pulse_margin_fraction)


def test_a_start_that_steps_down_is_judged_as_one_overload():
    # 0.1 s at 20 A and then 1 s at 14 A: 1.1 s at 14 A or more.
    hold = _hold([0.1, 1.0, 60.0], [20.0, 14.0, 4.0])
    alone = _hold([1.1, 60.0], [14.0, 4.0])
    assert hold.overload_margin_fraction == pytest.approx(alone.overload_margin_fraction)
    assert hold.pulse_margin_fraction == pytest.approx(1 - (40 + 196) / 76)


def test_a_long_overload_is_not_held():
    assert _hold([5.0, 60.0], [14.0, 1.0]).holds is False


def test_an_rms_above_the_steady_limit_is_not_held():
    hold = _hold([60.0], [8.0])
    assert hold.steady_margin_fraction < 0
    assert hold.holds is False
    assert _hold([60.0], [7.0]).holds is True
    assert _hold([60.0], [7.0], ambient_degc=100.0).holds is False


def test_the_hardest_ten_minutes_count_and_not_the_mean_of_hours():
    # two hours at 2 A with a quarter of an hour at 8 A in the middle: a mean of 3.5 A
    times, amps = [3600.0, 900.0, 3600.0], [2.0, 8.0, 2.0]
    assert _hold(times, amps).rms_a == pytest.approx(8.0)
    assert _hold(times, amps).holds is False
    assert _hold(times, amps, rms_a=3.5).rms_a == 3.5


def test_a_stretch_goes_on_into_the_next_mission_only_where_it_repeats():
    pieces = ([300.0, 3000.0, 300.0], [6.0, 0.0, 6.0])
    assert _hold(*pieces, repeats=True).rms_a == pytest.approx(6.0)
    assert _hold(*pieces, repeats=False).rms_a == pytest.approx(6.0 / math.sqrt(2))
    assert _hold([60.0], [5.0], repeats=False).rms_a == pytest.approx(5.0)


def test_a_start_in_warm_air_has_less_time_and_begins_at_a_lower_current():
    # 0.15 % per kelvin beyond 25 degC: at 85 degC a 10 A fuse is one of 9.1 A
    cool, warm = (_hold([0.1, 60.0], [14.0, 4.0], ambient_degc=each) for each in (25.0, 85.0))
    assert 1 - warm.overload_margin_fraction > 1.1 * (1 - cool.overload_margin_fraction)
    assert _hold([1.0, 600.0], [9.5, 1.0]).overload_margin_fraction == 1.0
    assert _hold([1.0, 600.0], [9.5, 1.0], ambient_degc=85.0).overload_margin_fraction < 1.0


def test_a_fuse_without_a_promise_is_not_held_above_its_rating():
    hold = _hold([0.01, 60.0], [14.0, 1.0], fuse=replace(FUSE, gates=()))
    assert hold.overload_margin_fraction == -math.inf
    bare = _hold([60.0], [5.0], fuse=replace(FUSE, gates=()))
    assert bare.holds is True


def test_an_unknown_pulse_makes_the_whole_unknown():
    fuse = replace(FUSE, melting_i2t_a2s=None, gates=())
    assert _hold([0.01, 60.0], [14.0, 1.0], fuse=fuse).pulse_margin_fraction is None


@pytest.mark.parametrize(("times", "amps"), [([], []), ([1.0], [1.0, 2.0]), ([0.0], [1.0])])
def test_a_mission_has_pieces_with_a_length(times, amps):
    with pytest.raises(OutOfRangeError, match="as many currents as durations"):
        _hold(times, amps)
