"""Searches end on the side that passes, just inside, and say what they hinge on."""

from __future__ import annotations

from dataclasses import replace

import pytest

from packdesign.engineering.demand.backwards import (
    StartLimits,
    highest_duty,
    lowest_current_limit,
    shortest_ramp,
    smallest_parallel_count,
)
from packdesign.engineering.demand.circuit import Circuit, Machine
from packdesign.engineering.demand.drive import Drive
from packdesign.engineering.demand.load_torque import LoadTorque
from packdesign.engineering.demand.motor_case import MotorCase
from packdesign.engineering.demand.transient import simulate_start
from packdesign.engineering.electrical.source import PackSource
from packdesign.foundation.errors import OutOfRangeError

MOTOR = MotorCase(
    resistance_ohm=0.6, torque_constant_nm_per_a=0.015, no_load_a=0.3, rotor_inertia_kg_m2=1e-5
)
MACHINE = Machine(motor=MOTOR, inertia_kg_m2=1e-4, load=LoadTorque(constant_nm=0.02))
WARM = Circuit(source=PackSource(open_circuit_v=11.1, instant_ohm=0.1))
COLD = Circuit(source=PackSource(open_circuit_v=10.2, instant_ohm=0.3))
CORNERS = {"warm": WARM, "cold": COLD}


def test_the_shortest_ramp_just_holds_the_lowest_rail() -> None:
    limits = StartLimits(lowest_bus_v=8.5)
    found = shortest_ramp(corners=CORNERS, machine=MACHINE, drive=Drive(), limits=limits)
    assert (found.hinges_on, found.corner) == ("lowest rail [V]", "cold")
    assert not found.at_end

    def lowest_v(ramp_s: float) -> float:
        drive = Drive(ramp_s=ramp_s)
        return simulate_start(circuit=COLD, machine=MACHINE, drive=drive).lowest_bus_v

    assert lowest_v(found.value) == pytest.approx(found.figure)
    assert lowest_v(found.value) >= 8.5 > lowest_v(0.97 * found.value)


def test_no_ramp_is_needed_where_nothing_is_at_stake() -> None:
    found = shortest_ramp(
        corners=CORNERS, machine=MACHINE, drive=Drive(), limits=StartLimits(largest_pack_a=100)
    )
    assert (found.value, found.at_end) == (0.0, True)


def test_no_ramp_helps_against_the_load_itself() -> None:
    with pytest.raises(OutOfRangeError, match=r"no ramp up to 5 s passes: .* pack current"):
        shortest_ramp(
            corners=CORNERS, machine=MACHINE, drive=Drive(), limits=StartLimits(largest_pack_a=1)
        )


def test_the_highest_duty_just_holds_the_motor_current() -> None:
    found = highest_duty(
        corners=CORNERS, machine=MACHINE, drive=Drive(), limits=StartLimits(largest_motor_a=8)
    )
    assert found.corner == "warm"
    assert 7.9 < found.figure <= 8
    assert found.value == pytest.approx(8 * (0.6 + found.value**2 * 0.1) / 11.1, rel=0.01)


def test_the_lowest_current_limit_still_turns_the_load() -> None:
    found = lowest_current_limit(
        corners=CORNERS, machine=MACHINE, drive=Drive(), highest_a=15, within_s=3.0
    )
    holding_a = 0.3 + 0.02 / 0.015
    assert found.value > holding_a
    assert found.hinges_on == "speed reached [rad/s]"
    hasty = lowest_current_limit(
        corners=CORNERS, machine=MACHINE, drive=Drive(), highest_a=15, within_s=1.5
    )
    assert hasty.value > found.value


def test_the_smallest_parallel_count_is_one_above_failing() -> None:
    def corners_of(count: int) -> dict[str, Circuit]:
        source = PackSource(open_circuit_v=11.1, instant_ohm=0.4 / count)
        return {"cold": Circuit(source=source, parallel_count=count)}

    limits = StartLimits(lowest_bus_v=9.0, largest_cell_a=8)
    found = smallest_parallel_count(
        corners_of=corners_of, machine=MACHINE, drive=Drive(), limits=limits
    )
    count = int(found.value)

    def passes(cells: int) -> bool:
        result = simulate_start(circuit=corners_of(cells)["cold"], machine=MACHINE, drive=Drive())
        return result.lowest_bus_v >= 9.0 and result.cell.peak_a <= 8

    assert passes(count)
    assert not passes(count - 1)
    with pytest.raises(OutOfRangeError, match="not even 2 cells in parallel pass"):
        smallest_parallel_count(
            corners_of=corners_of, machine=MACHINE, drive=Drive(), limits=limits, largest_count=2
        )


def test_searches_without_sense_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="at least one limit"):
        StartLimits()
    with pytest.raises(OutOfRangeError, match="must be above 0"):
        StartLimits(largest_cell_a=-1)
    with pytest.raises(OutOfRangeError, match="at least one corner"):
        shortest_ramp(
            corners={}, machine=MACHINE, drive=Drive(), limits=StartLimits(largest_cell_a=1)
        )
    still = Machine(motor=replace(MOTOR, rotor_inertia_kg_m2=0.0))
    with pytest.raises(OutOfRangeError, match="no run-up to solve"):
        shortest_ramp(
            corners=CORNERS, machine=still, drive=Drive(), limits=StartLimits(largest_cell_a=1)
        )
