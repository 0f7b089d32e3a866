"""Dividers, steps and pack voltages against published examples."""

from __future__ import annotations

import math

import pytest

from packdesign.planning.gauge.adc import Adc
from packdesign.planning.gauge.divider import Divider
from packdesign.planning.gauge.error_budget import error_budget
from packdesign.planning.gauge.pack import GaugePack
from packdesign.planning.gauge.preferred import E24, E96
from packdesign.planning.gauge.sampling import sampling_source_ohm
from packdesign.planning.gauge.thresholds import thresholds


def adc_of(**changes):
    facts = {
        "name": "x", "bits": 12, "reference_v": 3.3, "reference_tolerance_fraction": 0.0,
        "input_max_v": 3.3, "error_lsb": 0.0,
    }  # fmt: skip
    return Adc(**(facts | changes))


def test_drain_of_a_small_divider():
    # forum.arduino.cc "measuring battery left on analog pin": 10 k over 4.7 k; at 13 V 4.157 V; at
    # 12.6 V 0.857 mA, which is 20.6 mAh a day (derived).
    pair = Divider(r_top_ohm=10e3, r_bottom_ohm=4.7e3)
    assert pair.pin_v(pack_v=13.0) == pytest.approx(4.157, abs=0.001)
    assert 1000 * pair.drain_a(pack_v=12.6) == pytest.approx(0.857, abs=0.0005)
    assert pair.drain_mah_per_day(pack_v=12.6) == pytest.approx(20.6, abs=0.05)


def test_output_of_a_high_value_divider():
    # forum.arduino.cc "monitoring li-po voltage safely": 2.2 M over 560 k gives 1.0145 V at 5 V.
    pair = Divider(r_top_ohm=2.2e6, r_bottom_ohm=560e3)
    assert pair.pin_v(pack_v=5.0) == pytest.approx(1.0145, abs=0.00005)


def test_step_at_the_pack():
    # Arithmetic, printed as 3.46 mV: 3.3 V / 4095 through 33 k over 10 k. It is 3.4652 mV, so the
    # print is cut, not rounded; one unit of its last digit is allowed.
    pair = Divider(r_top_ohm=33e3, r_bottom_ohm=10e3)
    found = error_budget(divider=pair, adc=adc_of(), pack_v=12.6)
    assert 1000 * found.lsb_v == pytest.approx(3.46, abs=0.01)


def test_divider_error_worst_case_and_rss():
    # Arithmetic: 1 % parts at k = 0.2326 give 1.53 % at worst and 1.09 % root-sum-square.
    pair = Divider(r_top_ohm=33e3, r_bottom_ohm=10e3, tolerance_fraction=0.01)
    found = error_budget(divider=pair, adc=adc_of(), pack_v=12.6)
    assert pair.ratio_fraction == pytest.approx(0.2326, abs=0.00005)
    assert 100 * found.divider_v / 12.6 == pytest.approx(1.53, abs=0.006)
    assert 100 * found.divider_rss_v / 12.6 == pytest.approx(1.09, abs=0.006)


def test_loaded_pair_reads_low_by_what_was_measured():
    # A project page (durubay): 220 k over 220 k needed a factor of 2.174 instead of 2, so the pin
    # has about 1.26 Mohm (computed there).
    pair = Divider(r_top_ohm=220e3, r_bottom_ohm=220e3)
    found = error_budget(divider=pair, adc=adc_of(input_ohm=1.26e6), pack_v=4.0)
    assert 2 / (1 - found.loading_v / 4.0) == pytest.approx(2.174, abs=0.002)


def test_three_cells_full_and_warning():
    # 12.6 V full and 9.9 V at 3.3 V per cell, 9.0 V at 3.0 V: common practice, no source.
    pack = GaugePack(
        series=3, family="nmc", cell_full_v=4.2, cell_cutoff_v=2.5,
        lasting_ohm=lambda soc: 0.0, sudden_ohm=lambda soc: 0.0,
        working_a=0.0, peak_a=0.0, open_circuit_v=lambda soc: 3.0 + 1.2 * soc,
    )  # fmt: skip
    found = thresholds(pack)
    assert found.full_v == pytest.approx(12.6)
    assert found.warn.loaded_v == pytest.approx(9.9)
    assert found.stop.loaded_v == pytest.approx(9.0)
    assert found.hard_cut.loaded_v == pytest.approx(7.5)


def test_nominal_voltage_of_three_cells():
    # 11.1 V at 3.7 V per cell: common practice; the energy rules count with it.
    from packdesign.planning.hazards.transport import energy_wh

    assert energy_wh(nominal_v=3 * 3.7, capacity_ah=1.0) == pytest.approx(11.1)


def test_preferred_numbers_follow_the_rule_of_the_standard():
    # IEC 60063: E96 is 10^(i/96) to three figures. E24 is history: eight of its values differ from
    # the rule, the list here is that of IEC 60063:2015.
    rule = [round(10 ** (i / 96), 2) for i in range(96)]
    assert list(E96) == rule
    assert len(E24) == 24
    assert all(math.isclose(v, 10 ** (i / 24), rel_tol=0.05) for i, v in enumerate(E24))


def test_next_values_named_by_a_published_list():
    # Readme of a package on preferred numbers: nearest E24 to 319 is 330; next E96 from 184 is 187.
    assert min(E24, key=lambda v: abs(100 * v - 319)) == 3.3
    assert min(v for v in E96 if v >= 1.84) == 1.87


@pytest.mark.parametrize(
    ("cycles", "expected_kohm"),
    [(1.5, 0.4), (7.5, 5.9), (13.5, 11.4), (28.5, 25.2), (41.5, 37.2), (55.5, 50.0)],
)
def test_source_impedance_against_sampling_time(cycles, expected_kohm):
    # ST, STM32F103x4/x6 data sheet Doc ID 15060 rev 6 p.71: fADC 14 MHz, 8 pF, 1 kohm, 12 bits.
    found = sampling_source_ohm(sample_s=cycles / 14e6, sample_cap_f=8e-12, bits=12, switch_ohm=1e3)
    assert found / 1000 == pytest.approx(expected_kohm, abs=0.1)
