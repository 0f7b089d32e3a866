"""A capacitor at the pin trades time for impedance."""

from __future__ import annotations

import math

import pytest

from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.gauge.adc import Adc
from packdesign.planning.gauge.divider import choose_divider
from packdesign.planning.gauge.sampling import (
    adc_with_capacitor,
    least_capacitor_f,
    sampling_source_ohm,
)

ADC = Adc(name="x", bits=10, reference_v=1.1, reference_tolerance_fraction=0.01, input_max_v=1.05)


def test_capacitor_allows_what_the_interval_allows():
    slow = adc_with_capacitor(ADC, capacitor_f=100e-9, interval_s=1.0)
    # exp(-t / RC) must fall to 2^-12 within the second.
    assert math.exp(-1.0 / (slow.max_source_ohm * 100e-9)) == pytest.approx(2**-12)
    fast = adc_with_capacitor(ADC, capacitor_f=100e-9, interval_s=1e-3)
    assert fast.max_source_ohm == ADC.max_source_ohm


def test_capacitor_cuts_the_drain():
    slow = adc_with_capacitor(ADC, capacitor_f=100e-9, interval_s=0.5)
    plain = choose_divider(highest_v=13.2, adc=ADC).drain_a(pack_v=12.6)
    assert choose_divider(highest_v=13.2, adc=slow).drain_a(pack_v=12.6) < plain / 20


def test_a_small_capacitor_changes_nothing():
    # 14 pF x 2^11 = 28.7 nF.
    assert least_capacitor_f(ADC) == pytest.approx(28.7e-9, rel=1e-3)
    assert adc_with_capacitor(ADC, capacitor_f=28e-9, interval_s=1.0) is ADC
    assert adc_with_capacitor(ADC, capacitor_f=29e-9, interval_s=1.0) is not ADC


def test_no_time_is_refused():
    with pytest.raises(OutOfRangeError, match="above 0"):
        sampling_source_ohm(sample_s=0.0, sample_cap_f=8e-12, bits=12)
