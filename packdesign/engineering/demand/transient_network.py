"""The equations of pack, wires, driver, motor and load at one instant.

States, in this order: speed of the motor's shaft, current of the motor (only with an inductance),
sag at the driver below the pack's open-circuit voltage (only with a capacitor), one voltage for
each RC element of the pack. The sag, not the voltage, is the state, so that a stiff pack's current
keeps its digits.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

from packdesign.engineering.demand.circuit import Circuit, Machine
from packdesign.engineering.demand.drive import Decay, Drive
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["Instant", "Network"]

_REST_SHARE: Final = 1e-3
"""Below this share of the no-load speed friction fades, so that rest is a creep, not a jump."""
_LIMITER_SHARE: Final = 0.2
"""The current limiter acts in this share of the electrical time constant."""
_COLLAPSE_SHARE: Final = 0.02
"""Below this share of the open-circuit voltage the supply has collapsed."""


class Instant(NamedTuple):
    """Everything observed at one instant; SI units."""

    bus_v: float
    pack_v: float
    pack_a: float
    motor_a: float
    speed: float
    duty: float
    hand_nm: float
    pack_heat_w: float
    wiring_heat_w: float
    driver_heat_w: float
    copper_heat_w: float
    friction_heat_w: float
    gear_heat_w: float
    work_w: float
    rails_w: float
    clamp_heat_w: float
    headroom: float
    """Falls through zero where the pack cannot supply the power asked for."""


@dataclass(frozen=True, slots=True)
class _Electrical:
    bus_v: float
    motor_a: float
    duty: float
    current_rate: float
    headroom: float


class Network:
    """One machine on one pack; made once for each transient, holds nothing that changes."""

    __slots__ = (
        "_constant", "_copper", "_e0", "_extra_nm", "_limit_s", "_loop_ohm", "_rest", "capacitor",
        "circuit", "drive", "inductance", "machine", "rc_count",
    )  # fmt: skip

    def __init__(self, *, circuit: Circuit, machine: Machine, drive: Drive) -> None:
        self.circuit, self.machine, self.drive = circuit, machine, drive
        motor = machine.motor
        if motor.rotor_inertia_kg_m2 + machine.inertia_kg_m2 <= 0:
            msg = (
                "rotor and load have no inertia, so there is no run-up to solve; give the "
                "inertia of what spins, or use steady.steady_point for the current that remains"
            )
            raise OutOfRangeError(msg)
        self.inductance = motor.inductance_h or 0.0
        self.capacitor = circuit.capacitor_f
        self.rc_count = len(circuit.source.rc_ohm)
        self._constant = motor.torque_constant_nm_per_a
        self._copper = motor.resistance_ohm
        self._loop_ohm = motor.resistance_ohm + drive.driver_ohm
        self._e0 = circuit.source.open_circuit_v
        self._limit_s = _LIMITER_SHARE * self.inductance / self._loop_ohm
        self._extra_nm = machine.load.extra_at_rest_nm
        self._rest = _REST_SHARE * self._e0 / self._constant

    def electrical(self, state: Sequence[float], *, duty: float) -> _Electrical:
        """Solve voltage at the driver and current of the motor for one state and duty."""
        behind_v = self._e0 - sum(state[len(state) - self.rc_count :])
        emf = self._constant * state[0]
        position = 2 if self.inductance else 1
        bus = self._e0 - state[position] if self.capacitor else None
        if self.inductance:
            return self._with_inductance(state[1], bus, behind_v=behind_v, emf=emf, duty=duty)
        return self._without_inductance(bus, behind_v=behind_v, emf=emf, duty=duty)

    def _with_inductance(
        self, current: float, bus: float | None, *, behind_v: float, emf: float, duty: float
    ) -> _Electrical:
        headroom = 1.0
        if bus is None:
            bus, headroom = self._bus_at(behind_v, bridge_a=self.machine.count * duty * current)
        drop = emf + self._loop_ohm * current
        rate = (duty * bus - drop) / self.inductance
        low, high = self._current_bounds(duty)
        rate = min(rate, (high - current) / self._limit_s) if math.isfinite(high) else rate
        rate = max(rate, (low - current) / self._limit_s) if math.isfinite(low) else rate
        effective = (drop + self.inductance * rate) / bus if bus > 0 else 0.0
        if not self.capacitor and effective != duty:
            power = self.machine.count * effective * bus * current
            bus, headroom = self._bus_at(behind_v, power_w=power)
            effective = (drop + self.inductance * rate) / bus if bus > 0 else 0.0
        return _Electrical(bus, current, effective, rate, headroom)

    def _without_inductance(
        self, bus: float | None, *, behind_v: float, emf: float, duty: float
    ) -> _Electrical:
        headroom, count, loop = 1.0, self.machine.count, self._loop_ohm
        known = bus
        if bus is None:
            bus, headroom = self._bus_at(
                behind_v, slope=count * duty * duty / loop, bridge_a=-count * duty * emf / loop
            )
        current = (duty * bus - emf) / loop
        low, high = self._current_bounds(duty)
        held = min(max(current, low), high)
        if held != current:
            drop = emf + loop * held
            if known is None:
                bus, headroom = self._bus_at(behind_v, power_w=count * drop * held)
            duty = drop / bus if bus > 0 else 0.0
        return _Electrical(bus, held, duty, 0.0, headroom)

    def _current_bounds(self, duty: float) -> tuple[float, float]:
        drive = self.drive
        limit = math.inf if drive.current_limit_a is None else drive.current_limit_a
        brake_a = drive.braking_limit_a
        brake = math.inf if brake_a is None else brake_a
        if drive.decay is Decay.DIODE:
            brake = 0.0
            limit = 0.0 if duty == 0 else limit
        if duty > 0:
            return -brake, limit
        if duty < 0:
            return -limit, brake
        return -brake, brake

    def _bus_at(
        self, behind_v: float, *, bridge_a: float = 0.0, slope: float = 0.0, power_w: float = 0.0
    ) -> tuple[float, float]:
        """Voltage at the driver without a capacitor: a quadratic, its upper root."""
        series = self.circuit.series_ohm
        known = behind_v - series * (bridge_a + self.circuit.rails_a)
        factor = 1 + series * slope
        product = 4 * factor * series * (self.circuit.rails_w + power_w)
        inside = known * known - product
        scale = self._e0 * self._e0
        return (known + math.sqrt(max(inside, 0.0))) / (2 * factor), inside / scale

    def mechanical(self, speed: float, *, torque: float) -> tuple[float, float, float, float]:
        """Acceleration, friction torque, torque into the gear, torque of the load. SI units."""
        motor, machine = self.machine.motor, self.machine
        sense = math.tanh(speed / self._rest)
        friction = self._constant * motor.no_load_a * sense
        ratio, gain = motor.gear_ratio, motor.gear_efficiency_fraction
        output = speed / ratio
        size = machine.load.torque_nm(speed_rad_per_s=output)
        if self._extra_nm:
            slow = speed / (10 * self._rest)
            size += self._extra_nm * math.exp(-min(slow * slow, 700.0))
        load = size * sense
        free = torque - friction
        acceleration, gear = 0.0, 0.0
        for efficiency in (gain, 1 / gain):
            reflected = machine.inertia_kg_m2 / (ratio * ratio * efficiency)
            through = load / (ratio * efficiency)
            acceleration = (free - through) / (motor.rotor_inertia_kg_m2 + reflected)
            gear = through + reflected * acceleration
            if gear * speed >= 0:
                break
        return acceleration, friction, gear, load

    def rates(self, state: Sequence[float], *, duty: float) -> list[float]:
        """Rate of change of every state."""
        return self._evaluate(state, duty=duty)[0]

    def instant(self, state: Sequence[float], *, duty: float) -> Instant:
        """Everything observed at one state."""
        rates, found, pack_a, clamp_a = self._evaluate(state, duty=duty)
        circuit, machine = self.circuit, self.machine
        speed, current, count = state[0], found.motor_a, machine.count
        acceleration, friction, gear, load = self.mechanical(speed, torque=self._constant * current)
        ratio = machine.motor.gear_ratio
        output_nm = load + machine.inertia_kg_m2 * rates[0] / ratio
        rotor_nm = machine.motor.rotor_inertia_kg_m2 * acceleration
        elements = zip(state[len(state) - self.rc_count :], circuit.source.rc_ohm, strict=True)
        slow_heat = sum(volts * volts / ohm for volts, ohm in elements if ohm > 0)
        return Instant(
            bus_v=found.bus_v,
            pack_v=found.bus_v + circuit.wiring_ohm * pack_a,
            pack_a=pack_a,
            motor_a=current,
            speed=speed,
            duty=found.duty,
            hand_nm=count * (output_nm + rotor_nm),
            pack_heat_w=circuit.source.instant_ohm * pack_a**2 + slow_heat,
            wiring_heat_w=circuit.wiring_ohm * pack_a**2,
            driver_heat_w=count * self.drive.driver_ohm * current**2,
            copper_heat_w=count * self._copper * current**2,
            friction_heat_w=count * friction * speed,
            gear_heat_w=count * (gear - output_nm / ratio) * speed,
            work_w=count * load * speed / ratio,
            rails_w=circuit.rails_w + circuit.rails_a * found.bus_v,
            clamp_heat_w=clamp_a * found.bus_v,
            headroom=found.headroom,
        )

    def _evaluate(
        self, state: Sequence[float], *, duty: float
    ) -> tuple[list[float], _Electrical, float, float]:
        circuit = self.circuit
        found = self.electrical(state, duty=duty)
        bus_v = found.bus_v
        bridge_a = self.machine.count * found.duty * found.motor_a
        floor = max(bus_v, _COLLAPSE_SHARE * self._e0)
        asked_a = bridge_a + circuit.rails_a + circuit.rails_w / floor
        clamp_a = 0.0
        pack_a = asked_a
        rates = [self.mechanical(state[0], torque=self._constant * found.motor_a)[0]]
        if self.inductance:
            rates.append(found.current_rate)
        slow = state[len(state) - self.rc_count :]
        if self.capacitor:
            sag_v = state[2 if self.inductance else 1]
            pack_a = (sag_v - sum(slow)) / circuit.series_ohm
            if not circuit.accepts_charge:
                pack_a = max(pack_a, 0.0)
            if circuit.clamp is not None and bus_v > circuit.clamp.above_v:
                clamp_a = (bus_v - circuit.clamp.above_v) / circuit.clamp.resistance_ohm
            rates.append((asked_a + clamp_a - pack_a) / self.capacitor)
        source = circuit.source
        for volts, ohm, seconds in zip(slow, source.rc_ohm, source.rc_time_s, strict=True):
            rates.append((pack_a * ohm - volts) / seconds)
        return rates, found, pack_a, clamp_a

    def collapse_margin(self, state: Sequence[float], *, duty: float) -> float:
        """Positive while the supply stands; falls through zero as it collapses. [-]"""
        found = self.electrical(state, duty=duty)
        return min(found.headroom, found.bus_v / self._e0 - _COLLAPSE_SHARE)

    def stored_j(self, state: Sequence[float]) -> float:
        """Energy in what spins, in the motors' inductance and in the capacitor. [J]"""
        machine, motor = self.machine, self.machine.motor
        inertia = motor.rotor_inertia_kg_m2 + machine.inertia_kg_m2 / motor.gear_ratio**2
        stored = machine.count * inertia * state[0] ** 2 / 2
        if self.inductance:
            stored += machine.count * self.inductance * state[1] ** 2 / 2
        if self.capacitor:
            bus_v = self._e0 - state[2 if self.inductance else 1]
            stored += self.capacitor * bus_v**2 / 2
        return stored
