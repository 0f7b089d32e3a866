"""How the driver feeds the motor: duty over time, limits, and what the hand feels of it.

The chopping itself (average, ripple) is in ``pwm``; the run-up is solved in ``transient``.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

import numpy as np

from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "RAMP_DOWN_SHARE",
    "Decay",
    "Drive",
    "DutyProfile",
    "RampShape",
    "ramp_for_reaction_s",
]

RAMP_DOWN_SHARE: Final = 0.5
"""Ramp down in half the time of the ramp up (common practice for hand-held spinning things, no
source)."""
_SMOOTH_POINTS: Final = 17
_SHARP_BEND: Final = 0.3
_INSTANT_S: Final = 1e-9
"""Anything shorter is a step."""


class Decay(StrEnum):
    """Where the motor's current goes while the switch is off."""

    DIODE = "diode"
    """Through a freewheel diode: the motor cannot push current back; it coasts."""
    SYNCHRONOUS = "synchronous"
    """Through the other switch, always on when the first is off: the motor can brake and give
    back."""


class RampShape(StrEnum):
    """How the duty rises between its ends."""

    STRAIGHT = "straight"
    SMOOTH = "smooth"
    """Slow at both ends (3 u^2 - 2 u^3): a soft start."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DutyProfile:
    """Duty over time as straight pieces between corners; two corners at one time are a step."""

    time_s: tuple[float, ...]
    """Corners, never falling, from 0. [s]"""
    duty: tuple[float, ...]
    """Duty at each corner, -1 to 1; below zero is reverse. [-]"""

    def __post_init__(self) -> None:
        if len(self.time_s) != len(self.duty) or len(self.time_s) < 2:
            msg = f"a duty profile needs two corners or more; got {len(self.time_s)}"
            raise OutOfRangeError(msg)
        if self.time_s[0] != 0 or any(np.diff(self.time_s) < 0):
            msg = f"a duty profile starts at 0 s and never runs backwards; got {self.time_s}"
            raise OutOfRangeError(msg)
        if max(abs(duty) for duty in self.duty) > 1:
            msg = f"a duty lies between -1 and 1; got {self.duty}"
            raise OutOfRangeError(msg)

    @property
    def end_s(self) -> float:
        """Time of the last corner. [s]"""
        return self.time_s[-1]

    def stretches(self) -> tuple[tuple[tuple[float, ...], tuple[float, ...]], ...]:
        """Give the times and duties of each stretch without a step or a sharp bend. [s, -]

        A solver runs through a stretch in one go. Gentle bends, as of a soft start, do not end
        it; a change of direction does, for there the current of a diode bridge jumps.
        """
        pairs = self._pairs()
        slopes = [(last[1] - first[1]) / (last[0] - first[0]) for first, last in pairs]
        sharp = _SHARP_BEND * max((abs(slope) for slope in slopes), default=0.0)
        stretches: list[list[tuple[float, float]]] = []
        before = math.nan
        for (first, last), slope in zip(pairs, slopes, strict=True):
            goes_on = bool(stretches) and stretches[-1][-1] == first
            turns = first[1] == 0 and goes_on and stretches[-1][-2][1] * last[1] < 0
            if goes_on and not turns and abs(slope - before) <= sharp:
                stretches[-1].append(last)
            else:
                stretches.append([first, last])
            before = slope
        return tuple(
            (tuple(time for time, _ in each), tuple(duty for _, duty in each)) for each in stretches
        )

    def _pairs(self) -> list[tuple[tuple[float, float], tuple[float, float]]]:
        """Straight pieces of some length, cut where the duty passes through zero."""
        corners: list[tuple[float, float]] = []
        for time, duty in zip(self.time_s, self.duty, strict=True):
            if corners and corners[-1][1] * duty < 0 and time > corners[-1][0]:
                start, first = corners[-1]
                corners.append((start + (time - start) * first / (first - duty), 0.0))
            corners.append((time, duty))
        return [
            (first, last)
            for first, last in itertools.pairwise(corners)
            if last[0] - first[0] > _INSTANT_S
        ]

    def then(self, *, seconds: float, to_duty: float) -> DutyProfile:
        """Add a straight piece to the end; 0 s is a step.

        Parameters
        ----------
        seconds : float
            Length of the piece. [s]
        to_duty : float
            Duty at its end. [-]
        """
        return DutyProfile(time_s=(*self.time_s, self.end_s + seconds), duty=(*self.duty, to_duty))

    def cut_at(self, *, time_s: float) -> DutyProfile:
        """Let the duty fall to nothing at a time and stay there until the old end.

        Parameters
        ----------
        time_s : float
            Time of the cut. [s]
        """
        kept = [pair for pair in zip(self.time_s, self.duty, strict=True) if pair[0] < time_s]
        at_cut = float(np.interp(time_s, self.time_s, self.duty))
        corners = [*kept, (time_s, at_cut), (time_s, 0.0), (max(self.end_s, time_s), 0.0)]
        return DutyProfile(
            time_s=tuple(time for time, _ in corners), duty=tuple(duty for _, duty in corners)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Drive:
    """The driver: its ramp, its limits, its resistance."""

    duty: float = 1.0
    """Duty at the end of the ramp, -1 to 1. [-]"""
    ramp_s: float = 0.0
    """Time from rest to that duty; 0 is switched on at once. [s]"""
    ramp_down_s: float | None = None
    """Time back to nothing; None is half of ``ramp_s``. [s]"""
    shape: RampShape = RampShape.STRAIGHT
    decay: Decay = Decay.SYNCHRONOUS
    current_limit_a: float | None = None
    """The driver lowers its duty to hold the motor's current to this. [A]"""
    brake_limit_a: float | None = None
    """The same for current that brakes; None is ``current_limit_a``. [A]"""
    stall_timeout_s: float | None = None
    """The driver lets go after the shaft has stood still for this long under power. [s]"""
    driver_ohm: float = 0.0
    """Resistance in the motor's current: two switches, leads, shunt. [ohm]"""

    def __post_init__(self) -> None:
        if not -1 <= self.duty <= 1:
            msg = f"duty is {self.duty}; it must lie between -1 and 1"
            raise OutOfRangeError(msg)
        for what in ("ramp_s", "ramp_down_s", "driver_ohm"):
            value = getattr(self, what)
            if value is not None and not value >= 0:
                msg = f"{what} is {value}; it must be 0 or more"
                raise OutOfRangeError(msg)
        for what in ("current_limit_a", "brake_limit_a", "stall_timeout_s"):
            value = getattr(self, what)
            if value is not None and not value > 0:
                msg = f"{what} is {value}; it must be above 0, or left out for none"
                raise OutOfRangeError(msg)

    @property
    def braking_limit_a(self) -> float | None:
        """Limit of the current that brakes. [A]"""
        return self.current_limit_a if self.brake_limit_a is None else self.brake_limit_a

    @property
    def down_s(self) -> float:
        """Time of the ramp down. [s]"""
        return self.ramp_s * RAMP_DOWN_SHARE if self.ramp_down_s is None else self.ramp_down_s

    def with_ramp(self, ramp_s: float) -> Drive:
        """Give the same driver with another ramp up. [s]"""
        return replace(self, ramp_s=ramp_s)

    def starting(self, *, hold_s: float) -> DutyProfile:
        """Duty of a start from rest and a hold.

        Parameters
        ----------
        hold_s : float
            Time after the ramp. [s]
        """
        return self._between(0.0, self.duty, seconds=self.ramp_s, hold_s=hold_s)

    def stopping(self, *, hold_s: float) -> DutyProfile:
        """Duty of a stop from full duty, and the time to come to rest.

        Parameters
        ----------
        hold_s : float
            Time after the ramp down. [s]
        """
        return self._between(self.duty, 0.0, seconds=self.down_s, hold_s=hold_s)

    def reversing(self, *, hold_s: float) -> DutyProfile:
        """Duty from full forward to full reverse: down, up the other way, and a hold.

        Missions turn back from the standing they are in; this one, from full duty, is kept for
        published reversals to be held against.

        Parameters
        ----------
        hold_s : float
            Time after the reversal. [s]
        """
        seconds = self.down_s + self.ramp_s
        return self._between(self.duty, -self.duty, seconds=seconds, hold_s=hold_s)

    def _between(self, first: float, last: float, *, seconds: float, hold_s: float) -> DutyProfile:
        count = _SMOOTH_POINTS if self.shape is RampShape.SMOOTH and seconds > 0 else 2
        share = np.linspace(0.0, 1.0, count)
        rise = share**2 * (3 - 2 * share) if self.shape is RampShape.SMOOTH else share
        duty = first + (last - first) * rise
        profile = DutyProfile(time_s=tuple((share * seconds).tolist()), duty=tuple(duty.tolist()))
        return profile.then(seconds=hold_s, to_duty=last)


def ramp_for_reaction_s(
    *,
    output_inertia_kg_m2: float,
    output_speed_rad_per_s: float,
    load_torque_nm: float,
    limit_nm: float,
) -> float:
    """Shortest even run-up that keeps the torque on the hand under a limit. [s]

    Parameters
    ----------
    output_inertia_kg_m2 : float
        All that spins, referred to the output. [kg m2]
    output_speed_rad_per_s : float
        Speed at the end of the ramp. [rad/s]
    load_torque_nm : float
        Torque of the work meanwhile. [N m]
    limit_nm : float
        Largest torque the hand shall feel. [N m]

    Raises
    ------
    OutOfRangeError
        If the inertia is zero (there is nothing to ramp), or the work alone is beyond the limit.

    Notes
    -----
    J w / (limit - load): even acceleration from rest. A motor that lags its duty needs a little
    longer; ``backwards.shortest_ramp`` finds that from the transient.

    Examples
    --------
    >>> ramp_for_reaction_s(
    ...     output_inertia_kg_m2=0.01, output_speed_rad_per_s=100, load_torque_nm=0.5, limit_nm=1.5
    ... )
    1.0
    """
    if output_inertia_kg_m2 <= 0:
        msg = (
            f"the inertia is {output_inertia_kg_m2} kg m2; a ramp spreads out an inertia, so it "
            "must be above 0: give the mass and size of what spins"
        )
        raise OutOfRangeError(msg)
    room_nm = limit_nm - load_torque_nm
    if room_nm <= 0:
        msg = (
            f"the work alone twists the hand with {load_torque_nm:g} N m, the limit is "
            f"{limit_nm:g} N m; no ramp helps: add a side handle, a torque arm or a clutch"
        )
        raise OutOfRangeError(msg)
    return output_inertia_kg_m2 * output_speed_rad_per_s / room_nm
