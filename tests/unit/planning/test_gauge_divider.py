"""Choice of resistors, the input of each controller, the error budget and the whole gauge."""

from __future__ import annotations

import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.data.controllers import controller_rows, load_controllers
from packdesign.foundation.errors import OutOfRangeError, UnknownNameError
from packdesign.planning.gauge.adc import DEFAULT_SOURCE_OHM, Adc, adc_from_controller, best_adc
from packdesign.planning.gauge.divider import Divider, choose_divider
from packdesign.planning.gauge.error_budget import error_budget
from packdesign.planning.gauge.judged import gauge_verdicts
from packdesign.planning.gauge.pack import GaugePack, Wished
from packdesign.planning.gauge.preferred import E24, preferred_ohm
from packdesign.planning.gauge.service import drain_days, gauge, gauge_as_json
from packdesign.planning.verdicts.verdict import Status

CONTRACT_KEYS = [
    "full_v", "warn_v", "limit_v", "stop_v", "hard_cut_v", "r_top_ohm", "r_bottom_ohm",
]  # fmt: skip


def adc_of(**changes) -> Adc:
    facts = {
        "name": "x", "bits": 12, "reference_v": 3.3, "reference_tolerance_fraction": 0.005,
        "input_max_v": 3.28,
    }  # fmt: skip
    return Adc(**(facts | changes))


def pack_of(**changes) -> GaugePack:
    facts = {
        "series": 3, "family": "nmc", "cell_full_v": 4.2, "cell_cutoff_v": 2.5,
        "open_circuit_v": lambda soc: 3.0 + 1.2 * soc, "working_a": 3.0, "peak_a": 10.0,
    }  # fmt: skip
    ohm = changes.pop("ohm", 0.05)
    resistance = {"lasting_ohm": lambda soc: ohm, "sudden_ohm": lambda soc: ohm}
    return GaugePack(**(facts | resistance | changes))


@given(st.floats(3.0, 60.0), st.floats(1.0, 5.0), st.sampled_from(["E24", "E96"]))
def test_chosen_pair_keeps_every_promise(highest_v, input_max_v, series):
    adc = adc_of(input_max_v=input_max_v, reference_v=input_max_v)
    pair = choose_divider(highest_v=highest_v, adc=adc, series=series)
    assert pair.highest_pin_v(pack_v=highest_v) <= input_max_v
    assert pair.source_ohm <= DEFAULT_SOURCE_OHM
    assert {pair.r_top_ohm, pair.r_bottom_ohm} <= set(preferred_ohm(series).tolist())


def test_no_other_pair_of_the_series_drains_less_with_the_same_range():
    """Against a plain search over every pair, written the slow way."""
    adc, highest_v = adc_of(), 13.23
    chosen = choose_divider(highest_v=highest_v, adc=adc)
    values = [round(v * 10.0**d, 3) for d in range(2, 7) for v in E24]
    pairs = [Divider(r_top_ohm=top, r_bottom_ohm=bottom) for top in values for bottom in values]
    good = [
        pair
        for pair in pairs
        if pair.highest_pin_v(pack_v=highest_v) <= 3.28 and pair.source_ohm <= DEFAULT_SOURCE_OHM
    ]
    best = max(pair.ratio_fraction for pair in good)
    kept = [pair for pair in good if pair.ratio_fraction >= 0.95 * best]
    assert chosen.drain_a(pack_v=12.6) == pytest.approx(min(p.drain_a(pack_v=12.6) for p in kept))


def test_drain_and_impedance_may_contradict_each_other():
    with pytest.raises(OutOfRangeError, match="buffer the divider"):
        choose_divider(highest_v=13.2, adc=adc_of(), most_drain_a=10e-6)


def test_unknown_series_names_the_known():
    with pytest.raises(UnknownNameError, match="no resistor series named 'E25'"):
        preferred_ohm("E25")


@pytest.mark.parametrize(("top", "bottom"), [(-1.0, 10.0), (10.0, 0.0)])
def test_senseless_resistors_are_refused(top, bottom):
    with pytest.raises(OutOfRangeError, match="a divider needs"):
        Divider(r_top_ohm=top, r_bottom_ohm=bottom)


@pytest.mark.parametrize(
    ("changes", "message"),
    [({"bits": 3}, "bits must be 6 to 24"), ({"reference_v": 0.0}, "must be above 0")],
)
def test_senseless_inputs_are_refused(changes, message):
    with pytest.raises(OutOfRangeError, match=message):
        adc_of(**changes)


def test_every_row_with_bits_makes_an_input_and_the_others_say_why_not():
    made = 0
    for row in load_controllers():
        if row.bits is None:
            with pytest.raises(OutOfRangeError, match="gives no bits"):
                adc_from_controller(row, supply_v=3.3)
            continue
        adc = adc_from_controller(row, supply_v=3.3)
        assert 0 <= adc.input_min_v < adc.input_max_v <= adc.reference_v
        made += 1
    assert made > 10


def test_bandgap_of_the_avr_is_nine_percent_off_and_cannot_carry_thresholds_uncalibrated():
    # ATmega328PB DS40001906C table 33-6: 1.0, 1.1, 1.2 V.
    row = next(r for r in load_controllers() if r.controller.startswith("ATmega328P/"))
    adc = adc_from_controller(row, supply_v=5.0)
    assert adc.reference_tolerance_fraction == pytest.approx(0.1 / 1.1)
    by_id = {v.id: v for v in gauge_verdicts(gauge(pack_of(), adc=adc))}
    assert by_id["gauge_error"].status is Status.CAUTION
    assert "Calibrate" in by_id["gauge_error"].fix
    closer = gauge(pack_of(), adc=adc, calibrated_fraction=0.005)
    assert {v.status for v in gauge_verdicts(closer)} == {Status.OK}


def test_attenuated_input_counts_in_millivolts_of_its_driver():
    # ESP-IDF v4.4 ADC page: 11 dB, usable 0.150 to 2.450 V.
    rows = [r for r in load_controllers() if r.controller == "ESP32" and r.usable_high_v == 2.45]
    adc = adc_from_controller(rows[0], supply_v=3.3)
    assert adc.reads_millivolt
    assert adc.lsb_v == pytest.approx(0.001)
    found = gauge_as_json(gauge(pack_of(), adc=adc, calibrated_fraction=0.01))
    assert found["count_unit"] == "millivolt at the pin"


def test_rss_never_exceeds_the_worst_case_and_calibration_replaces_the_gain_errors():
    pair = Divider(r_top_ohm=33e3, r_bottom_ohm=10e3)
    adc = adc_of(leakage_a=1e-6, input_ohm=100e3)
    plain = error_budget(divider=pair, adc=adc, pack_v=12.6)
    assert plain.rss_v < plain.worst_v
    # 1 uA through 7.67 k is 7.67 mV at the pin, 33 mV at the pack; 7.67 k against 100 k is 7.1 %.
    assert plain.loading_v == pytest.approx(0.033 + 12.6 * 7674.4 / 107674.4, abs=1e-3)
    calibrated = error_budget(divider=pair, adc=adc, pack_v=12.6, calibrated_fraction=0.01)
    assert calibrated.worst_v == pytest.approx(0.126 + calibrated.converter_v)


def test_gauge_as_json_begins_with_the_contract_and_holds_plain_values():
    found = gauge_as_json(gauge(pack_of(), adc=adc_of()))
    assert list(found)[: len(CONTRACT_KEYS)] == CONTRACT_KEYS
    again = json.loads(json.dumps(found, allow_nan=False))
    assert again == found
    assert found["full_v"] > found["warn_v"] > found["limit_v"] > found["stop_v"]
    assert found["stop_v"] > found["hard_cut_v"] >= 7.5
    assert all(isinstance(each["counts"], int) for each in found["thresholds"])
    counts = [each["counts"] for each in found["thresholds"]]
    assert counts == sorted(counts, reverse=True)


def test_a_divider_that_exists_is_judged_and_not_replaced():
    pair = Divider(r_top_ohm=10e3, r_bottom_ohm=10e3)
    found = gauge(pack_of(), adc=adc_of(), divider=pair)
    assert found.divider is pair
    by_id = {v.id: v.status for v in gauge_verdicts(found)}
    assert by_id["gauge_pin"] is Status.STOP


def test_high_resistors_break_the_source_limit():
    pair = Divider(r_top_ohm=330e3, r_bottom_ohm=100e3)
    by_id = {v.id: v.status for v in gauge_verdicts(gauge(pack_of(), adc=adc_of(), divider=pair))}
    assert by_id["gauge_source"] is Status.CAUTION


def test_a_pack_that_sags_too_much_has_no_room_for_thresholds():
    def room(**changes) -> Status:
        by_id = {v.id: v.status for v in gauge_verdicts(gauge(pack_of(**changes), adc=adc_of()))}
        return by_id["gauge_room"]

    # 9.6 V full under its load, a warning at 9.9 V; with a start of 12 A the stop is there too.
    assert room(ohm=0.6, working_a=5.0, peak_a=5.5) is Status.CAUTION
    assert room(ohm=0.6, working_a=5.0, peak_a=12.0) is Status.STOP


def test_wishes_below_the_floor_or_out_of_order_are_stopped():
    low = gauge(pack_of(wished=Wished(hard_cut_v=2.0)), adc=adc_of())
    assert {v.id: v.status for v in gauge_verdicts(low)}["gauge_floor"] is Status.STOP
    mixed = gauge(pack_of(wished=Wished(warn_v=3.0, stop_v=3.3)), adc=adc_of())
    assert {v.id: v.status for v in gauge_verdicts(mixed)}["gauge_order"] is Status.STOP


def test_days_until_the_divider_has_taken_a_twentieth():
    pair = Divider(r_top_ohm=10e3, r_bottom_ohm=4.7e3)
    found = gauge(pack_of(), adc=adc_of(input_max_v=5.0, reference_v=5.0), divider=pair)
    # 20.57 mAh a day out of 5 % of 2.2 Ah = 110 mAh.
    assert drain_days(found, capacity_ah=2.2) == pytest.approx(110 / 20.571, rel=1e-3)
    assert math.isfinite(found.error.worst_v)


def test_best_setting_of_a_controller():
    def best(controller: str) -> Adc:
        return best_adc(controller_rows(controller), supply_v=3.3)

    assert best("STM32F103").max_source_ohm == 50_000.0
    assert best("ESP32").input_max_v == 2.45
    assert best("RP2040").input_ohm == 100_000.0
    with pytest.raises(UnknownNameError, match="no controller named 'STM32F301'; nearest"):
        best("STM32F301")
    with pytest.raises(OutOfRangeError, match="gives no bits for AVR Dx"):
        best("AVR Dx")
