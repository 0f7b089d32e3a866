"""Torque that the load sets against the motion, as a function of speed behind the gear."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from packdesign.foundation.errors import OutOfRangeError

__all__ = ["HELD_SHAFT", "LoadTorque"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadTorque:
    """Sum of a constant, a proportional and a square part, with more to break away from rest.

    All of it opposes the motion: it never drives the motor, as a hanging weight would.
    """

    constant_nm: float = 0.0
    """The same at every speed: friction, cutting. [N m]"""
    per_rad_per_s_nm: float = 0.0
    """Rises with the speed: grease, an eddy brake. [N m s/rad]"""
    per_rad_per_s_squared_nm: float = 0.0
    """Rises with the square of the speed: air, water. [N m s2/rad2]"""
    break_away_nm: float = 0.0
    """Needed to start from rest; below ``constant_nm`` it has no effect. [N m]"""

    def __post_init__(self) -> None:
        for what in self.__slots__:
            value = getattr(self, what)
            if not (math.isfinite(value) and value >= 0):
                msg = f"load torque: {what} is {value}; it must be 0 or more"
                raise OutOfRangeError(msg)

    @classmethod
    def square_through(cls, *, torque_nm: float, speed_rad_per_s: float) -> LoadTorque:
        """Make a square law (fan, propeller, paddle) that passes through one known point.

        Parameters
        ----------
        torque_nm : float
            Torque at that speed. [N m]
        speed_rad_per_s : float
            Speed behind the gear, above zero. [rad/s]

        Examples
        --------
        >>> fan = LoadTorque.square_through(torque_nm=0.4, speed_rad_per_s=20)
        >>> fan.torque_nm(speed_rad_per_s=10)
        0.1
        """
        if speed_rad_per_s <= 0:
            msg = f"a point on a square law needs a speed above 0 rad/s; got {speed_rad_per_s}"
            raise OutOfRangeError(msg)
        return cls(per_rad_per_s_squared_nm=torque_nm / speed_rad_per_s**2)

    @property
    def extra_at_rest_nm(self) -> float:
        """Torque needed at rest beyond the constant part. [N m]"""
        return max(self.break_away_nm - self.constant_nm, 0.0)

    def torque_nm(self, *, speed_rad_per_s: float) -> float:
        """Size of the torque once the load turns. [N m]

        Parameters
        ----------
        speed_rad_per_s : float
            Speed behind the gear, either way. [rad/s]
        """
        speed = abs(speed_rad_per_s)
        return (
            self.constant_nm
            + self.per_rad_per_s_nm * speed
            + self.per_rad_per_s_squared_nm * speed * speed
        )


HELD_SHAFT: Final = LoadTorque(constant_nm=1e9)
"""What no motor turns: a shaft that is held."""
