"""A motor from its maker's or seller's sheet, whose own figures are held against each other."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from packdesign.engineering.demand.motor import NO_GEAR, Motor
from packdesign.engineering.demand.motor_assumptions import (
    ASSUMED_GEAR_FRACTION,
    ASSUMED_NO_LOAD_SHARE,
)
from packdesign.engineering.demand.motor_readings import LOCKED_ROTOR, NO_LOAD_SPEED
from packdesign.foundation.basis import Band, Basis
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["MotorSheet", "motor_from_sheet"]

NO_LOAD_SPREAD_FRACTION: Final = 0.5
"""Makers of small motors allow +-50 % on the no-load current (from memory)."""
_ROUNDING_ALLOWANCE: Final = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class MotorSheet:
    """Figures as printed; give what the sheet has. Speeds and torques are behind the gear."""

    name: str = "motor"
    nominal_v: float
    """Voltage of the figures. [V]"""
    no_load_rad_per_s: float | None = None
    """No-load speed. [rad/s]"""
    no_load_a: float | None = None
    """No-load current. [A]"""
    stall_a: float | None = None
    """Stall current. [A]"""
    stall_torque_nm: float | None = None
    """Stall torque. [N m]"""
    resistance_ohm: float | None = None
    """Terminal resistance. [ohm]"""
    torque_constant_nm_per_a: float | None = None
    """Torque constant of the motor alone. [N m/A]"""
    gear_ratio: float = 1.0
    """Turns of the motor for one turn of the output. [-]"""
    gear_efficiency_fraction: float | None = None
    """Efficiency of the gear, if printed. [-]"""
    load_torque_nm: float | None = None
    """Torque of a printed load point. [N m]"""
    load_rad_per_s: float | None = None
    """Speed of that point. [rad/s]"""
    load_a: float | None = None
    """Current of that point. [A]"""
    inductance_h: float | None = None
    """Terminal inductance. [H]"""
    rotor_inertia_kg_m2: float | None = None
    """Inertia of the rotor. [kg m2]"""
    tolerance_fraction: float = 0.1
    """Spread from motor to motor (+-10 % is a usual maker's tolerance, from memory). [-]"""

    def __post_init__(self) -> None:
        for what in (
            "nominal_v", "no_load_rad_per_s", "stall_a", "stall_torque_nm", "resistance_ohm",
            "torque_constant_nm_per_a", "gear_ratio", "gear_efficiency_fraction", "load_torque_nm",
            "load_rad_per_s", "load_a",
        ):  # fmt: skip
            value = getattr(self, what)
            if value is not None and not (math.isfinite(value) and value > 0):
                msg = f"{self.name}: {what} is {value}; it must be above 0, or left out"
                raise OutOfRangeError(msg)
        self._check_currents()
        self._check_powers()

    def _check_currents(self) -> None:
        no_load, stall = self.no_load_a, self.printed_stall_a
        if no_load is not None and no_load < 0:
            msg = f"{self.name}: no_load_a is {no_load}; it must be 0 or more"
            raise OutOfRangeError(msg)
        if no_load is not None and stall is not None and stall <= no_load:
            msg = (
                f"{self.name}: stall current {stall:.3g} A is not above the no-load current "
                f"{no_load:.3g} A; a held shaft draws the most, so one of the two is wrong "
                "(swapped, or another voltage)"
            )
            raise OutOfRangeError(msg)

    def _check_powers(self) -> None:
        given = self.gear_efficiency_fraction
        if given is not None and given > 1:
            msg = (
                f"{self.name}: gear efficiency is {given}; it must be at most 1: no gear gives "
                "more power than it takes (25 % is written 0.25)"
            )
            raise OutOfRangeError(msg)
        if self.load_torque_nm and self.load_rad_per_s and self.load_a:
            share = self.load_torque_nm * self.load_rad_per_s / (self.nominal_v * self.load_a)
            if share > 1:
                msg = (
                    f"{self.name}: the load point gives {share:.2f} times the power it takes "
                    f"({self.load_torque_nm:g} N m at {self.load_rad_per_s:g} rad/s from "
                    f"{self.nominal_v:g} V and {self.load_a:g} A); efficiency must be below 1"
                )
                raise OutOfRangeError(msg)

    @property
    def printed_stall_a(self) -> float | None:
        """Stall current as printed, or voltage over resistance. [A]"""
        if self.stall_a is not None:
            return self.stall_a
        if self.resistance_ohm is not None:
            return self.nominal_v / self.resistance_ohm
        return None


def motor_from_sheet(sheet: MotorSheet) -> Motor:
    """Motor from the figures of its sheet, the bands wide enough to hold their contradictions.

    Parameters
    ----------
    sheet : MotorSheet
        The figures printed.

    Returns
    -------
    Motor
        ``notes`` names the figures that do not agree within the sheet's tolerance.

    Raises
    ------
    OutOfRangeError
        If the sheet lacks what is needed (a resistance or a stall, a speed or a torque constant),
        the stall torque would need an efficiency above one, or the free motor would not turn.

    Notes
    -----
    V = I R + k w and T = k I with one constant k; R from the resistance printed, else from the
    stall current, else from stall torque and no-load speed. Gear efficiency from the stall torque
    where a gear is fitted and no efficiency printed.

    Examples
    --------
    >>> motor = motor_from_sheet(MotorSheet(
    ...     nominal_v=12.0, no_load_rad_per_s=1000.0, no_load_a=0.2, stall_a=5.5))
    >>> round(motor.resistance_ohm.mid, 3), round(1000 * motor.torque_constant_nm_per_a.mid, 2)
    (2.182, 11.56)
    """
    notes: list[str] = []
    resistance_mid = _resistance(sheet)
    no_load = _no_load(sheet, resistance_ohm=resistance_mid)
    _refuse_no_speed(sheet, no_load_a=no_load.mid, resistance_ohm=resistance_mid)
    resistance = _resistance_band(sheet, resistance_mid, notes)
    constant = _constant_band(sheet, resistance_mid, no_load.mid, notes)
    gear = _gear_band(
        sheet, constant=constant.mid, resistance_ohm=resistance_mid, no_load_a=no_load.mid,
        notes=notes,
    )  # fmt: skip
    seen_speed = sheet.no_load_rad_per_s is not None or sheet.torque_constant_nm_per_a is not None
    return Motor(
        name=sheet.name,
        resistance_ohm=resistance,
        torque_constant_nm_per_a=constant,
        no_load_a=no_load,
        gear_ratio=sheet.gear_ratio,
        gear_efficiency_fraction=gear,
        inductance_h=sheet.inductance_h,
        rotor_inertia_kg_m2=sheet.rotor_inertia_kg_m2,
        nominal_v=sheet.nominal_v,
        basis=Basis.DATASHEET if sheet.no_load_a is not None else Basis.ASSUMED,
        narrowing_reading=LOCKED_ROTOR if seen_speed else NO_LOAD_SPEED,
        notes=tuple(notes),
    )


def _resistance(sheet: MotorSheet) -> float:
    if sheet.resistance_ohm is not None:
        return sheet.resistance_ohm
    if sheet.stall_a is not None:
        return sheet.nominal_v / sheet.stall_a
    speed, torque = sheet.no_load_rad_per_s, sheet.stall_torque_nm
    if speed is None or torque is None:
        msg = (
            f"{sheet.name}: the sheet gives no terminal resistance, no stall current, and not both "
            "no-load speed and stall torque; give one of these, or take a locked-rotor reading. "
            + LOCKED_ROTOR
        )
        raise OutOfRangeError(msg)
    gain = 1.0 if sheet.gear_ratio == 1 else ASSUMED_GEAR_FRACTION[1]
    power = speed * torque / (sheet.gear_efficiency_fraction or gain)
    volts, no_load = sheet.nominal_v, sheet.no_load_a or 0.0
    middle = 2 * volts * no_load + power  # (V - I0 R)^2 = R w0 Ts, the smaller root
    inside = middle**2 - 4 * (no_load * volts) ** 2
    return 2 * volts**2 / (middle + math.sqrt(inside))


def _no_load(sheet: MotorSheet, *, resistance_ohm: float) -> Band:
    if sheet.no_load_a is not None:
        return Band.from_fraction(sheet.no_load_a, spread_fraction=NO_LOAD_SPREAD_FRACTION)
    stall_a = sheet.nominal_v / resistance_ohm
    return Band(*(share * stall_a for share in ASSUMED_NO_LOAD_SHARE))


def _refuse_no_speed(sheet: MotorSheet, *, no_load_a: float, resistance_ohm: float) -> None:
    """Refuse figures by which even the free motor would stand still."""
    drop_v = no_load_a * resistance_ohm
    if drop_v >= sheet.nominal_v:
        msg = (
            f"{sheet.name}: its no-load current of {no_load_a:.3g} A takes {drop_v:.3g} V in its "
            f"resistance of {resistance_ohm:.3g} ohm, all of the nominal voltage of "
            f"{sheet.nominal_v:.3g} V and more; check no_load_current, terminal_resistance, "
            "stall_current and nominal_voltage"
        )
        raise OutOfRangeError(msg)


def _around(values: list[float], *, tolerance: float) -> Band:
    """Band around the first value that holds all of them with their tolerance."""
    return Band(min(values) * (1 - tolerance), values[0], max(values) * (1 + tolerance))


def _resistance_band(sheet: MotorSheet, middle: float, notes: list[str]) -> Band:
    found = [middle]
    if sheet.resistance_ohm is not None and sheet.stall_a is not None:
        found.append(sheet.nominal_v / sheet.stall_a)
        _compare(sheet, "resistance", found, notes, given="printed", derived="from stall current")
    return _around(found, tolerance=sheet.tolerance_fraction)


def _constant_band(
    sheet: MotorSheet, resistance_ohm: float, no_load_a: float, notes: list[str]
) -> Band:
    found: list[float] = []
    if sheet.torque_constant_nm_per_a is not None:
        found.append(sheet.torque_constant_nm_per_a)
    if sheet.no_load_rad_per_s is not None:
        driving_v = sheet.nominal_v - no_load_a * resistance_ohm
        found.append(driving_v / (sheet.no_load_rad_per_s * sheet.gear_ratio))
    if not found and sheet.stall_torque_nm is not None:
        gain = 1.0 if sheet.gear_ratio == 1 else ASSUMED_GEAR_FRACTION[1]
        gain = sheet.gear_ratio * (sheet.gear_efficiency_fraction or gain)
        useful_a = sheet.nominal_v / resistance_ohm - no_load_a
        found.append(sheet.stall_torque_nm / (gain * useful_a))
    if not found:
        msg = (
            f"{sheet.name}: the sheet gives no no-load speed, no torque constant and no stall "
            "torque, so its speed cannot be known; " + NO_LOAD_SPEED
        )
        raise OutOfRangeError(msg)
    if len(found) > 1:
        _compare(sheet, "torque constant", found, notes, given="printed", derived="from the speed")
    return _around(found, tolerance=sheet.tolerance_fraction)


def _gear_band(
    sheet: MotorSheet, *, constant: float, resistance_ohm: float, no_load_a: float, notes: list[str]
) -> Band:
    implied = None
    if sheet.stall_torque_nm is not None and sheet.no_load_rad_per_s is not None:
        useful_a = sheet.nominal_v / resistance_ohm - no_load_a
        implied = sheet.stall_torque_nm / (constant * sheet.gear_ratio * useful_a)
        _refuse_gain(sheet, implied)
    if sheet.gear_efficiency_fraction is not None:
        loss = 1 - sheet.gear_efficiency_fraction
        least = max(1 - 1.1 * loss, 0.5 * sheet.gear_efficiency_fraction)
        return Band(least, sheet.gear_efficiency_fraction, 1 - 0.9 * loss)
    if implied is not None and (sheet.gear_ratio != 1 or implied < 1 - sheet.tolerance_fraction):
        if sheet.gear_ratio == 1:
            notes.append(
                f"the stall torque is {implied:.2f} of what current and speed give; the rest is "
                "taken as loss"
            )
        middle = min(implied, 1.0)
        spread = 1 + sheet.tolerance_fraction
        return Band(middle / spread, middle, min(middle * spread, 1.0))
    return NO_GEAR if sheet.gear_ratio == 1 else Band(*ASSUMED_GEAR_FRACTION)


def _refuse_gain(sheet: MotorSheet, implied: float) -> None:
    allowed = 1 + sheet.tolerance_fraction + _ROUNDING_ALLOWANCE
    if implied > allowed:
        msg = (
            f"{sheet.name}: the stall torque is {implied:.2f} times what its current and speed "
            f"can give, an efficiency above one (up to {allowed:.2f} is taken as rounding); check "
            "units, gear ratio, stall_torque, torque_constant and no_load_speed, and whether all "
            "figures are for the same voltage"
        )
        raise OutOfRangeError(msg)


def _compare(
    sheet: MotorSheet, what: str, found: list[float], notes: list[str], *, given: str, derived: str
) -> None:
    apart = abs(found[1] / found[0] - 1)
    if apart > sheet.tolerance_fraction:
        notes.append(
            f"{what} {given} ({found[0]:.4g}) and {derived} ({found[1]:.4g}) differ by "
            f"{100 * apart:.0f} %; the band holds both"
        )
