"""A motor from whatever is known of it, one function for each kind of knowledge.

Spreads that no source gives are marked as common practice or as chosen here; each motor says which
basis it has and which reading would narrow it most.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from packdesign.engineering.demand.motor import NO_GEAR, Motor
from packdesign.engineering.demand.motor_assumptions import (
    ASSUMED_GEAR_FRACTION,
    ASSUMED_NO_LOAD_RPM,
    ASSUMED_NO_LOAD_SHARE,
    ASSUMED_STALL_A,
    CONTROLLER_DROP_SHARE,
    LOCKED_SPREAD_FRACTION,
    OHMMETER_LOW_SHARE,
)
from packdesign.engineering.demand.motor_case import torque_constant_nm_per_a
from packdesign.engineering.demand.motor_readings import (
    LOCKED_ROTOR,
    NO_LOAD_CURRENT,
    NO_LOAD_SPEED,
    RUNNING_CURRENT,
)
from packdesign.foundation.basis import Band, Basis, weakest
from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "Gear",
    "SpeedKnowledge",
    "motor_from_locked_rotor",
    "motor_from_ohmmeter",
    "motor_from_speed_constant",
    "motor_unknown",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Gear:
    """A gear in front of the motor."""

    ratio: float = 1.0
    """Turns of the motor for one turn of the output. [-]"""
    efficiency_fraction: float | None = None
    """Output power over motor-side power; None where nobody says. [-]"""

    def __post_init__(self) -> None:
        if not self.ratio > 0:
            msg = f"a gear ratio is above 0; got {self.ratio}"
            raise OutOfRangeError(msg)
        given = self.efficiency_fraction
        if given is not None and not 0 < given <= 1:
            msg = (
                f"gear efficiency is {given}; it must be above 0 and at most 1: no gear gives "
                "more power than it takes (25 % is written 0.25)"
            )
            raise OutOfRangeError(msg)

    def band(self) -> Band:
        """Efficiency with its band: +-10 % of the loss where given, never below half of it. [-]"""
        if self.efficiency_fraction is not None:
            loss = 1 - self.efficiency_fraction
            least = max(1 - 1.1 * loss, 0.5 * self.efficiency_fraction)
            return Band(least, self.efficiency_fraction, 1 - 0.9 * loss)
        return NO_GEAR if self.ratio == 1 else Band(*ASSUMED_GEAR_FRACTION)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeedKnowledge:
    """What is known of speed and no-load current beside a resistance; all may be missing."""

    nominal_v: float
    """Voltage the motor is made for. [V]"""
    no_load_rad_per_s: float | None = None
    """Speed behind the gear with nothing attached, at ``nominal_v``. [rad/s]"""
    no_load_a: float | None = None
    """Current then. [A]"""

    def __post_init__(self) -> None:
        if not self.nominal_v > 0:
            msg = f"the nominal voltage is {self.nominal_v} V; it must be above 0"
            raise OutOfRangeError(msg)


def _with_resistance(
    *,
    resistance: Band,
    speed: SpeedKnowledge,
    gear: Gear,
    basis: Basis,
    narrowing_reading: str,
    name: str,
) -> Motor:
    """Complete a motor of known resistance from what is known of its speed."""
    volts = speed.nominal_v
    stall_a = volts / resistance.mid
    if speed.no_load_a is None:
        no_load = Band(*(share * stall_a for share in ASSUMED_NO_LOAD_SHARE))
        basis = weakest(basis, Basis.ASSUMED)
    else:
        _check_stall(stall_a=volts / resistance.low, no_load_a=speed.no_load_a, name=name)
        no_load = Band.from_fraction(speed.no_load_a, spread_fraction=0.2)
    if speed.no_load_rad_per_s is None:
        speeds = Band(*(rpm * math.pi / 30 for rpm in ASSUMED_NO_LOAD_RPM))
        basis = weakest(basis, Basis.ASSUMED)
    else:
        speeds = Band.from_fraction(speed.no_load_rad_per_s * gear.ratio, spread_fraction=0.05)
    driving_v = max(volts - no_load.mid * resistance.mid, 0.5 * volts)
    return Motor(
        name=name,
        resistance_ohm=resistance,
        torque_constant_nm_per_a=Band(
            driving_v / speeds.high, driving_v / speeds.mid, driving_v / speeds.low
        ),
        no_load_a=no_load,
        gear_ratio=gear.ratio,
        gear_efficiency_fraction=gear.band(),
        nominal_v=volts,
        basis=basis,
        narrowing_reading=narrowing_reading,
    )


def _check_stall(*, stall_a: float, no_load_a: float, name: str) -> None:
    if stall_a <= no_load_a:
        msg = (
            f"{name}: stall current {stall_a:.3g} A is not above the no-load current "
            f"{no_load_a:.3g} A; a held shaft draws the most, so one of the two is wrong "
            "(swapped, or another voltage)"
        )
        raise OutOfRangeError(msg)


def motor_from_locked_rotor(
    *,
    voltage_v: float,
    current_a: float,
    speed: SpeedKnowledge,
    gear: Gear | None = None,
    lead_ohm: float = 0.0,
    name: str = "motor",
) -> Motor:
    """Motor from voltage and current read with the shaft held, at a reduced voltage.

    Parameters
    ----------
    voltage_v : float
        Voltage at the motor while held. [V]
    current_a : float
        Current while held. [A]
    speed : SpeedKnowledge
        Nominal voltage, and what is known of speed and current without load.
    gear : Gear or None
        Gear, if any.
    lead_ohm : float
        Resistance of test leads inside the reading, taken off. [ohm]
    name : str
        Name for messages.

    Returns
    -------
    Motor
        Basis "measured" if speed and no-load current are known too, else "assumed".

    Raises
    ------
    OutOfRangeError
        If the readings cannot be true: not above zero, or a stall current below no-load.

    Notes
    -----
    R = V / I: at rest there is no back-EMF, so the current at any voltage follows in proportion.
    +-10 % for brush drop and warming (chosen here).

    Examples
    --------
    8.7 V and 3.9 A extrapolated to 24 V (industrialmonitordirect.com, stall-current article):

    >>> motor = motor_from_locked_rotor(
    ...     voltage_v=8.7, current_a=3.9, speed=SpeedKnowledge(nominal_v=24.0))
    >>> round(motor.resistance_ohm.mid, 4), round(motor.stall_a(voltage_v=24.0).mid, 2)
    (2.2308, 10.76)
    """
    if voltage_v <= 0 or current_a <= 0:
        msg = (
            f"{name}: a locked-rotor reading needs voltage and current above 0; got "
            f"{voltage_v} V and {current_a} A"
        )
        raise OutOfRangeError(msg)
    resistance_ohm = voltage_v / current_a - lead_ohm
    if resistance_ohm <= 0:
        msg = (
            f"{name}: {voltage_v:g} V / {current_a:g} A less {lead_ohm:g} ohm of leads leaves no "
            "resistance; measure at the motor's own terminals"
        )
        raise OutOfRangeError(msg)
    missing = NO_LOAD_SPEED if speed.no_load_rad_per_s is None else NO_LOAD_CURRENT
    return _with_resistance(
        resistance=Band.from_fraction(resistance_ohm, spread_fraction=LOCKED_SPREAD_FRACTION),
        speed=speed,
        gear=gear or Gear(),
        basis=Basis.MEASURED,
        narrowing_reading=missing,
        name=name,
    )


def motor_from_ohmmeter(
    *,
    readings_ohm: Sequence[float],
    speed: SpeedKnowledge,
    gear: Gear | None = None,
    lead_ohm: float = 0.0,
    name: str = "motor",
) -> Motor:
    """Motor from ohmmeter readings at several positions of the shaft.

    Parameters
    ----------
    readings_ohm : sequence of float
        Readings with the motor at rest, the shaft turned a little between them. [ohm]
    speed : SpeedKnowledge
        Nominal voltage, and what is known of speed and current without load.
    gear : Gear or None
        Gear, if any.
    lead_ohm : float
        Reading with the probes held together, taken off. [ohm]
    name : str
        Name for messages.

    Returns
    -------
    Motor
        Resistance from three quarters of the lowest reading, over the lowest, to the mean of all.

    Raises
    ------
    OutOfRangeError
        If there is no reading, or one that the leads alone explain.

    Notes
    -----
    An ohmmeter's small current passes brushes and oxide badly and reads high, most at positions
    where a brush bridges segments; the lowest reading is nearest the truth (common practice, no
    source).

    Examples
    --------
    >>> motor = motor_from_ohmmeter(
    ...     readings_ohm=[2.4, 2.0, 3.1], lead_ohm=0.2, speed=SpeedKnowledge(nominal_v=6.0))
    >>> round(motor.resistance_ohm.low, 2), motor.resistance_ohm.mid
    (1.35, 1.8)
    """
    net = [reading - lead_ohm for reading in readings_ohm]
    if not net or min(net) <= 0:
        msg = (
            f"{name}: ohmmeter readings {list(readings_ohm)} less {lead_ohm:g} ohm of leads leave "
            "nothing above 0; hold the probes together, note that reading, then measure again"
        )
        raise OutOfRangeError(msg)
    lowest = min(net)
    return _with_resistance(
        resistance=Band(OHMMETER_LOW_SHARE * lowest, lowest, sum(net) / len(net)),
        speed=speed,
        gear=gear or Gear(),
        basis=Basis.MEASURED,
        narrowing_reading=LOCKED_ROTOR,
        name=name,
    )


def motor_from_speed_constant(
    *,
    speed_constant_rpm_per_v: float,
    largest_a: float,
    nominal_v: float,
    resistance_ohm: float | None = None,
    no_load_a: float | None = None,
    gear: Gear | None = None,
    name: str = "brushless motor",
) -> Motor:
    """Brushless motor with its controller, seen as one direct-current motor on the battery's side.

    Parameters
    ----------
    speed_constant_rpm_per_v : float
        Speed constant ("KV"). [rpm/V]
    largest_a : float
        Largest current of motor or controller, whichever is lower. [A]
    nominal_v : float
        Voltage of the supply it is made for. [V]
    resistance_ohm : float or None
        Between two phases, controller included; None where nobody says. [ohm]
    no_load_a : float or None
        No-load current. [A]
    gear : Gear or None
        Gear, if any.
    name : str
        Name for messages.

    Returns
    -------
    Motor
        ``largest_a`` is meant as the current limit of its drive: without one a stalled brushless
        motor is bounded by resistance alone.

    Raises
    ------
    OutOfRangeError
        If a figure is not above zero, or stall current is not above no-load current.

    Examples
    --------
    >>> motor = motor_from_speed_constant(
    ...     speed_constant_rpm_per_v=1000, largest_a=20.0, nominal_v=11.1)
    >>> round(1000 * motor.torque_constant_nm_per_a.mid, 3)
    9.549
    """
    if largest_a <= 0 or nominal_v <= 0:
        msg = f"{name}: largest_a and nominal_v must be above 0; got {largest_a} and {nominal_v}"
        raise OutOfRangeError(msg)
    constant = torque_constant_nm_per_a(speed_constant_rpm_per_v=speed_constant_rpm_per_v)
    if resistance_ohm is None:
        resistance = Band(*(share * nominal_v / largest_a for share in CONTROLLER_DROP_SHARE))
    else:
        resistance = Band.from_fraction(resistance_ohm, spread_fraction=LOCKED_SPREAD_FRACTION)
    if no_load_a is None:
        no_load = Band(0.01 * largest_a, 0.03 * largest_a, 0.08 * largest_a)  # chosen here
    else:
        no_load = Band.from_fraction(no_load_a, spread_fraction=0.2)
        _check_stall(stall_a=nominal_v / resistance.mid, no_load_a=no_load_a, name=name)
    known = resistance_ohm is not None and no_load_a is not None
    gear = gear or Gear()
    return Motor(
        name=name,
        resistance_ohm=resistance,
        torque_constant_nm_per_a=Band.from_fraction(constant, spread_fraction=0.1),
        no_load_a=no_load,
        gear_ratio=gear.ratio,
        gear_efficiency_fraction=gear.band(),
        nominal_v=nominal_v,
        largest_a=largest_a,
        basis=Basis.DATASHEET if known else Basis.ASSUMED,
        narrowing_reading=RUNNING_CURRENT,
    )


def motor_unknown(*, nominal_v: float, gear: Gear | None = None, name: str = "motor") -> Motor:
    """Small brushed motor of which only the voltage is known.

    Parameters
    ----------
    nominal_v : float
        Voltage it is made for. [V]
    gear : Gear or None
        Gear, if any.
    name : str
        Name for messages.

    Returns
    -------
    Motor
        Very wide bands: stall current 0.35 to 10 A.

    Raises
    ------
    OutOfRangeError
        If the voltage is not above zero.

    Examples
    --------
    >>> stall = motor_unknown(nominal_v=6.0).stall_a(voltage_v=6.0)
    >>> round(stall.low, 3), round(stall.high, 3)
    (0.35, 10.0)
    """
    speed = SpeedKnowledge(nominal_v=nominal_v)
    low, mid, high = ASSUMED_STALL_A
    return _with_resistance(
        resistance=Band(nominal_v / high, nominal_v / mid, nominal_v / low),
        speed=speed,
        gear=gear or Gear(),
        basis=Basis.ASSUMED,
        narrowing_reading=LOCKED_ROTOR,
        name=name,
    )
