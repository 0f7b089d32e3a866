"""A motor as three constants and a gear, one number each, and what follows from them at rest.

Sign and place: speeds and torques named ``output`` are behind the gear; all others are at the
motor's own shaft. How the constants are found from what a builder knows is in ``motor_sources``,
their bands in ``motor``; what happens while it runs up is in ``transient``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "COPPER_PER_K",
    "FERRITE_MAGNET_PER_K",
    "SHEET_DEGC",
    "MotorCase",
    "RunningPoint",
    "torque_constant_nm_per_a",
]

COPPER_PER_K: Final = 0.00393
"""Rise of copper's resistance per kelvin (IEC 60028 value at 20 degC, from memory)."""
SHEET_DEGC: Final = 25.0
"""Temperature at which the figures of a motor stand; common practice, no source. [degC]"""
FERRITE_MAGNET_PER_K: Final = -0.002
"""Loss of a ferrite magnet's flux per kelvin (from memory; neodymium about -0.0011)."""
_RPM_PER_V_TIMES_NM_PER_A: Final = 30 / math.pi


def torque_constant_nm_per_a(*, speed_constant_rpm_per_v: float) -> float:
    """Torque constant that belongs to a speed constant. [N m/A]

    Parameters
    ----------
    speed_constant_rpm_per_v : float
        Speed constant, above zero. [rpm/V]

    Returns
    -------
    float
        Torque constant, the same number as the back-EMF constant in V s/rad. [N m/A]

    Notes
    -----
    One energy, two views: V i = T w leads to Kt = Ke in SI, so Kv [rpm/V] times Kt [mN m/A] is
    30000 / pi = 9549.

    Examples
    --------
    >>> round(1000 * torque_constant_nm_per_a(speed_constant_rpm_per_v=380), 1)
    25.1
    """
    if speed_constant_rpm_per_v <= 0:
        msg = f"a speed constant is above 0 rpm/V; got {speed_constant_rpm_per_v}"
        raise OutOfRangeError(msg)
    return _RPM_PER_V_TIMES_NM_PER_A / speed_constant_rpm_per_v


@dataclass(frozen=True, slots=True, kw_only=True)
class RunningPoint:
    """A motor in balance with its load at one voltage."""

    voltage_v: float
    """Mean voltage at the motor's terminals. [V]"""
    current_a: float
    """Current in the motor. [A]"""
    speed_rad_per_s: float
    """Speed of the motor's shaft. [rad/s]"""
    output_speed_rad_per_s: float
    """Speed behind the gear. [rad/s]"""
    output_torque_nm: float
    """Torque behind the gear. [N m]"""

    @property
    def electrical_w(self) -> float:
        """Power into the motor. [W]"""
        return self.voltage_v * self.current_a

    @property
    def output_w(self) -> float:
        """Power at the output. [W]"""
        return self.output_torque_nm * self.output_speed_rad_per_s

    @property
    def efficiency_fraction(self) -> float:
        """Output power over electrical power. [-]"""
        return self.output_w / self.electrical_w if self.electrical_w > 0 else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MotorCase:
    """A motor with one number for each of its constants: what the formulas compute with."""

    resistance_ohm: float
    """Terminal resistance, brushes included. [ohm]"""
    torque_constant_nm_per_a: float
    """Torque per ampere, the same number as volts per rad/s. [N m/A]"""
    no_load_a: float
    """Current that turns the motor, and its gear, with nothing attached. [A]"""
    gear_ratio: float = 1.0
    """Turns of the motor for one turn of the output. [-]"""
    gear_efficiency_fraction: float = 1.0
    """Output power over motor-side power of the gear. [-]"""
    inductance_h: float | None = None
    """Terminal inductance. [H]"""
    rotor_inertia_kg_m2: float = 0.0
    """Inertia of the rotor at its own shaft. [kg m2]"""

    def stall_a(self, *, voltage_v: float) -> float:
        """Current with the shaft held. [A]

        Parameters
        ----------
        voltage_v : float
            Voltage at the terminals. [V]
        """
        return voltage_v / self.resistance_ohm

    def no_load_rad_per_s(self, *, voltage_v: float) -> float:
        """Speed of the motor's shaft with nothing attached. [rad/s]

        Parameters
        ----------
        voltage_v : float
            Voltage at the terminals. [V]
        """
        driving_v = voltage_v - self.no_load_a * self.resistance_ohm
        return max(driving_v, 0.0) / self.torque_constant_nm_per_a

    def stall_torque_nm(self, *, voltage_v: float) -> float:
        """Torque behind the gear with the shaft held. [N m]

        Parameters
        ----------
        voltage_v : float
            Voltage at the terminals. [V]
        """
        return self.held_torque_nm(current_a=self.stall_a(voltage_v=voltage_v))

    def held_torque_nm(self, *, current_a: float) -> float:
        """Torque behind the gear with the shaft held and a current in the winding. [N m]

        Parameters
        ----------
        current_a : float
            Current, either way round. [A]

        Examples
        --------
        >>> motor = MotorCase(resistance_ohm=1.0, torque_constant_nm_per_a=0.01, no_load_a=0.2,
        ...     gear_ratio=10)
        >>> round(motor.held_torque_nm(current_a=-5.2), 3)
        0.5
        """
        return self._nm_per_a * max(abs(current_a) - self.no_load_a, 0.0)

    def current_holding_a(self, *, torque_nm: float) -> float:
        """Current with which a held shaft gives a torque behind the gear. [A]

        Parameters
        ----------
        torque_nm : float
            Torque behind the gear, zero or more. [N m]
        """
        return torque_nm / self._nm_per_a + self.no_load_a

    @property
    def _nm_per_a(self) -> float:
        return self.torque_constant_nm_per_a * self._torque_gain

    @property
    def _torque_gain(self) -> float:
        return self.gear_ratio * self.gear_efficiency_fraction

    @property
    def speed_torque_gradient_rad_per_s_nm(self) -> float:
        """Speed lost per torque at the motor's own shaft, R / Kt^2. [rad/(s N m)]"""
        return self.resistance_ohm / self.torque_constant_nm_per_a**2

    def mechanical_time_s(self, *, output_inertia_kg_m2: float = 0.0) -> float:
        """Time constant of running up on a stiff voltage, R J / Kt^2. [s]

        Parameters
        ----------
        output_inertia_kg_m2 : float
            Inertia behind the gear. [kg m2]
        """
        reflected = output_inertia_kg_m2 / (self.gear_ratio * self._torque_gain)
        inertia = self.rotor_inertia_kg_m2 + reflected
        return self.speed_torque_gradient_rad_per_s_nm * inertia

    def running_point(self, *, voltage_v: float, output_torque_nm: float) -> RunningPoint:
        """Balance against a torque behind the gear; held fast if the torque is beyond stall.

        On a stiff voltage, as motor sheets print it; the balance on a pack is ``steady_point``.
        Kept for holding the constants of a motor against its sheet.

        Parameters
        ----------
        voltage_v : float
            Mean voltage at the terminals. [V]
        output_torque_nm : float
            Torque behind the gear, zero or more. [N m]

        Returns
        -------
        RunningPoint
            Speed 0 and the stall current where the motor cannot turn the load.

        Examples
        --------
        >>> motor = MotorCase(resistance_ohm=1.0, torque_constant_nm_per_a=0.01, no_load_a=0.2)
        >>> point = motor.running_point(voltage_v=12.0, output_torque_nm=0.01)
        >>> round(point.current_a, 3), round(point.speed_rad_per_s)
        (1.2, 1080)
        """
        constant = self.torque_constant_nm_per_a
        current_a = self.current_holding_a(torque_nm=output_torque_nm)
        speed = (voltage_v - current_a * self.resistance_ohm) / constant
        torque = output_torque_nm
        if speed <= 0:
            speed, current_a = 0.0, self.stall_a(voltage_v=voltage_v)
            torque = min(torque, self.stall_torque_nm(voltage_v=voltage_v))
        return RunningPoint(
            voltage_v=voltage_v,
            current_a=current_a,
            speed_rad_per_s=speed,
            output_speed_rad_per_s=speed / self.gear_ratio,
            output_torque_nm=torque,
        )

    def at_temperature(
        self,
        *,
        winding_rise_k: float,
        magnet_rise_k: float = 0.0,
        copper_per_k: float = COPPER_PER_K,
        magnet_per_k: float = FERRITE_MAGNET_PER_K,
    ) -> MotorCase:
        """Warm or cool the winding and the magnet.

        Parameters
        ----------
        winding_rise_k : float
            Winding above the temperature of the figures; negative is colder. [K]
        magnet_rise_k : float
            Magnet above the temperature of the figures. [K]
        copper_per_k : float
            Rise of resistance. [1/K]
        magnet_per_k : float
            Change of the torque constant. [1/K]

        Returns
        -------
        MotorCase
            The same motor at that temperature.

        Raises
        ------
        OutOfRangeError
            If nothing of the resistance or the flux would be left.

        Examples
        --------
        >>> warm = MotorCase(resistance_ohm=1.0, torque_constant_nm_per_a=0.01, no_load_a=0.2)
        >>> round(warm.at_temperature(winding_rise_k=50).resistance_ohm, 4)
        1.1965
        """
        copper = 1 + copper_per_k * winding_rise_k
        magnet = 1 + magnet_per_k * magnet_rise_k
        if min(copper, magnet) <= 0:
            msg = (
                f"winding {winding_rise_k} K and magnet {magnet_rise_k} K from the temperature of "
                "the figures leave no resistance or no flux; these are straight-line laws, good "
                "to about 100 K"
            )
            raise OutOfRangeError(msg)
        return replace(
            self,
            resistance_ohm=self.resistance_ohm * copper,
            torque_constant_nm_per_a=self.torque_constant_nm_per_a * magnet,
        )
