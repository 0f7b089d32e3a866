"""A motor from each kind of knowledge, and knowledge that cannot be true."""

from __future__ import annotations

import pytest

from packdesign.engineering.demand.motor import Motor
from packdesign.engineering.demand.motor_case import MotorCase, torque_constant_nm_per_a
from packdesign.engineering.demand.motor_sheet import MotorSheet, motor_from_sheet
from packdesign.engineering.demand.motor_sources import (
    Gear,
    SpeedKnowledge,
    motor_from_locked_rotor,
    motor_from_ohmmeter,
    motor_from_speed_constant,
    motor_unknown,
)
from packdesign.foundation.basis import Band, Basis
from packdesign.foundation.errors import OutOfRangeError

SPEED = SpeedKnowledge(nominal_v=12, no_load_rad_per_s=26.0, no_load_a=0.4)


def width(band: Band) -> float:
    return (band.high - band.low) / band.mid


def test_the_less_is_known_the_wider_the_resistance() -> None:
    sheet = motor_from_sheet(
        MotorSheet(nominal_v=12, no_load_rad_per_s=26, no_load_a=0.4, stall_a=10, gear_ratio=30)
    )
    meter = motor_from_ohmmeter(readings_ohm=[1.3, 1.5, 1.25], speed=SPEED, gear=Gear(ratio=30))
    unknown = motor_unknown(nominal_v=12, gear=Gear(ratio=30))
    widths = [width(each.resistance_ohm) for each in (sheet, meter, unknown)]
    assert widths == sorted(widths)
    assert [each.basis for each in (sheet, meter, unknown)] == [
        Basis.DATASHEET, Basis.MEASURED, Basis.ASSUMED,
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("motor", "reading"),
    [
        (motor_unknown(nominal_v=6), "Locked-rotor"),
        (motor_from_ohmmeter(readings_ohm=[1.2], speed=SPEED), "Locked-rotor"),
        (motor_from_locked_rotor(voltage_v=2, current_a=1.9, speed=SPEED), "No-load current"),
        (
            motor_from_locked_rotor(voltage_v=2, current_a=1.9, speed=SpeedKnowledge(nominal_v=12)),
            "No-load speed",
        ),
        (
            motor_from_speed_constant(speed_constant_rpm_per_v=900, largest_a=20, nominal_v=11.1),
            "Current at full work",
        ),
    ],
)
def test_each_names_the_reading_that_narrows_it_most(motor: Motor, reading: str) -> None:
    assert motor.narrowing_reading.startswith(reading)


def test_a_locked_rotor_reading_takes_the_leads_off() -> None:
    motor = motor_from_locked_rotor(voltage_v=2.0, current_a=2.0, lead_ohm=0.1, speed=SPEED)
    assert motor.resistance_ohm.mid == pytest.approx(0.9)


def test_missing_speed_makes_a_measured_motor_an_assumed_one() -> None:
    motor = motor_from_locked_rotor(
        voltage_v=2.0, current_a=2.0, speed=SpeedKnowledge(nominal_v=12)
    )
    assert motor.basis is Basis.ASSUMED


def test_a_brushless_motor_carries_its_largest_current() -> None:
    motor = motor_from_speed_constant(
        speed_constant_rpm_per_v=1000, largest_a=20, nominal_v=11.1, resistance_ohm=0.05,
        no_load_a=0.9,
    )  # fmt: skip
    assert motor.largest_a == 20
    assert motor.basis is Basis.DATASHEET


def test_stall_torque_and_speed_alone_give_a_resistance() -> None:
    """(V - I0 R)^2 = R w0 Ts must hold for what comes back."""
    sheet = MotorSheet(nominal_v=12, no_load_rad_per_s=500, no_load_a=0.3, stall_torque_nm=0.2)
    found = motor_from_sheet(sheet).typical()
    assert found.stall_torque_nm(voltage_v=12) == pytest.approx(0.2)
    assert found.no_load_rad_per_s(voltage_v=12) == pytest.approx(500)


@pytest.mark.parametrize(
    ("sheet", "message"),
    [
        ({"stall_a": 0.3, "no_load_a": 0.4}, "not above the no-load current"),
        ({"stall_a": 5, "gear_efficiency_fraction": 1.2}, "at most 1"),
        ({"stall_a": -5}, "must be above 0"),
        ({"stall_a": 5, "no_load_a": -0.1}, "0 or more"),
        (
            {"stall_a": 5, "load_torque_nm": 1.0, "load_rad_per_s": 100.0, "load_a": 2.0},
            "efficiency must be below 1",
        ),
    ],
)
def test_a_sheet_that_contradicts_itself_is_refused(sheet: dict[str, float], message: str) -> None:
    with pytest.raises(OutOfRangeError, match=message):
        MotorSheet(nominal_v=12, no_load_rad_per_s=500, **sheet)


def test_a_stall_torque_beyond_its_current_is_refused() -> None:
    sheet = MotorSheet(
        nominal_v=12, no_load_rad_per_s=500, no_load_a=0.2, stall_a=5, stall_torque_nm=0.5
    )
    with pytest.raises(OutOfRangeError, match="an efficiency above one"):
        motor_from_sheet(sheet)


def test_a_sheet_without_resistance_is_refused_with_the_reading() -> None:
    with pytest.raises(OutOfRangeError, match="vice or clamp, never by hand"):
        motor_from_sheet(MotorSheet(nominal_v=12, no_load_rad_per_s=500))


def test_readings_that_cannot_be_true_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="voltage and current above 0"):
        motor_from_locked_rotor(voltage_v=0, current_a=1, speed=SPEED)
    with pytest.raises(OutOfRangeError, match="leaves no resistance"):
        motor_from_locked_rotor(voltage_v=1, current_a=10, lead_ohm=0.2, speed=SPEED)
    with pytest.raises(OutOfRangeError, match="not above the no-load current"):
        motor_from_locked_rotor(voltage_v=12, current_a=0.1, speed=SPEED)
    with pytest.raises(OutOfRangeError, match="nothing above 0"):
        motor_from_ohmmeter(readings_ohm=[0.2, 1.0], lead_ohm=0.2, speed=SPEED)
    with pytest.raises(OutOfRangeError, match="above 0 rpm/V"):
        torque_constant_nm_per_a(speed_constant_rpm_per_v=0)
    with pytest.raises(OutOfRangeError, match="at most 1"):
        Gear(ratio=10, efficiency_fraction=70)


def test_heat_raises_resistance_and_weakens_the_magnet() -> None:
    cold = MotorCase(resistance_ohm=1.0, torque_constant_nm_per_a=0.01, no_load_a=0.1)
    hot = cold.at_temperature(winding_rise_k=80, magnet_rise_k=50)
    assert hot.resistance_ohm == pytest.approx(1 + 80 * 0.00393)
    assert hot.torque_constant_nm_per_a == pytest.approx(0.01 * 0.9)
    with pytest.raises(OutOfRangeError, match="straight-line laws"):
        cold.at_temperature(winding_rise_k=-300)


def test_a_load_beyond_stall_stands_still_at_the_stall_current() -> None:
    motor = MotorCase(resistance_ohm=1.0, torque_constant_nm_per_a=0.01, no_load_a=0.1)
    point = motor.running_point(voltage_v=6, output_torque_nm=1.0)
    assert (point.speed_rad_per_s, point.current_a) == (0.0, 6.0)
    assert point.efficiency_fraction == 0


def test_a_whole_motor_warms_with_its_own_coefficients() -> None:
    cold = motor_unknown(nominal_v=6)
    hot = cold.at_temperature(winding_rise_k=100, magnet_rise_k=50)
    assert hot.resistance_ohm.mid == pytest.approx(cold.resistance_ohm.mid * 1.393)
    assert hot.torque_constant_nm_per_a.low == pytest.approx(
        cold.torque_constant_nm_per_a.low * 0.9
    )
