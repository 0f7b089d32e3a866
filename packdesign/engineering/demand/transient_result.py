"""What a transient showed: traces, peaks, lowest rail, times above limits, where energy went."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import FloatArray
from packdesign.foundation.errors import UnknownNameError

__all__ = ["Channel", "EnergyBalance", "TransientResult"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Channel:
    """Peak and root-mean-square of a current over the transient."""

    peak_a: float
    """Largest size. [A]"""
    rms_a: float
    """Root of the mean square. [A]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class EnergyBalance:
    """Where the energy that left the pack's terminals went. [J]"""

    from_pack_j: float
    """Out of the pack's terminals; what came back is taken off. [J]"""
    pack_heat_j: float
    """Lost inside the pack, not part of ``from_pack_j``. [J]"""
    wiring_heat_j: float
    driver_heat_j: float
    copper_heat_j: float
    friction_heat_j: float
    """No-load loss of the motor and its gear. [J]"""
    gear_heat_j: float
    clamp_heat_j: float
    work_j: float
    """Done on the load. [J]"""
    rails_j: float
    """Taken by the rails. [J]"""
    stored_j: float
    """Gained by inertia, inductance and capacitor from start to end. [J]"""

    @property
    def error_fraction(self) -> float:
        """What does not add up, as a share of the largest part. [-]"""
        parts = (
            self.wiring_heat_j, self.driver_heat_j, self.copper_heat_j, self.friction_heat_j,
            self.gear_heat_j, self.clamp_heat_j, self.work_j, self.rails_j, self.stored_j,
        )  # fmt: skip
        largest = max(abs(self.from_pack_j), *(abs(part) for part in parts))
        return abs(self.from_pack_j - sum(parts)) / largest if largest > 0 else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TransientResult:
    """Traces of a transient and what is read from them. Arrays share one shape (n,)."""

    time_s: FloatArray
    weight_s: FloatArray
    """Weight of each instant in an integral over time; zero for the solver's own steps. [s]"""
    bus_v: FloatArray
    """Voltage at the driver. [V]"""
    pack_v: FloatArray
    """Voltage at the pack's terminals. [V]"""
    pack_a: FloatArray
    """Current of the pack. [A]"""
    motor_a: FloatArray
    """Current of one motor. [A]"""
    speed_rad_per_s: FloatArray
    """Speed of the motor's shaft. [rad/s]"""
    output_speed_rad_per_s: FloatArray
    """Speed behind the gear. [rad/s]"""
    duty: FloatArray
    """Duty after the limiter. [-]"""
    hand_nm: FloatArray
    """Torque on whatever holds the motor. [N m]"""
    energy: EnergyBalance
    parallel_count: int
    end_state: tuple[float, ...]
    """State at the end, to go on from. SI units, in the order of ``transient_network``."""
    collapsed_at_s: float | None = None
    """When the supply could not carry what was asked; None if it held. [s]"""
    let_go_at_s: float | None = None
    """When the driver's stall timeout cut the current; None if it did not. [s]"""

    def _channel(self, current_a: FloatArray) -> Channel:
        total = float(np.sum(self.weight_s))
        mean_square = float(np.sum(self.weight_s * current_a**2)) / total if total > 0 else 0.0
        return Channel(peak_a=float(np.max(np.abs(current_a))), rms_a=float(np.sqrt(mean_square)))

    @property
    def cell(self) -> Channel:
        """Current of one cell."""
        return self._channel(self.pack_a / self.parallel_count)

    @property
    def wire(self) -> Channel:
        """Current of the pack's leads, fuse, switch and connector."""
        return self._channel(self.pack_a)

    @property
    def motor(self) -> Channel:
        """Current of one motor, and of the switches that drive it."""
        return self._channel(self.motor_a)

    @property
    def lowest_bus_v(self) -> float:
        """Lowest voltage at the driver. [V]"""
        return float(np.min(self.bus_v))

    @property
    def lowest_bus_time_s(self) -> float:
        """When it was lowest. [s]"""
        return float(self.time_s[int(np.argmin(self.bus_v))])

    @property
    def highest_bus_v(self) -> float:
        """Highest voltage at the driver. [V]"""
        return float(np.max(self.bus_v))

    @property
    def peak_hand_nm(self) -> float:
        """Largest torque on whatever holds the motor. [N m]"""
        return float(np.max(np.abs(self.hand_nm)))

    def time_outside_s(self, *, trace: str, limit: float, below: bool = False) -> float:
        """Time that a trace spent above a limit, or below it.

        Parameters
        ----------
        trace : str
            Name of the trace: "pack_a", "motor_a", "bus_v", "hand_nm" and so on.
        limit : float
            The limit, in the unit of the trace. [A, V or N m]
        below : bool
            Count the time below the limit instead.

        Returns
        -------
        float
            Time, with straight lines drawn between the instants solved. [s]

        Raises
        ------
        UnknownNameError
            If there is no such trace.
        """
        known = ("bus_v", "pack_v", "pack_a", "motor_a", "speed_rad_per_s", "duty", "hand_nm")
        if trace not in known:
            raise UnknownNameError(kind="trace", name=trace, known=known)
        values: FloatArray = getattr(self, trace)
        return _time_above(self.time_s, (limit - values) if below else (values - limit))


def _time_above(time_s: FloatArray, over: FloatArray) -> float:
    first, last, step = over[:-1], over[1:], np.diff(time_s)
    highest, lowest = np.maximum(first, last), np.minimum(first, last)
    crossing: NDArray[np.bool_] = (highest > 0) & (lowest < 0)
    span = np.where(crossing, highest - lowest, 1.0)
    share = np.where(crossing, highest / span, (lowest >= 0) & (highest > 0))
    return float(np.sum(share * step))
