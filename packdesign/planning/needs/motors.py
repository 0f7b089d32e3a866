"""The motors of a brief: whatever is known of them, what they turn, how they are driven."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from packdesign.engineering.demand import inertia
from packdesign.engineering.demand.circuit import Machine
from packdesign.engineering.demand.drive import Decay, Drive
from packdesign.engineering.demand.load_torque import LoadTorque
from packdesign.engineering.demand.mission import Driven
from packdesign.engineering.demand.motor import Motor
from packdesign.engineering.demand.motor_case import SHEET_DEGC
from packdesign.engineering.demand.motor_sheet import MotorSheet, motor_from_sheet
from packdesign.engineering.demand.motor_sources import (
    Gear,
    SpeedKnowledge,
    motor_from_locked_rotor,
    motor_from_ohmmeter,
    motor_from_speed_constant,
    motor_unknown,
)
from packdesign.planning.brief.motor import Motor as MotorSection
from packdesign.planning.brief.motor_sections import Drive as DriveSection
from packdesign.planning.brief.motor_sections import DrivenBody, TorqueLoad
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.assumptions import body_is_known, motor_nominal_v, pack_nominal_v
from packdesign.planning.needs.heat import coldest_degc

__all__ = ["driven_of", "known_motors", "torque_of"]

_RPM = 2 * math.pi / 60
_USUAL_MECHANICAL_S = 0.01
"""Mechanical time constant of a bare rotor where nothing is known of it: catalogue motors have 3 to
10 ms; taken at the slow end, own choice. [s]"""


def known_motors(brief: Brief) -> dict[str, Motor]:
    """Give each motor of the brief with its bands, by name.

    Parameters
    ----------
    brief : Brief
        The brief.

    Raises
    ------
    OutOfRangeError
        If its figures contradict each other.
    """
    pack_v = pack_nominal_v(brief) if brief.all_motors else None
    return {section.name: _motor(section, pack_v=pack_v) for section in brief.all_motors}


def driven_of(brief: Brief, *, hungriest: bool = False) -> dict[str, Driven]:
    """Give each motor with what it turns and its driver, by name.

    Parameters
    ----------
    brief : Brief
        The brief.
    hungriest : bool
        Take the end of each motor's bands that draws the most, instead of the middle, with the
        winding as cold as the coldest day: cold copper resists less, so a start takes more.
    """
    found = {}
    motors = known_motors(brief)
    for section in brief.all_motors:
        motor = motors[section.name]
        if hungriest:
            colder_k = min(coldest_degc(brief) - SHEET_DEGC, 0.0)
            motor = motor.at_temperature(winding_rise_k=colder_k)
        machine = Machine(
            motor=motor.hungriest() if hungriest else motor.typical(),
            inertia_kg_m2=_inertia(section.drives) if body_is_known(section) else 0.0,
            load=torque_of(section.load),
            count=section.count,
        )
        drive = section.drive or DriveSection()
        found[section.name] = Driven(
            machine=machine, drive=_drive(drive), lowest_v=drive.min_v or 0.0
        )
    return found


def torque_of(section: TorqueLoad | None, *, torque_nm: float | None = None) -> LoadTorque:
    """Give the load torque of a section, with its torque replaced where an action says another.

    Parameters
    ----------
    section : TorqueLoad or None
        The motor's own load.
    torque_nm : float or None
        Torque of one action, in the section's own law. [N m]
    """
    if section is None:
        return LoadTorque(constant_nm=torque_nm or 0.0)
    full_nm = section.torque_nm if torque_nm is None else torque_nm
    break_away_nm = section.breakaway_torque_nm or 0.0
    full_nm = full_nm or 0.0
    speed = section.at_speed_rad_per_s
    if section.kind == "proportional" and speed:
        return LoadTorque(per_rad_per_s_nm=full_nm / speed, break_away_nm=break_away_nm)
    if section.kind == "square" and speed:
        square = LoadTorque.square_through(torque_nm=full_nm, speed_rad_per_s=speed)
        return replace(square, break_away_nm=break_away_nm)
    return LoadTorque(constant_nm=full_nm, break_away_nm=break_away_nm)


def _motor(section: MotorSection, *, pack_v: float | None) -> Motor:
    """Choose the best source of knowledge that the section holds."""
    gear = Gear(ratio=section.gear_ratio, efficiency_fraction=section.gear_efficiency_fraction)
    nominal_v, _ = motor_nominal_v(section, pack_v=pack_v)
    motor = _by_source(section, gear, nominal_v)
    extra = {
        "inductance_h": section.inductance_henry,
        "rotor_inertia_kg_m2": section.rotor_inertia_kgm2,
    }
    if extra["rotor_inertia_kg_m2"] is None:
        extra["rotor_inertia_kg_m2"] = _usual_rotor_inertia(motor)
    known = {name: value for name, value in extra.items() if value is not None}
    return replace(motor, **known)  # type: ignore[arg-type]


def _usual_rotor_inertia(motor: Motor) -> float:
    """Inertia of a rotor of which nobody knows it, from a usual mechanical time constant. [kg m2]

    The time constant of a bare motor is R J / Kt^2.
    """
    constant = motor.torque_constant_nm_per_a.mid
    return _USUAL_MECHANICAL_S * constant**2 / motor.resistance_ohm.mid


def _by_source(section: MotorSection, gear: Gear, nominal_v: float) -> Motor:
    speed = _speed(section, nominal_v)
    held = section.locked_rotor
    if held is not None and held.voltage_v and held.current_a:
        return motor_from_locked_rotor(
            voltage_v=held.voltage_v,
            current_a=held.current_a,
            speed=speed,
            gear=gear,
            name=section.name,
        )
    if section.stall_current_a or section.terminal_resistance_ohm:
        sheet = _sheet(section, nominal_v)
        if any((sheet.no_load_rad_per_s, sheet.torque_constant_nm_per_a, sheet.stall_torque_nm)):
            return motor_from_sheet(sheet)
        # a stall current alone is a locked-rotor reading at the full voltage
        return motor_from_locked_rotor(
            voltage_v=nominal_v,
            current_a=sheet.printed_stall_a or 0.0,
            speed=speed,
            gear=gear,
            name=section.name,
        )
    if section.ohmmeter_readings_ohm:
        return motor_from_ohmmeter(
            readings_ohm=section.ohmmeter_readings_ohm, speed=speed, gear=gear, name=section.name
        )
    constant = section.speed_constant_rad_per_s_per_v
    if constant and section.max_current_a:
        return motor_from_speed_constant(
            speed_constant_rpm_per_v=constant / _RPM,
            largest_a=section.max_current_a,
            nominal_v=nominal_v,
            no_load_a=section.no_load_current_a,
            gear=gear,
            name=section.name,
        )
    return motor_unknown(nominal_v=nominal_v, gear=gear, name=section.name)


def _speed(section: MotorSection, nominal_v: float) -> SpeedKnowledge:
    """Take the free-running reading, brought to the nominal voltage, before the printed figures."""
    reading = section.no_load_reading
    if reading is not None and reading.voltage_v:
        speed = reading.speed_rad_per_s
        return SpeedKnowledge(
            nominal_v=nominal_v,
            no_load_rad_per_s=None if speed is None else speed * nominal_v / reading.voltage_v,
            no_load_a=reading.current_a,
        )
    return SpeedKnowledge(
        nominal_v=nominal_v,
        no_load_rad_per_s=section.no_load_speed_rad_per_s,
        no_load_a=section.no_load_current_a,
    )


def _sheet(section: MotorSection, nominal_v: float) -> MotorSheet:
    return MotorSheet(
        name=section.name,
        nominal_v=nominal_v,
        no_load_rad_per_s=section.no_load_speed_rad_per_s,
        no_load_a=section.no_load_current_a,
        stall_a=section.stall_current_a,
        stall_torque_nm=section.stall_torque_nm,
        resistance_ohm=section.terminal_resistance_ohm,
        torque_constant_nm_per_a=section.torque_constant_nm_per_a,
        gear_ratio=section.gear_ratio,
        gear_efficiency_fraction=section.gear_efficiency_fraction,
    )


def _inertia(body: DrivenBody | None) -> float:
    """Inertia of the driven body about its axis; nothing where the brief says nothing. [kg m2]"""
    if body is None:
        return 0.0
    if body.inertia_kgm2 is not None:
        return body.inertia_kgm2
    mass_kg, radius_m, length_m = body.mass_kg or 0.0, body.radius_m or 0.0, body.length_m or 0.0
    radius_m, length_m = radius_m or length_m / 2, length_m or 2 * radius_m
    formulas: dict[str, Callable[[], float]] = {
        "rod_about_end": lambda: inertia.rod_about_end_kg_m2(mass_kg=mass_kg, length_m=length_m),
        "rod_about_middle": lambda: inertia.rod_about_centre_kg_m2(
            mass_kg=mass_kg, length_m=length_m
        ),
        "tube": lambda: inertia.tube_kg_m2(
            mass_kg=mass_kg, outer_radius_m=radius_m, inner_radius_m=body.inner_radius_m or 0.0
        ),
        "disc": lambda: inertia.disc_kg_m2(mass_kg=mass_kg, radius_m=radius_m),
        "ring": lambda: inertia.ring_kg_m2(mass_kg=mass_kg, radius_m=radius_m),
        "point": lambda: inertia.ring_kg_m2(mass_kg=mass_kg, radius_m=radius_m),
    }
    return formulas[body.shape or "disc"]()


def _drive(section: DriveSection) -> Drive:
    regenerates = bool(section.regenerates)
    return Drive(
        duty=1.0 if section.duty_fraction is None else section.duty_fraction,
        ramp_s=section.ramp_up_s or 0.0,
        ramp_down_s=section.ramp_down_s,
        decay=Decay.SYNCHRONOUS if regenerates else Decay.DIODE,
        current_limit_a=section.current_limit_a,
        stall_timeout_s=section.stall_timeout_s,
        driver_ohm=section.resistance_ohm or 0.0,
    )
