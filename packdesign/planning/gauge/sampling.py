"""How high the impedance ahead of a converter may be, without and with a capacitor at the pin."""

from __future__ import annotations

import math
from dataclasses import replace

from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.gauge.adc import Adc

__all__ = ["adc_with_capacitor", "least_capacitor_f", "sampling_source_ohm"]


def sampling_source_ohm(
    *, sample_s: float, sample_cap_f: float, bits: int, switch_ohm: float = 0.0
) -> float:
    r"""Highest source impedance from which a sampling capacitor settles to a quarter step. [ohm]

    Parameters
    ----------
    sample_s : float
        Time of sampling. [s]
    sample_cap_f : float
        Capacitor that has to be charged. [F]
    bits : int
        Bits of the converter. [-]
    switch_ohm : float
        Resistance of the sampling switch. [ohm]

    Returns
    -------
    float
        The highest impedance. [ohm]

    Notes
    -----
    .. math:: R = \frac{t}{C \ln 2^{N+2}} - R_{switch}

    as the STM32F103 sheet gives it [1]_.

    Examples
    --------
    The sheet's table: 55.5 cycles at 14 MHz with 8 pF and 1 kohm allow 50 kohm.

    >>> round(sampling_source_ohm(sample_s=55.5 / 14e6, sample_cap_f=8e-12, bits=12,
    ...     switch_ohm=1e3), -3)
    50000.0

    References
    ----------
    .. [1] ST, STM32F103x4/x6 data sheet, Doc ID 15060 rev 6, p.71.
    """
    if sample_s <= 0 or sample_cap_f <= 0:
        msg = f"time and capacitor must be above 0; got {sample_s} s and {sample_cap_f} F"
        raise OutOfRangeError(msg)
    return sample_s / (sample_cap_f * math.log(2 ** (bits + 2))) - switch_ohm


def least_capacitor_f(adc: Adc) -> float:
    """Smallest capacitor at the pin that one sample moves by less than half a step. [F]

    Parameters
    ----------
    adc : Adc
        The input.

    Examples
    --------
    >>> adc = Adc(name="x", bits=10, reference_v=1.1, reference_tolerance_fraction=0.0,
    ...     input_max_v=1.1)
    >>> round(least_capacitor_f(adc) * 1e9, 1)
    28.7
    """
    return float(adc.sample_cap_f * 2 ** (adc.bits + 1))


def adc_with_capacitor(adc: Adc, *, capacitor_f: float, interval_s: float) -> Adc:
    """Give the input as it is with a capacitor across the lower resistor.

    A capacitor at the pin feeds the sampling capacitor and is itself filled between readings. It
    must be so large that one sample moves it by less than half a step; the divider then has the
    whole interval to fill it again.

    Parameters
    ----------
    adc : Adc
        The input.
    capacitor_f : float
        Capacitor from the pin to ground. [F]
    interval_s : float
        Least time between two readings. [s]

    Returns
    -------
    Adc
        The same input with the impedance that the interval allows, never less than without; as it
        is where the capacitor is smaller than `least_capacitor_f`.
    """
    if capacitor_f < least_capacitor_f(adc):
        return adc
    slow_ohm = sampling_source_ohm(sample_s=interval_s, sample_cap_f=capacitor_f, bits=adc.bits)
    return replace(adc, max_source_ohm=max(adc.max_source_ohm, slow_ohm))
