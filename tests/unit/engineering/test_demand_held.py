"""Motors with their shafts held, alone and together."""

from __future__ import annotations

import math

import pytest

from packdesign.engineering.demand.circuit import Circuit, Machine
from packdesign.engineering.demand.drive import Drive
from packdesign.engineering.demand.held import held_shafts
from packdesign.engineering.demand.load_torque import HELD_SHAFT
from packdesign.engineering.demand.motor_case import MotorCase
from packdesign.engineering.demand.steady import steady_point
from packdesign.engineering.electrical.source import PackSource
from packdesign.foundation.errors import OverloadError

PACK = PackSource(open_circuit_v=12.0, instant_ohm=0.2, rc_ohm=(0.1,), rc_time_s=(10.0,))
CIRCUIT = Circuit(source=PACK, wiring_ohm=0.05, rails_w=4.0, rails_a=0.3)


def machine(ohm: float = 1.0, *, count: int = 1) -> Machine:
    motor = MotorCase(resistance_ohm=ohm, torque_constant_nm_per_a=0.01, no_load_a=0.2)
    return Machine(motor=motor, load=HELD_SHAFT, count=count)


@pytest.mark.parametrize("duty", [1.0, 0.4])
@pytest.mark.parametrize("count", [1, 3])
def test_one_machine_is_the_quadratic_of_its_supply(duty: float, count: int) -> None:
    """V = 12 - 0.35 (0.3 + 4/V + count duty^2 V / 1 ohm), and the upper of its two roots."""
    found = held_shafts(circuit=CIRCUIT, driven=[(machine(count=count), Drive(duty=duty))])
    share = 1 + 0.35 * count * duty**2
    known = 12 - 0.35 * 0.3
    volts = (known + math.sqrt(known**2 - 4 * share * 0.35 * 4)) / (2 * share)
    assert found.bus_v == pytest.approx(volts, rel=1e-9)
    assert found.motor_a[0] == pytest.approx(duty * volts, rel=1e-9)
    assert found.is_limited == (False,)


@pytest.mark.parametrize("drive", [Drive(), Drive(duty=-0.4), Drive(current_limit_a=5.0)])
def test_a_held_shaft_is_a_steady_point_without_speed(drive: Drive) -> None:
    found = held_shafts(circuit=CIRCUIT, driven=[(machine(count=3), drive)])
    point = steady_point(circuit=CIRCUIT, machine=machine(count=3), drive=drive)
    assert point.stalled
    assert point.speed_rad_per_s == 0.0
    assert math.copysign(1.0, point.motor_a) == math.copysign(1.0, drive.duty)
    assert abs(point.motor_a) == pytest.approx(found.motor_a[0])
    assert point.pack_a == pytest.approx(found.pack_a, rel=1e-6)
    assert point.bus_v == pytest.approx(found.bus_v, rel=1e-6)


def test_a_limited_motor_stands_at_the_upper_of_two_voltages() -> None:
    """0.2 ohm behind 12 V and 1 ohm: 12 A are 28.8 W, V^2 - 12 V + 28.8 = 0, so 8.68 V; at the
    other balance, 2 V, duty alone would leave 10 A, below the limit."""
    weak = Circuit(source=PackSource(open_circuit_v=12.0, instant_ohm=1.0))
    point = steady_point(circuit=weak, machine=machine(0.2), drive=Drive(current_limit_a=12.0))
    assert point.motor_a == pytest.approx(12.0)
    assert point.bus_v == pytest.approx(6 + math.sqrt(36 - 28.8), rel=1e-6)


def test_two_machines_are_one_of_two_motors() -> None:
    drive = Drive(current_limit_a=6.0)
    apart = held_shafts(circuit=CIRCUIT, driven=[(machine(), drive), (machine(), drive)])
    together = held_shafts(circuit=CIRCUIT, driven=[(machine(count=2), drive)])
    assert apart.pack_a == pytest.approx(together.pack_a, rel=1e-9)
    assert apart.is_limited == (True, True)


def test_limited_motor_takes_more_the_hotter_its_winding() -> None:
    """6 A through 1 ohm are 36 W, through 1.4 ohm 50.4 W; without a limit it is the reverse."""
    stiff = Circuit(source=PackSource(open_circuit_v=12.0, instant_ohm=0.0))
    limited = Drive(current_limit_a=6.0)
    cold, hot = (
        held_shafts(circuit=stiff, driven=[(machine(ohm), limited)]).pack_a for ohm in (1.0, 1.4)
    )
    assert (cold, hot) == (pytest.approx(3.0), pytest.approx(4.2))
    free = [held_shafts(circuit=stiff, driven=[(machine(ohm), Drive())]) for ohm in (1.0, 1.4)]
    assert free[0].pack_a > free[1].pack_a


def test_more_than_the_pack_gives_is_said() -> None:
    """1 ohm behind 12 V give 36 W at most; 20 W of rails and a held motor are more."""
    weak = Circuit(source=PackSource(open_circuit_v=12.0, instant_ohm=1.0), rails_w=20.0)
    with pytest.raises(OverloadError, match="cannot carry"):
        held_shafts(circuit=weak, driven=[(machine(1.0), Drive(current_limit_a=5.5))])
