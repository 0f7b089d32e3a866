from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.data.fuses import Fuse, FuseGate, load_fuses
from packdesign.engineering.electrical.fuse import (
    allowed_steady_a,
    pulse_margin_fraction,
    short_circuit_a,
    wire_margin_fraction,
)
from packdesign.engineering.electrical.fuse_opening import (
    moved_rating_fraction,
    opening_time,
    rerating_fraction,
)
from packdesign.engineering.electrical.fusing import time_melting_wire_onderdonk
from packdesign.engineering.electrical.pulse import pulse_withstand_fraction
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError

BLADE = Fuse(
    series="own example",
    maker="",
    body="automotive blade",
    speed="fast",
    rated_a=10.0,
    rated_v_dc=32.0,
    rated_v_ac=None,
    breaking_capacity_a=1000.0,
    breaking_condition="at 32 V",
    cold_resistance_ohm=0.0077,
    melting_i2t_a2s=100.0,
    drop_at_rated_v=None,
    basis=Basis.DATASHEET,
    source="",
    notes="",
    gates=(
        FuseGate(rating_fraction=1.1, shortest_s=360_000.0, longest_s=None),
        FuseGate(rating_fraction=1.35, shortest_s=0.75, longest_s=600.0),
        FuseGate(rating_fraction=2.0, shortest_s=0.15, longest_s=5.0),
        FuseGate(rating_fraction=6.0, shortest_s=None, longest_s=0.1),
    ),
)
SLOW = replace(BLADE, body="5x20 glass cartridge", speed="time-lag")


@given(st.floats(0, 500), st.floats(0, 50))
def test_more_current_never_opens_later(current, more):
    early = opening_time(BLADE, current_a=current + more)
    late = opening_time(BLADE, current_a=current)
    assert early.longest_s <= late.longest_s * (1 + 1e-12)
    assert early.shortest_s <= late.shortest_s * (1 + 1e-12)
    assert early.shortest_s <= early.longest_s


def test_the_band_is_straight_in_log_log_between_gates():
    middle = opening_time(BLADE, current_a=10 * math.sqrt(2.0 * 6.0))
    assert middle.longest_s == pytest.approx(math.sqrt(5.0 * 0.1))


@given(st.floats(1.351, 1.999))
def test_between_gates_the_shortest_time_is_the_heating_of_the_next_one(ratio):
    """The curve hangs below the straight line of log-log: that line promised too much."""
    shortest_s = opening_time(BLADE, current_a=10 * ratio).shortest_s
    assert shortest_s == pytest.approx(0.15 * (2.0 / ratio) ** 2)
    share = math.log(ratio / 1.35) / math.log(2.0 / 1.35)
    assert shortest_s < 0.75 ** (1 - share) * 0.15**share * (1 + 1e-9)


def test_a_gate_of_more_heating_than_the_one_below_does_not_lift_it():
    """Printed gates are rounded: 0.04 s at 350 % and 0.02 s at 600 %, which is more I2t."""
    rounded = (
        FuseGate(rating_fraction=3.5, shortest_s=0.04, longest_s=0.5),
        FuseGate(rating_fraction=6.0, shortest_s=0.02, longest_s=0.1),
    )
    assert opening_time(replace(BLADE, gates=rounded), current_a=40.0).shortest_s == 0.04
    assert opening_time(replace(BLADE, gates=rounded), current_a=60.0).shortest_s == 0.02


def test_warm_air_brings_the_shortest_time_forward_and_leaves_the_longest():
    cool = opening_time(BLADE, current_a=17.0)
    warm = opening_time(BLADE, current_a=17.0, ambient_degc=65.0)
    # 0.85 of the rating at 65 degC against 0.983 at 25 degC: as 19.67 A
    assert moved_rating_fraction(BLADE, ambient_degc=65.0) == pytest.approx(0.85 / (1 - 0.15 / 9))
    as_if = opening_time(BLADE, current_a=17.0 * (1 - 0.15 / 9) / 0.85)
    assert warm.shortest_s == pytest.approx(as_if.shortest_s)
    assert warm.shortest_s < 0.76 * cool.shortest_s
    assert warm.longest_s == cool.longest_s
    assert opening_time(BLADE, current_a=17.0, ambient_degc=-20.0) == cool


def test_beyond_the_last_gate_the_heating_is_kept():
    assert opening_time(BLADE, current_a=120.0).longest_s == pytest.approx(0.1 / 4)


def test_a_gate_of_carrying_is_not_joined_to_the_next_gate():
    assert opening_time(BLADE, current_a=10.9).shortest_s == 360_000.0
    assert opening_time(BLADE, current_a=11.1).shortest_s == 0.75


def test_a_fuse_without_gates_promises_nothing():
    bare = opening_time(replace(BLADE, gates=()), current_a=50.0)
    assert (bare.shortest_s, bare.longest_s) == (0.0, math.inf)


def test_every_fuse_of_the_table_gives_a_band():
    for fuse in load_fuses():
        if fuse.rated_a:
            for ratio in (0.5, 1.0, 1.35, 2.0, 5.0, 20.0):
                band = opening_time(fuse, current_a=ratio * fuse.rated_a)
                assert 0 <= band.shortest_s <= band.longest_s, (fuse.name, ratio)


@given(st.floats(-20, 120))
def test_warm_fuses_carry_less(degc):
    for fuse in (BLADE, SLOW):
        warmer = rerating_fraction(fuse, ambient_degc=degc + 5)
        assert 0 < warmer <= rerating_fraction(fuse, ambient_degc=degc) <= 1


def test_a_slow_fuse_gives_way_to_warmth_faster_than_a_fast_one():
    fast = replace(SLOW, speed="fast")
    assert rerating_fraction(SLOW, ambient_degc=65.0) == pytest.approx(0.88)
    assert rerating_fraction(fast, ambient_degc=65.0) == pytest.approx(0.94)
    assert allowed_steady_a(SLOW, ambient_degc=65.0) == pytest.approx(6.6)


def test_no_figure_reaches_beyond_125_degrees():
    with pytest.raises(OutOfRangeError, match="end at 125"):
        rerating_fraction(BLADE, ambient_degc=130.0)


def test_a_pulse_may_have_its_share_of_the_melting_heat():
    margin = pulse_margin_fraction(BLADE, peak_a=30.0, i2t_a2s=38.0, pulses=1000)
    assert margin == pytest.approx(0.0)


def test_without_a_melting_figure_the_shortest_time_stands_for_it():
    fuse = replace(BLADE, melting_i2t_a2s=None)
    margin = pulse_margin_fraction(fuse, peak_a=20.0, i2t_a2s=60.0 * 0.38, pulses=1000)
    assert margin == pytest.approx(0.0)


def test_a_fuse_that_promises_nothing_has_no_known_pulse_margin():
    fuse = replace(BLADE, melting_i2t_a2s=None, gates=())
    assert pulse_margin_fraction(fuse, peak_a=20.0, i2t_a2s=1.0, pulses=10) is None


@given(st.floats(1, 1e7), st.floats(1, 10))
def test_more_pulses_leave_each_a_smaller_share(pulses, times):
    few = pulse_withstand_fraction(pulses=pulses)
    many = pulse_withstand_fraction(pulses=pulses * times)
    assert 0.05 <= many <= few <= 0.48


def test_a_short_that_the_fuse_does_not_notice_has_no_margin():
    margin = wire_margin_fraction(BLADE, area_m2=1e-6, currents_a=[12.0, 200.0])
    assert margin == -math.inf


def test_a_warm_wire_melts_sooner():
    cool, warm = (
        wire_margin_fraction(BLADE, area_m2=1e-6, currents_a=[60.0, 200.0], wire_degc=degc)
        for degc in (25.0, 75.0)
    )
    assert warm < cool < 1.0
    room = [math.log10(1 + (1083 - degc) / (234 + degc)) for degc in (25.0, 75.0)]
    assert (1 - warm) / (1 - cool) == pytest.approx(room[0] / room[1])


def test_thin_wire_melts_before_a_large_fuse_opens():
    large = replace(BLADE, rated_a=40.0)
    thin = wire_margin_fraction(large, area_m2=0.05e-6, currents_a=[60.0, 200.0])
    thick = wire_margin_fraction(large, area_m2=5e-6, currents_a=[60.0, 200.0])
    assert thin < 0 < thick + 1


def test_the_short_circuit_ends_are_ohms_law():
    found = short_circuit_a(lowest_v=9.0, highest_v=12.6, highest_ohm=0.18, lowest_ohm=0.06)
    assert (found.least_a, found.most_a) == (pytest.approx(50.0), pytest.approx(210.0))
    with pytest.raises(OutOfRangeError, match="short circuit needs"):
        short_circuit_a(lowest_v=13.0, highest_v=12.6, highest_ohm=0.18, lowest_ohm=0.06)


@given(st.floats(1e-8, 1e-5), st.floats(1, 1e4), st.floats(0, 80))
def test_twice_the_current_melts_in_a_quarter_of_the_time(area, amps, ambient):
    one = time_melting_wire_onderdonk(area_m2=area, current_a=amps, ambient_degc=ambient)
    two = time_melting_wire_onderdonk(area_m2=area, current_a=2 * amps, ambient_degc=ambient)
    thick = time_melting_wire_onderdonk(area_m2=2 * area, current_a=2 * amps, ambient_degc=ambient)
    assert one == pytest.approx(4 * two)
    assert one == pytest.approx(thick)


def test_what_makes_no_sense_is_refused():
    with pytest.raises(OutOfRangeError, match="current_a is -1"):
        opening_time(BLADE, current_a=-1.0)
    with pytest.raises(OutOfRangeError, match="area_m2 and current_a"):
        time_melting_wire_onderdonk(area_m2=1e-6, current_a=0.0)
    with pytest.raises(OutOfRangeError, match="ambient_degc is 2000"):
        time_melting_wire_onderdonk(area_m2=1e-6, current_a=1.0, ambient_degc=2000.0)
    with pytest.raises(OutOfRangeError, match="pulses is 0"):
        pulse_withstand_fraction(pulses=0)
