"""What the firmware is given: raised together by the error of a reading, order judged in counts."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.planning.gauge.adc import Adc
from packdesign.planning.gauge.divider import Divider
from packdesign.planning.gauge.firmware import counts_at, microvolt_per_count
from packdesign.planning.gauge.judged import gauge_verdicts
from packdesign.planning.gauge.pack import GaugePack, Wished
from packdesign.planning.gauge.raised import raised_thresholds
from packdesign.planning.gauge.service import Gauge, gauge, gauge_as_json
from packdesign.planning.gauge.thresholds import thresholds
from packdesign.planning.gauge.words import raised_words, softened_words
from packdesign.planning.verdicts.verdict import Status, Verdict

ADC = Adc(name="x", bits=12, reference_v=3.3, reference_tolerance_fraction=0.01, input_max_v=3.2)
PAIR = Divider(r_top_ohm=33e3, r_bottom_ohm=10e3)


def pack_of(**changes) -> GaugePack:
    """Three made-up cells, 3.0 V empty, 4.2 V full, straight between, 0.1 ohm together."""
    facts = {
        "series": 3, "family": "nmc", "cell_full_v": 4.2, "cell_cutoff_v": 2.5,
        "open_circuit_v": lambda soc: 3.0 + 1.2 * soc, "working_a": 3.0, "peak_a": 15.0,
    }  # fmt: skip
    ohm = changes.pop("ohm", 0.1)
    resistance = {"lasting_ohm": lambda soc: ohm, "sudden_ohm": lambda soc: ohm}
    return GaugePack(**(facts | resistance | changes))


def verdict_of(found: Gauge, name: str) -> Verdict:
    return next(each for each in gauge_verdicts(found) if each.id == name)


def volts_of(found: Gauge) -> list[float]:
    return [each.loaded_v for each in found.acting.in_order]


def test_counts_round_up_and_stay_within_the_converter():
    per_count_v = 3.3 / 4095 * 4.3
    assert counts_at(pack_v=2000 * per_count_v, divider=PAIR, adc=ADC) == 2000
    assert counts_at(pack_v=2000.1 * per_count_v, divider=PAIR, adc=ADC) == 2001
    assert counts_at(pack_v=99.0, divider=PAIR, adc=ADC) == 4095
    assert microvolt_per_count(divider=PAIR, adc=ADC) == round(per_count_v * 1e6)


def test_a_device_that_reads_true_has_nothing_raised():
    plain = thresholds(pack_of())
    assert raised_thresholds(pack_of(), plain, high_v=0.0) == plain


def test_what_stands_high_enough_stays_where_it_was():
    plain = thresholds(pack_of())
    raised = raised_thresholds(pack_of(), plain, high_v=0.3)
    assert raised.hard_cut.loaded_v == pytest.approx(plain.hard_cut.loaded_v + 0.3)
    assert raised.stop == plain.stop, "9.0 V of practice against 7.8 V and 0.6 V"


def test_stop_limit_and_warning_go_up_with_a_hard_cut_that_reaches_them():
    """Floor 9.5 V by the rail; a softened start takes 0.6 V, a full one 1.2 V, a tenth 0.36 V."""
    pack = pack_of(rail_minimum_v=9.5)
    plain = thresholds(pack)
    assert [each.loaded_v for each in plain.in_order] == pytest.approx([11.06, 10.7, 10.1, 9.5])
    raised = raised_thresholds(pack, plain, high_v=0.95)
    expected = [
        10.45 + 1.1 * 1.2 + 1.1 * 0.36, 10.45 + 1.1 * 1.2, 10.45 + 1.1 * 0.6, 10.45,
    ]  # fmt: skip
    assert [each.loaded_v for each in raised.in_order] == pytest.approx(expected)


def test_the_converters_share_of_the_error_widens_no_distance():
    pack = pack_of(rail_minimum_v=9.5)
    raised = raised_thresholds(pack, thresholds(pack), high_v=0.05, error_v=0.05)
    assert raised.stop.loaded_v == pytest.approx(9.55 + 0.6)


def test_wishes_keep_a_distance_that_is_smaller_than_the_one_they_need():
    """Set 0.3 V apart where a softened start takes 0.6 V: raised as they are, and said."""
    pack = pack_of(wished=Wished(warn_v=3.6, limit_v=3.4, stop_v=2.9, hard_cut_v=2.8))
    plain = thresholds(pack)
    raised = raised_thresholds(pack, plain, high_v=0.84)
    assert plain.stop.loaded_v - plain.hard_cut.loaded_v == pytest.approx(0.3)
    assert raised.stop.loaded_v - raised.hard_cut.loaded_v == pytest.approx(1.1 * 0.3)
    found = gauge(pack, adc=ADC, divider=PAIR)
    assert verdict_of(found, "gauge_start").status is Status.CAUTION
    assert "softened" in verdict_of(found, "gauge_start").reason


@pytest.mark.parametrize(
    ("wished", "status"),
    [
        (Wished(), Status.OK),
        (Wished(limit_v=3.2, stop_v=3.0, hard_cut_v=2.5), Status.OK),
        (Wished(limit_v=2.8, stop_v=2.75, hard_cut_v=2.5), Status.CAUTION),
        (Wished(limit_v=3.2, stop_v=2.6, hard_cut_v=2.5), Status.CAUTION),
    ],
)
def test_a_start_shall_not_reach_the_hard_cut(wished: Wished, status: Status):
    """12 A through 0.1 ohm take 1.2 V at the limit, half of it at the stop."""
    found = gauge(pack_of(wished=wished), adc=ADC, divider=PAIR, calibrated_fraction=0.001)
    assert verdict_of(found, "gauge_start").status is status


@given(st.floats(2.4, 3.2), st.floats(0.0, 0.6))
def test_floor_acts_in_time_even_if_the_reading_is_high(floor_per_cell_v, high_v):
    """A reading that is high by the error still trips while the pack is at the true floor."""
    pack = pack_of(wished=Wished(hard_cut_v=floor_per_cell_v))
    raised = raised_thresholds(pack, thresholds(pack), high_v=high_v)
    counts = counts_at(pack_v=raised.hard_cut.loaded_v, divider=PAIR, adc=ADC)
    read_high = PAIR.pin_v(pack_v=3 * floor_per_cell_v + high_v) / ADC.lsb_v
    assert counts >= read_high - 1e-6


@given(
    series=st.integers(1, 7),
    ohm=st.floats(0.0, 0.3),
    working_a=st.floats(0.0, 8.0),
    more_a=st.floats(0.0, 20.0),
    tolerance=st.floats(0.0, 0.12),
    family=st.sampled_from(["nmc", "lfp", "lto"]),
    floor=st.floats(0.0, 1.0),
)
def test_in_the_device_that_reads_highest_a_start_still_leaves_the_hard_cut(
    series, ohm, working_a, more_a, tolerance, family, floor
):
    """True volts of that device: what it acts at over how much too high it reads."""
    pack = pack_of(
        series=series, ohm=ohm, working_a=working_a, peak_a=working_a + more_a, family=family,
        rail_minimum_v=series * (2.5 + floor),
    )  # fmt: skip
    plain = thresholds(pack)
    raised = raised_thresholds(pack, plain, high_v=tolerance * plain.hard_cut.loaded_v)
    _, limit_v, stop_v, cut_v = (each.loaded_v / (1 + tolerance) for each in raised.in_order)
    assert cut_v == pytest.approx(plain.hard_cut.loaded_v)
    assert limit_v - more_a * ohm >= cut_v - 1e-6
    assert stop_v - more_a * ohm / 2 >= cut_v - 1e-6


WISHES = st.one_of(st.none(), st.floats(2.0, 4.2))
OHMS = [100.0, 1e3, 4.7e3, 10e3, 33e3, 100e3, 330e3]


@given(
    bits=st.integers(6, 16),
    error_lsb=st.floats(0.0, 8.0),
    top=st.sampled_from(OHMS),
    bottom=st.sampled_from(OHMS),
    tolerance=st.floats(0.0, 0.1),
    series=st.integers(1, 7),
    ohm=st.floats(0.0, 0.4),
    more_a=st.floats(0.0, 20.0),
    wishes=st.tuples(WISHES, WISHES, WISHES, WISHES),
)
def test_counts_stand_in_order_or_a_verdict_says_why_not(
    bits, error_lsb, top, bottom, tolerance, series, ohm, more_a, wishes
):
    adc = replace(ADC, bits=bits, error_lsb=error_lsb, reference_tolerance_fraction=tolerance)
    warn, limit, stop, cut = wishes
    wished = Wished(warn_v=warn, limit_v=limit, stop_v=stop, hard_cut_v=cut)
    pack = pack_of(series=series, ohm=ohm, peak_a=3.0 + more_a, wished=wished)
    pair = Divider(r_top_ohm=top, r_bottom_ohm=bottom)
    found = gauge(pack, adc=adc, divider=pair)
    counts = [each.counts for each in found.firmware]
    apart = [upper - lower for upper, lower in pairwise(counts)]
    said = {each.id: each.status for each in gauge_verdicts(found)}
    full_pin_v = pair.pin_v(pack_v=found.thresholds.loaded_full_v)
    if min(int(full_pin_v / adc.lsb_v + 1e-6), adc.steps) < counts[0]:
        assert said["gauge_room"] in (Status.CAUTION, Status.STOP)
    if full_pin_v / adc.lsb_v < counts[2] - 1e-6:
        assert said["gauge_room"] is Status.STOP
    is_apart = min(apart) >= 2 * error_lsb
    if not is_apart:
        assert said["gauge_order"] is Status.STOP
    if said["gauge_order"] is Status.OK:
        assert is_apart
    if {said[name] for name in ("gauge_order", "gauge_room", "gauge_pin")} == {Status.OK}:
        for each in found.firmware:
            assert each.release_counts is None or each.release_counts > each.counts


def test_two_thresholds_on_one_count_are_out_of_order():
    """At 6 bits a count is 0.225 V of the pack: limit and stop, 0.06 V apart, share one."""
    pack = pack_of(wished=Wished(warn_v=3.5, limit_v=3.03, stop_v=3.01, hard_cut_v=2.6))
    coarse = replace(ADC, bits=6, error_lsb=0.0)
    judged = verdict_of(gauge(pack, adc=coarse, divider=PAIR), "gauge_order")
    assert judged.status is Status.STOP
    assert (judged.value, judged.limit, judged.unit) == (0.0, 1.0, "counts")
    fine = verdict_of(gauge(pack, adc=replace(ADC, bits=12), divider=PAIR), "gauge_order")
    assert fine.status is Status.OK


def test_two_thresholds_within_the_error_of_two_readings_are_out_of_order():
    pack = pack_of(wished=Wished(warn_v=3.5, limit_v=3.02, stop_v=3.0, hard_cut_v=2.6))
    # 0.06 V are 17 counts of 3.47 mV: out of order only where two readings differ by more.
    for error_lsb, status in ((7.0, Status.OK), (9.0, Status.STOP)):
        found = gauge(pack, adc=replace(ADC, error_lsb=error_lsb), divider=PAIR)
        assert verdict_of(found, "gauge_order").status is status


def test_the_order_is_judged_once_calibrated_too():
    """Raised, the stop stands above the hard cut; the plain counts share one."""
    pack = pack_of(wished=Wished(warn_v=3.6, limit_v=3.4, stop_v=2.8, hard_cut_v=2.8))
    found = gauge(pack, adc=ADC, divider=PAIR)
    assert verdict_of(found, "gauge_order").status is Status.STOP


def test_a_warning_raised_above_the_full_pack_is_said_and_a_stop_above_it_stops():
    rough = replace(ADC, reference_tolerance_fraction=0.1)
    fits = gauge(pack_of(rail_minimum_v=9.0), adc=replace(rough, reference_tolerance_fraction=0.0))
    assert verdict_of(fits, "gauge_room").status is Status.OK
    low = verdict_of(gauge(pack_of(rail_minimum_v=9.0), adc=rough), "gauge_room")
    assert low.status is Status.CAUTION
    assert "may fall to" in low.reason
    assert "calibrate each device" in low.fix
    none = verdict_of(gauge(pack_of(rail_minimum_v=11.2), adc=rough), "gauge_room")
    assert none.status is Status.STOP
    assert "stops with a full pack" in none.fix


def test_what_is_said_names_the_volts_and_the_current_of_a_start():
    found = gauge(pack_of(rail_minimum_v=9.5), adc=ADC, divider=PAIR)
    stop, cut = found.firmware[2], found.firmware[3]
    assert f"stop to {stop.acts_v:.2f} V ({stop.plain_counts} without)" in raised_words(found)
    assert f"hard cut to {cut.acts_v:.2f} V" in raised_words(found)
    assert "no start draw more than 9 A" in softened_words(found)
    gentle = gauge(pack_of(peak_a=3.5), adc=ADC, divider=PAIR)
    assert softened_words(gentle) == ""


def test_the_volts_of_a_count_are_told():
    found = gauge(pack_of(), adc=ADC, divider=PAIR)
    for told, each in zip(gauge_as_json(found)["thresholds"], found.firmware, strict=True):
        assert told["acts_v"] == pytest.approx(each.counts * 3.3 / 4095 * 4.3)
        assert told["acts_v"] >= told["loaded_v"] - 1e-9
