"""The balance that a driven machine settles at on its pack: speed, currents, voltages."""

from __future__ import annotations

import math
from dataclasses import dataclass

from scipy.optimize import brentq

from packdesign.engineering.demand.circuit import Circuit, Machine
from packdesign.engineering.demand.drive import Drive
from packdesign.engineering.demand.held import held_shafts
from packdesign.foundation.errors import OverloadError

__all__ = ["SteadyPoint", "steady_point"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SteadyPoint:
    """A machine on its pack once nothing changes any more."""

    speed_rad_per_s: float
    """Speed of the motor's shaft; 0 is stalled or switched off. [rad/s]"""
    output_speed_rad_per_s: float
    """Speed behind the gear. [rad/s]"""
    motor_a: float
    """Current of one motor. [A]"""
    duty: float
    """Duty after the current limit. [-]"""
    motors_battery_a: float
    """Current that all motors take from the battery: duty x motor current x count. [A]"""
    pack_a: float
    """Current of the pack, rails included. [A]"""
    bus_v: float
    """Voltage at the driver. [V]"""
    pack_v: float
    """Voltage at the pack's terminals. [V]"""
    stalled: bool
    """Whether the motor is powered and cannot turn its load."""


@dataclass(frozen=True, slots=True)
class _Supply:
    """Settled supply: voltage at the driver under a current and a power."""

    open_v: float
    ohm: float
    rails_a: float
    rails_w: float

    def bus_v(self, *, bridge_a: float = 0.0, bridge_w: float = 0.0) -> float:
        known = self.open_v - self.ohm * (self.rails_a + bridge_a)
        inside = known**2 - 4 * self.ohm * (self.rails_w + bridge_w)
        if known <= 0 or inside < 0:
            msg = (
                f"the pack ({self.open_v:.2f} V, {self.ohm:.4f} ohm with its wires) cannot carry "
                f"{self.rails_w + bridge_w:.1f} W and {self.rails_a + bridge_a:.1f} A for long: "
                "ask for less, or take more cells in parallel"
            )
            raise OverloadError(msg)
        return (known + math.sqrt(inside)) / 2


def steady_point(*, circuit: Circuit, machine: Machine, drive: Drive) -> SteadyPoint:
    """Find where motor, load and settled pack balance at the driver's duty.

    Parameters
    ----------
    circuit : Circuit
        Pack, wires, rails; the pack's settled resistance counts.
    machine : Machine
        Motor and load.
    drive : Drive
        Duty, current limit, driver resistance.

    Returns
    -------
    SteadyPoint
        Stalled, with the current that then flows, where the motor cannot turn the load.

    Raises
    ------
    OverloadError
        If the pack cannot carry this for long.

    Examples
    --------
    >>> from packdesign.engineering.demand.motor_case import MotorCase
    >>> from packdesign.engineering.electrical.source import PackSource
    >>> motor = MotorCase(resistance_ohm=1.0, torque_constant_nm_per_a=0.01, no_load_a=0.2)
    >>> point = steady_point(
    ...     circuit=Circuit(source=PackSource(open_circuit_v=12.0, instant_ohm=0.0)),
    ...     machine=Machine(motor=motor), drive=Drive(duty=0.5))
    >>> round(point.motor_a, 3), round(point.motors_battery_a, 3)
    (0.2, 0.1)
    """
    source = circuit.source
    supply = _Supply(
        source.open_circuit_v, source.settled_ohm + circuit.wiring_ohm,
        circuit.rails_a, circuit.rails_w,
    )  # fmt: skip
    duty = abs(drive.duty)
    if duty == 0:
        return _point(circuit, machine, supply, speed=0.0, motor_a=0.0, duty=0.0)
    limit = drive.current_limit_a or math.inf
    balance = _Balance(machine, supply, duty, drive.driver_ohm)
    if balance.needed_a(0.0) >= limit or balance.surplus_v(0.0) <= 0:
        return _held(circuit, machine, drive, supply)
    top = duty * source.open_circuit_v / machine.motor.torque_constant_nm_per_a
    speed = brentq(balance.surplus_v, 0.0, top, xtol=1e-9 * top)
    if balance.needed_a(speed) > limit:
        speed = brentq(lambda each: balance.needed_a(each) - limit, 0.0, speed)
        volts = balance.voltage_v(speed)
        bus = supply.bus_v(bridge_w=machine.count * volts * limit)
        duty = volts / bus
    sense = math.copysign(1.0, drive.duty)
    return _point(
        circuit, machine, supply,
        speed=sense * speed, motor_a=sense * balance.needed_a(speed), duty=sense * duty,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Balance:
    machine: Machine
    supply: _Supply
    duty: float
    driver_ohm: float

    def needed_a(self, speed: float) -> float:
        motor = self.machine.motor
        load = self.machine.load.torque_nm(speed_rad_per_s=speed / motor.gear_ratio)
        if speed == 0:
            load += self.machine.load.extra_at_rest_nm
        gain = motor.gear_ratio * motor.gear_efficiency_fraction * motor.torque_constant_nm_per_a
        return motor.no_load_a + load / gain

    def voltage_v(self, speed: float) -> float:
        motor = self.machine.motor
        drop = (motor.resistance_ohm + self.driver_ohm) * self.needed_a(speed)
        return motor.torque_constant_nm_per_a * speed + drop

    def surplus_v(self, speed: float) -> float:
        bridge_a = self.machine.count * self.duty * self.needed_a(speed)
        known = self.supply.open_v - self.supply.ohm * (bridge_a + self.supply.rails_a)
        inside = known**2 - 4 * self.supply.ohm * self.supply.rails_w
        if known <= 0 or inside < 0:
            return -self.voltage_v(speed)
        return self.duty * self.supply.bus_v(bridge_a=bridge_a) - self.voltage_v(speed)


def _held(circuit: Circuit, machine: Machine, drive: Drive, supply: _Supply) -> SteadyPoint:
    """Shaft held: the current that duty, resistances and limit leave."""
    found = held_shafts(circuit=circuit, driven=[(machine, drive)])
    sense = math.copysign(1.0, drive.duty)
    current_a = found.motor_a[0]
    loop_ohm = machine.motor.resistance_ohm + drive.driver_ohm
    return _point(
        circuit,
        machine,
        supply,
        speed=0.0,
        motor_a=sense * current_a,
        duty=sense * current_a * loop_ohm / found.bus_v,
        stalled=True,
    )


def _point(
    circuit: Circuit,
    machine: Machine,
    supply: _Supply,
    *,
    speed: float,
    motor_a: float,
    duty: float,
    stalled: bool = False,
) -> SteadyPoint:
    bridge_a = machine.count * duty * motor_a
    bus_v = supply.bus_v(bridge_a=bridge_a)
    pack_a = bridge_a + supply.rails_a + supply.rails_w / bus_v
    return SteadyPoint(
        speed_rad_per_s=speed,
        output_speed_rad_per_s=speed / machine.motor.gear_ratio,
        motor_a=motor_a,
        duty=duty,
        motors_battery_a=bridge_a,
        pack_a=pack_a,
        bus_v=bus_v,
        pack_v=bus_v + circuit.wiring_ohm * pack_a,
        stalled=stalled,
    )
