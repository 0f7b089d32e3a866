"""How hard a pulse of current is on a fuse: its I2t, and how much of it a fuse stands how often."""

from __future__ import annotations

import math
from enum import StrEnum
from typing import Final

from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "PULSE_WITHSTAND",
    "PulseShape",
    "pulse_i2t_a2s",
    "pulse_withstand_fraction",
    "trapezoid_i2t_a2s",
]


class PulseShape(StrEnum):
    """Shape of a pulse of current between nothing and its peak."""

    SQUARE = "square"
    RAMP = "ramp"
    """Straight up or down; a triangle is two of them."""
    HALF_SINE = "half sine"
    EXPONENTIAL = "exponential"
    """Falling from its peak; its duration is the time constant."""
    PARABOLA = "parabola"


_SHAPE_FACTOR: Final = {
    PulseShape.SQUARE: 1.0,
    PulseShape.RAMP: 1 / 3,
    PulseShape.HALF_SINE: 1 / 2,
    PulseShape.EXPONENTIAL: 1 / 2,
    PulseShape.PARABOLA: 1 / 5,
}

PULSE_WITHSTAND: Final = ((100, 0.48), (1_000, 0.38), (10_000, 0.29), (100_000, 0.22))
"""Pulses in the life of a fuse, and the share of its nominal melting I2t that one may have.

Littelfuse, Fuse and Mounting catalogue, page 12; at least 10 s between pulses.
"""


def pulse_i2t_a2s(*, shape: PulseShape, peak_a: float, duration_s: float) -> float:
    r"""Heating of a pulse, the integral of the current squared. [A2 s]

    Parameters
    ----------
    shape : PulseShape
        Its shape.
    peak_a : float
        Largest current. [A]
    duration_s : float
        Length, zero or more; the time constant of an exponential. [s]

    Returns
    -------
    float
        :math:`\int i^2 dt`. [A2 s]

    Raises
    ------
    OutOfRangeError
        If the duration is negative.

    Notes
    -----
    Peak squared times duration times 1 (square), 1/3 (ramp), 1/2 (half sine, exponential) or 1/5
    (parabola): Littelfuse, Fuse and Mounting catalogue, page 12; each is the integral itself.

    Examples
    --------
    >>> pulse_i2t_a2s(shape=PulseShape.HALF_SINE, peak_a=20.0, duration_s=0.1)
    20.0
    """
    if duration_s < 0:
        msg = f"duration_s is {duration_s}; it must be 0 or more"
        raise OutOfRangeError(msg)
    return _SHAPE_FACTOR[shape] * peak_a**2 * duration_s


def trapezoid_i2t_a2s(*, start_a: float, end_a: float, duration_s: float) -> float:
    r"""Heating of a current that runs straight from one value to another. [A2 s]

    Parameters
    ----------
    start_a, end_a : float
        Current at both ends. [A]
    duration_s : float
        Length, zero or more. [s]

    Returns
    -------
    float
        :math:`(i_1^2 + i_1 i_2 + i_2^2) t / 3`. [A2 s]

    Raises
    ------
    OutOfRangeError
        If the duration is negative.

    Notes
    -----
    Littelfuse, Fuse and Mounting catalogue, page 12. A motor start is one from stall to running.

    Examples
    --------
    >>> trapezoid_i2t_a2s(start_a=30.0, end_a=6.0, duration_s=0.5)
    186.0
    """
    if duration_s < 0:
        msg = f"duration_s is {duration_s}; it must be 0 or more"
        raise OutOfRangeError(msg)
    return (start_a**2 + start_a * end_a + end_a**2) * duration_s / 3


def pulse_withstand_fraction(*, pulses: float) -> float:
    """Share of the melting I2t that one pulse may have, for a number of pulses in all. [-]

    Parameters
    ----------
    pulses : float
        Pulses over the life of the fuse, 1 or more. [-]

    Returns
    -------
    float
        Share. [-]

    Raises
    ------
    OutOfRangeError
        If there is less than one pulse.

    Notes
    -----
    `PULSE_WITHSTAND` straight over the logarithm of the count; up to 100 pulses the share of 100;
    beyond 100 000 the last slope is drawn on, which is an assumption, down to 0.05.

    Examples
    --------
    >>> pulse_withstand_fraction(pulses=10_000)
    0.29
    """
    if pulses < 1:
        msg = f"pulses is {pulses}; it must be 1 or more"
        raise OutOfRangeError(msg)
    counts, shares = zip(*PULSE_WITHSTAND, strict=True)
    if pulses <= counts[0]:
        return float(shares[0])
    index = next((i for i, count in enumerate(counts) if pulses <= count), len(counts) - 1)
    low, high = counts[index - 1], counts[index]
    along = math.log(pulses / low) / math.log(high / low)
    return max(shares[index - 1] + along * (shares[index] - shares[index - 1]), 0.05)
