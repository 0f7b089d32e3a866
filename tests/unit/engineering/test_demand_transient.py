"""Limits, timeouts, collapse, regeneration: what the transient does at its edges."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from packdesign.engineering.demand.circuit import Circuit, Clamp, Machine
from packdesign.engineering.demand.drive import Decay, Drive
from packdesign.engineering.demand.load_torque import LoadTorque
from packdesign.engineering.demand.motor_case import MotorCase
from packdesign.engineering.demand.regeneration import (
    brake_limit_that_holds_a,
    clamp_that_holds,
    rail_rise,
    stop,
)
from packdesign.engineering.demand.steady import steady_point
from packdesign.engineering.demand.transient import running_state, simulate, simulate_start
from packdesign.engineering.electrical.source import PackSource
from packdesign.foundation.errors import OutOfRangeError, UnknownNameError

PACK = PackSource(
    open_circuit_v=11.1, instant_ohm=0.1, rc_ohm=(0.03,), rc_time_s=(1.0,), full_v=12.6
)
MOTOR = MotorCase(
    resistance_ohm=0.5, torque_constant_nm_per_a=0.02, no_load_a=0.2, rotor_inertia_kg_m2=1e-5
)
WHEEL = Machine(motor=MOTOR, inertia_kg_m2=2e-4)
BUS = Circuit(source=PACK, capacitor_f=1e-3)


@pytest.mark.parametrize("inductance_h", [None, 200e-6])
def test_the_current_limit_holds_and_lengthens_the_start(inductance_h: float | None) -> None:
    wheel = replace(WHEEL, motor=replace(MOTOR, inductance_h=inductance_h))
    free = simulate_start(circuit=BUS, machine=wheel, drive=Drive(), hold_s=0.2)
    held = simulate_start(circuit=BUS, machine=wheel, drive=Drive(current_limit_a=5), hold_s=0.2)
    assert held.motor.peak_a == pytest.approx(5, rel=1e-3)
    assert held.wire.peak_a < 5.01
    assert held.speed_rad_per_s[-1] < free.speed_rad_per_s[-1]


def test_a_run_up_ends_at_the_steady_point() -> None:
    machine = replace(WHEEL, load=LoadTorque(per_rad_per_s_squared_nm=2e-7), count=2)
    drive = Drive(duty=0.8)
    point = steady_point(circuit=BUS, machine=machine, drive=drive)
    result = simulate_start(circuit=BUS, machine=machine, drive=drive, hold_s=8.0)
    assert result.speed_rad_per_s[-1] == pytest.approx(point.speed_rad_per_s, rel=1e-3)
    assert result.pack_a[-1] == pytest.approx(point.pack_a, rel=2e-3)
    assert point.motors_battery_a == pytest.approx(2 * 0.8 * point.motor_a)


def test_a_limited_machine_runs_where_its_torque_reaches() -> None:
    machine = replace(WHEEL, load=LoadTorque(per_rad_per_s_nm=5e-4))
    point = steady_point(circuit=BUS, machine=machine, drive=Drive(current_limit_a=3))
    assert point.motor_a == pytest.approx(3)
    assert point.speed_rad_per_s == pytest.approx(0.02 * 2.8 / 5e-4, rel=1e-6)
    assert not point.stalled
    assert point.duty < 1


def test_a_load_beyond_the_motor_stalls_and_the_driver_lets_go() -> None:
    stuck = replace(WHEEL, load=LoadTorque(constant_nm=5.0))
    point = steady_point(circuit=BUS, machine=stuck, drive=Drive())
    assert point.stalled
    assert point.motor_a == pytest.approx(11.1 / (0.5 + 0.13))
    result = simulate_start(
        circuit=BUS, machine=stuck, drive=Drive(stall_timeout_s=0.1), hold_s=0.5
    )
    assert result.let_go_at_s == pytest.approx(0.1, abs=0.02)
    assert abs(result.motor_a[-1]) < 0.05
    assert result.energy.error_fraction < 1e-3


def test_a_pack_that_cannot_carry_its_rails_collapses_and_says_when() -> None:
    weak = Circuit(source=PackSource(open_circuit_v=11.1, instant_ohm=1.0), rails_w=28.0)
    result = simulate_start(circuit=weak, machine=WHEEL, drive=Drive(ramp_s=0.5), hold_s=0.5)
    assert result.collapsed_at_s is not None
    assert 0 < result.collapsed_at_s < 0.5
    with pytest.raises(OutOfRangeError, match="cannot carry"):
        steady_point(circuit=replace(weak, rails_w=50.0), machine=WHEEL, drive=Drive())


def test_a_reversal_that_no_pack_can_feed_collapses_at_once() -> None:
    """Four motors plugged at full speed on 0.4 ohm with 10 W of rails: nothing is left of 9.9 V."""
    weak = Circuit(source=PackSource(open_circuit_v=9.9, instant_ohm=0.4), rails_w=10.0)
    motor = MotorCase(resistance_ohm=0.04, torque_constant_nm_per_a=0.0025, no_load_a=3.0)
    machine = Machine(motor=motor, inertia_kg_m2=3e-3, count=4)
    drive = Drive(duty=0.7)
    back = simulate(
        circuit=weak, machine=machine, drive=drive, profile=drive.reversing(hold_s=0.2),
        start_state=running_state(circuit=weak, machine=machine, drive=drive),
    )  # fmt: skip
    assert back.collapsed_at_s == 0


def test_time_above_a_limit() -> None:
    """i = 22.2 exp(-t / tau): above half of it for tau ln 2."""
    bare = Machine(motor=replace(MOTOR, no_load_a=0.0))
    circuit = Circuit(source=PackSource(open_circuit_v=11.1, instant_ohm=0))
    result = simulate_start(circuit=circuit, machine=bare, drive=Drive())
    tau = 0.5 * 1e-5 / 0.02**2
    time = result.time_outside_s(trace="motor_a", limit=11.1)
    assert time == pytest.approx(tau * np.log(2), rel=1e-3)
    total = time + result.time_outside_s(trace="motor_a", limit=11.1, below=True)
    assert total == pytest.approx(result.time_s[-1], rel=1e-6)
    with pytest.raises(UnknownNameError, match="no trace named 'volts'"):
        result.time_outside_s(trace="volts", limit=1)


def test_cells_share_the_pack_current() -> None:
    result = simulate_start(circuit=replace(BUS, parallel_count=2), machine=WHEEL, drive=Drive())
    assert result.cell.peak_a == pytest.approx(result.wire.peak_a / 2)


def test_a_diode_never_gives_back_and_a_synchronous_bridge_does() -> None:
    slow = Drive(ramp_down_s=0.3, decay=Decay.DIODE)
    assert rail_rise(circuit=BUS, machine=WHEEL, drive=slow).into_pack_a < 2e-3
    both = rail_rise(
        circuit=BUS, machine=WHEEL, drive=Drive(ramp_down_s=0.3, decay=Decay.SYNCHRONOUS)
    )
    assert both.into_pack_a > 0.5
    assert both.returned_j > 0
    assert both.full_v is not None
    assert both.open_v is not None
    assert both.connected_v < both.full_v < both.open_v


def test_an_open_board_lifts_the_capacitor_by_the_energy_that_comes_back() -> None:
    """1/2 C (v2 - v0^2) is what the bridge returns: heat, friction and speed take the rest."""
    drive = Drive(ramp_down_s=0.3)
    blocked = replace(BUS, accepts_charge=False)
    result = stop(circuit=blocked, machine=WHEEL, drive=drive)
    assert result.highest_bus_v > 15
    assert result.energy.error_fraction < 1e-3
    kinetic_j = (1e-5 + 2e-4) * result.speed_rad_per_s[0] ** 2 / 2
    lifted_j = 1e-3 * (result.highest_bus_v**2 - result.bus_v[0] ** 2) / 2
    assert 0 < lifted_j < kinetic_j


def test_the_clamp_just_holds() -> None:
    drive = Drive(ramp_down_s=0.3)
    clamp = clamp_that_holds(circuit=BUS, machine=WHEEL, drive=drive, limit_v=14.0)
    assert clamp is not None
    worst = replace(BUS, source=replace(PACK, open_circuit_v=12.6), accepts_charge=False)
    held = stop(circuit=replace(worst, clamp=clamp), machine=WHEEL, drive=drive)
    assert 13.95 < held.highest_bus_v <= 14.0
    larger = Clamp(above_v=clamp.above_v, resistance_ohm=1.1 * clamp.resistance_ohm)
    over = stop(circuit=replace(worst, clamp=larger), machine=WHEEL, drive=drive)
    assert over.highest_bus_v > 14.0
    with pytest.raises(OutOfRangeError, match="above the full pack"):
        clamp_that_holds(circuit=BUS, machine=WHEEL, drive=drive, limit_v=12.0)
    assert clamp_that_holds(circuit=BUS, machine=WHEEL, drive=drive, limit_v=200.0) is None


def test_the_brake_limit_just_holds_the_rail_of_a_full_pack() -> None:
    circuit = Circuit(source=replace(PACK, instant_ohm=0.4))
    drive = Drive(ramp_down_s=0.02)
    limit = brake_limit_that_holds_a(circuit=circuit, machine=WHEEL, drive=drive, limit_v=13.2)
    assert limit is not None
    full = replace(circuit, source=replace(circuit.source, open_circuit_v=12.6))

    def highest_v(brake_a: float) -> float:
        gentle = replace(drive, brake_limit_a=brake_a)
        return stop(circuit=full, machine=WHEEL, drive=gentle).highest_bus_v

    assert highest_v(limit) <= 13.2 < highest_v(1.1 * limit)
