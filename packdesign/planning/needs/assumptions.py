"""What a brief leaves open and is assumed so that the job can be done, named for the builder."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from packdesign.data.cell_table import CellTable
from packdesign.foundation.errors import UnitError, UnknownNameError
from packdesign.foundation.units import quantity
from packdesign.planning.brief.load_sections import Rail
from packdesign.planning.brief.motor import Motor
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.cells import cell_table_of
from packdesign.planning.needs.parts import regulator_part

__all__ = [
    "Assumption",
    "assumptions_of",
    "body_is_known",
    "motor_nominal_v",
    "pack_nominal_v",
    "rail_output_v",
]

_USUAL_MOTOR_V: Final = 12.0
"""Voltage of a motor of which nobody says any, in a pack of which nobody says any; own choice."""
_USUAL_RAIL_V: Final = 5.0
"""Output of a regulator of which nobody says any: the commonest small rail; own choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """One figure that nobody gave."""

    about: str
    """Whose figure it is: "voltage of motor wheel"."""
    says: str
    """What was taken for it, and why, as one sentence."""
    ask: str
    """What to find out."""


def motor_nominal_v(section: Motor, *, pack_v: float | None) -> tuple[float, bool]:
    """Give the voltage that a motor's figures are for, and whether the brief says it. [V]

    Parameters
    ----------
    section : Motor
        The motor.
    pack_v : float or None
        Nominal voltage of the pack, where it is settled. [V]

    Returns
    -------
    tuple of float and bool
        Stated, read with the motor running free, or worked out of stall current and resistance;
        else that of the pack, assumed.
    """
    reading = section.no_load_reading
    if section.nominal_v is not None:
        return section.nominal_v, True
    if reading is not None and reading.voltage_v is not None:
        return reading.voltage_v, True
    if section.stall_current_a and section.terminal_resistance_ohm:
        return section.stall_current_a * section.terminal_resistance_ohm, True
    return (_USUAL_MOTOR_V if pack_v is None else pack_v), False


def rail_output_v(section: Rail) -> tuple[float, bool]:
    """Give the voltage that a rail makes, and whether the brief says it. [V]

    Parameters
    ----------
    section : Rail
        The rail.

    Returns
    -------
    tuple of float and bool
        Stated, that of its part, or that of its name ("3.3 V"); else 5 V, assumed.
    """
    if section.output_v is not None:
        return section.output_v, True
    part = regulator_part(section)
    if part is not None and part.output_v is not None:
        return part.output_v, True
    try:
        named_v = quantity(section.name, unit="V", what="rail")
    except UnitError:
        return _USUAL_RAIL_V, False
    return (named_v, True) if named_v > 0 else (_USUAL_RAIL_V, False)


def body_is_known(section: Motor) -> bool:
    """Tell whether the brief says enough of what a motor turns to have its inertia.

    Parameters
    ----------
    section : Motor
        The motor.
    """
    body = section.drives
    if body is None:
        return False
    if body.inertia_kgm2 is not None:
        return True
    if not body.mass_kg or body.shape is None:
        return False
    size_m = body.length_m if body.shape.startswith("rod") else body.radius_m
    return bool(size_m or body.radius_m or body.length_m)


def pack_nominal_v(brief: Brief, table: CellTable | None = None) -> float | None:
    """Give the nominal voltage of the pack that a brief names, or None. [V]

    Parameters
    ----------
    brief : Brief
        The brief.
    table : CellTable or None
        The cells; None: those of the brief.
    """
    pack = brief.pack
    if pack is None or pack.cell is None or pack.series is None:
        return None
    try:
        cell = (table or cell_table_of(brief)).find(pack.cell)
    except UnknownNameError:
        return None
    return pack.series * cell.nominal_v


def assumptions_of(brief: Brief) -> tuple[Assumption, ...]:
    """List what was assumed for a brief because nobody said it.

    Parameters
    ----------
    brief : Brief
        The brief.

    Returns
    -------
    tuple of Assumption
        Empty where the brief says all that is needed.
    """
    found = []
    for motor in brief.all_motors:
        nominal_v, is_known = motor_nominal_v(motor, pack_v=pack_nominal_v(brief))
        if not is_known:
            found.append(
                Assumption(
                    about=f"voltage of {motor.name}",
                    says=f"No voltage is given for motor '{motor.name}': {nominal_v:.3g} V is "
                    "taken for its figures.",
                    ask="Read the voltage off the motor, its sheet or its old supply, and give "
                    "nominal_voltage.",
                )
            )
        if not body_is_known(motor):
            part = "not all that is needed" if motor.drives is not None else "nothing"
            found.append(
                Assumption(
                    about=f"inertia of {motor.name}",
                    says=f"Of what motor '{motor.name}' turns, {part} is given: only its own "
                    "rotor is counted, and a real start is longer and heavier than shown.",
                    ask="Give motor.drives with shape, mass and size of what is spun.",
                )
            )
    for rail in brief.rails:
        output_v, is_known = rail_output_v(rail)
        if not is_known:
            found.append(
                Assumption(
                    about=f"voltage of {rail.name}",
                    says=f"No output voltage is given for rail {rail.name}: {output_v:g} V is "
                    "taken.",
                    ask="Give output_voltage of the regulator.",
                )
            )
    return tuple(found)
