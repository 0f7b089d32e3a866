"""How much of its melting I2t a fuse stands how often."""

from __future__ import annotations

import math
from typing import Final

from packdesign.foundation.errors import OutOfRangeError

__all__ = ["PULSE_WITHSTAND", "pulse_withstand_fraction"]

PULSE_WITHSTAND: Final = ((100, 0.48), (1_000, 0.38), (10_000, 0.29), (100_000, 0.22))
"""Pulses in the life of a fuse, and the share of its nominal melting I2t that one may have.

Littelfuse, Fuse and Mounting catalogue, page 12; at least 10 s between pulses.
"""


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
