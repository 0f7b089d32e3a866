"""Whether a fuse lives through the work: its rms current, its starts and its longest overloads."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from packdesign.data.fuses import Fuse
from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.demand.worst_window import worst_window_rms_a
from packdesign.engineering.electrical.fuse import (
    allowed_steady_a,
    pulse_margin_fraction,
)
from packdesign.engineering.electrical.fuse_opening import moved_rating_fraction, opening_time
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["FUSE_SETTLES_S", "FuseHold", "fuse_hold"]

FUSE_SETTLES_S: Final = 600.0
"""Time in which a fuse settles, over which a load counts as steady: by then a blade fuse has opened
for certain at 135 % (its gates); own choice for all fuses. [s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseHold:
    """Room that a fuse leaves over a mission; each a fraction, negative is beyond."""

    rms_a: float
    """Rms current over the hardest ten minutes of the mission. [A]"""
    allowed_a: float
    """What the fuse should carry for good. [A]"""
    steady_margin_fraction: float
    """1 - rms / allowed. [-]"""
    overload_margin_fraction: float
    """1 - longest time at or above a current / shortest opening time at it, at the worst current
    above the rating; 1 where nothing is above it, minus infinity where the sheet promises nothing
    there. [-]"""
    pulse_margin_fraction: float | None
    """1 - heating of the worst overload / what one pulse may have; 1 where there is none, None
    where the sheet does not say. [-]"""

    @property
    def holds(self) -> bool | None:
        """Whether the fuse holds; None where only the pulse is unknown."""
        known = [self.steady_margin_fraction, self.overload_margin_fraction]
        if self.pulse_margin_fraction is not None:
            known.append(self.pulse_margin_fraction)
        if min(known) < 0:
            return False
        return None if self.pulse_margin_fraction is None else True


def fuse_hold(
    fuse: Fuse,
    *,
    duration_s: FloatArray,
    current_a: FloatArray,
    missions: float,
    ambient_degc: float = 25.0,
    repeats: bool = True,
    rms_a: float | None = None,
) -> FuseHold:
    """Hold a fuse against a mission of pieces of constant current.

    Parameters
    ----------
    fuse : Fuse
        With its gates.
    duration_s, current_a : array
        Pieces of the mission in their order. Shape (m,). [s], [A]
    missions : float
        How often the mission is done in the life of the fuse, 1 or more. [-]
    ambient_degc : float
        Air beside the fuse. [degC]
    repeats : bool
        Whether the mission begins again when it is over. [-]
    rms_a : float or None
        Rms current of its hardest ten minutes, where that is known better; None: of these pieces.
        [A]

    Returns
    -------
    FuseHold
        Three margins.

    Raises
    ------
    OutOfRangeError
        If the mission is empty, a piece has no length, or the fuse is too hot for its figures.

    Notes
    -----
    An overload is a run of pieces above the rating, lowered for warmth. Its time is judged against
    the shortest opening time at its smallest current too, for a long mild overload opens a fuse as
    a short strong one does. Steady limit and opening times are lowered for warmth; the melting I2t
    of a sheet is not, for it depends little on the air (makers' guides, from memory).

    Examples
    --------
    A 10 A blade with a start of 25 A for 0.05 s, then 4 A for a minute, ten thousand times:

    >>> from packdesign.data.fuses import load_fuses
    >>> blade = next(each for each in load_fuses() if each.name == "ATO 257/287 10 A")
    >>> hold = fuse_hold(blade, duration_s=np.array([0.05, 60.0]), current_a=np.array([25.0, 4.0]),
    ...     missions=10_000)
    >>> hold.holds, round(hold.steady_margin_fraction, 2)
    (False, 0.45)
    """
    if len(duration_s) == 0 or len(duration_s) != len(current_a) or np.min(duration_s) <= 0:
        msg = "a mission needs as many currents as durations, 1 or more, each longer than 0 s"
        raise OutOfRangeError(msg)
    rms = rms_a
    if rms is None:
        rms = worst_window_rms_a(
            duration_s=duration_s, current_a=current_a, at_least_s=FUSE_SETTLES_S, repeats=repeats
        )
    allowed = allowed_steady_a(fuse, ambient_degc=ambient_degc)
    rated_a = fuse.rated_a * moved_rating_fraction(fuse, ambient_degc=ambient_degc)
    runs = _overloads(rated_a, duration_s, current_a)
    overload, pulse = 1.0, 1.0
    unknown = False
    for times, amps in runs:
        overload = min(overload, _time_margin(fuse, times, amps, ambient_degc=ambient_degc))
        found = pulse_margin_fraction(
            fuse,
            peak_a=float(np.max(amps)),
            i2t_a2s=float(np.sum(amps**2 * times)),
            pulses=missions * len(runs),
            ambient_degc=ambient_degc,
        )
        unknown = unknown or found is None
        pulse = min(pulse, 1.0 if found is None else found)
    return FuseHold(
        rms_a=rms,
        allowed_a=allowed,
        steady_margin_fraction=1 - rms / allowed,
        overload_margin_fraction=overload,
        pulse_margin_fraction=None if unknown and pulse >= 0 else pulse,
    )


def _overloads(
    rated_a: float, duration_s: FloatArray, current_a: FloatArray
) -> list[tuple[FloatArray, FloatArray]]:
    """Runs of pieces above the rating, each as times and currents."""
    above = np.concatenate([[False], np.abs(current_a) > rated_a, [False]])
    starts = np.flatnonzero(above[1:] & ~above[:-1])
    ends = np.flatnonzero(above[:-1] & ~above[1:])
    return [
        (duration_s[start:end], np.abs(current_a[start:end]))
        for start, end in zip(starts, ends, strict=True)
    ]


def _time_margin(fuse: Fuse, times: FloatArray, amps: FloatArray, *, ambient_degc: float) -> float:
    """Worst of 1 - time at or above a current / shortest opening time at that current."""
    worst = 1.0
    for level in np.unique(amps):
        lasts = opening_time(fuse, current_a=float(level), ambient_degc=ambient_degc).shortest_s
        used = float(np.sum(times[amps >= level]))
        worst = min(worst, 1 - used / lasts if lasts > 0 else -math.inf)
    return worst
