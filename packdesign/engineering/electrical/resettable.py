"""A resettable fuse (PTC) in its surroundings: what it holds, what trips it, and how soon.

It trips by its own heat, so warm air takes from both currents. Tripped, it stays warm and lets a
little through; it is no switch, and a short circuit beyond its printed current can set it alight.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from packdesign.data.fuses import ResettableFuse
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["HOLD_SOURCE", "held_fraction", "trip_i2t_a2s", "warms_up_s"]

_HELD: Final = (
    (-40.0, 1.5), (0.0, 1.18), (23.0, 1.0), (40.0, 0.81), (60.0, 0.63), (85.0, 0.41),
)  # fmt: skip
HOLD_SOURCE: Final = "shape of the makers' derating charts for radial PTC fuses, from memory"


def held_fraction(*, ambient_degc: float) -> float:
    """Share of its hold and trip current that a resettable fuse keeps in air so warm. [-]

    Parameters
    ----------
    ambient_degc : float
        Air beside it, up to 85. [degC]

    Returns
    -------
    float
        1 at 23 degC, more in the cold. [-]

    Raises
    ------
    OutOfRangeError
        If the air is hotter than the charts reach.

    Notes
    -----
    Straight between points recalled from makers' charts for parts rated to 85 degC; parts made for
    125 degC lose less. Below -40 degC the last point is kept.

    Examples
    --------
    >>> round(held_fraction(ambient_degc=50.0), 2)
    0.72
    """
    degc, share = zip(*_HELD, strict=True)
    if ambient_degc > degc[-1]:
        msg = (
            f"ambient_degc is {ambient_degc}; figures of resettable fuses end at {degc[-1]:g} degC"
        )
        raise OutOfRangeError(msg)
    return float(np.interp(ambient_degc, degc, share))


def trip_i2t_a2s(fuse: ResettableFuse, *, current_a: float) -> float | None:
    """Longest heating that a fuse lets through until it trips. [A2 s]

    Parameters
    ----------
    fuse : ResettableFuse
        With its test current and the longest time to trip at it.
    current_a : float
        Current that flows. [A]

    Returns
    -------
    float or None
        That of the test for any larger current; None for a smaller one, or without a test. [A2 s]

    Notes
    -----
    Above the test current the fuse has less time to lose heat, so the heating to trip it can only
    fall.

    Examples
    --------
    >>> from packdesign.data.fuses import load_resettable_fuses
    >>> fuse = next(each for each in load_resettable_fuses() if each.name == "MF-R 2.5 A")
    >>> round(trip_i2t_a2s(fuse, current_a=100.0))
    1609
    """
    test_a, longest_s = fuse.trip_test_a, fuse.trip_time_longest_s
    if test_a is None or longest_s is None or current_a < test_a:
        return None
    return test_a**2 * longest_s


def warms_up_s(fuse: ResettableFuse) -> float | None:
    r"""Time in which a fuse follows the heat of its current. [s]

    Parameters
    ----------
    fuse : ResettableFuse
        With its test current and the longest time to trip at it.

    Returns
    -------
    float or None
        None without a test. [s]

    Notes
    -----
    :math:`\tau = I_t^2 t / I_{trip}^2`: one body that stores in the test, which is too short to
    lose heat, what trips it, and gives off at its trip current what then flows into it for good. A
    part that trips at less gives off less and is slower, so this is the short side of a body that
    takes the longest time printed. Derived here; resistance taken as even until it trips.

    Examples
    --------
    >>> from packdesign.data.fuses import load_resettable_fuses
    >>> fuse = next(each for each in load_resettable_fuses() if each.name == "MF-R 2.5 A")
    >>> round(warms_up_s(fuse))
    64
    """
    test_a, longest_s = fuse.trip_test_a, fuse.trip_time_longest_s
    if test_a is None or longest_s is None:
        return None
    return test_a**2 * longest_s / fuse.trip_a**2
