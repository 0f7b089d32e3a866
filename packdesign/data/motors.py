"""Motors from their makers' sheets."""

from __future__ import annotations

import functools
from dataclasses import dataclass

from packdesign.data.record_reader import find_named, read_records
from packdesign.foundation.basis import Basis

__all__ = ["MotorSheet", "find_motor", "load_motors"]

_COLUMNS = (
    "motor", "maker", "kind", "gear_ratio", "nominal_v", "nominal_min_v", "nominal_max_v",
    "no_load_rpm", "no_load_min_rpm", "no_load_max_rpm", "no_load_a", "no_load_min_a",
    "no_load_max_a", "load_point", "load_rpm", "load_torque_mnm", "load_a", "load_w",
    "stall_torque_mnm", "stall_a", "terminal_ohm", "torque_constant_mnm_per_a",
    "rotor_inertia_gcm2", "winding_to_housing_k_per_w", "housing_to_air_k_per_w",
    "winding_time_s", "motor_time_s", "basis", "source", "notes",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class MotorSheet:
    """What a sheet prints of one motor."""

    motor: str
    maker: str
    kind: str
    gear_ratio: float | None
    """Turns of the motor per turn of the shaft. [-]"""
    nominal_v: float | None
    nominal_min_v: float | None
    nominal_max_v: float | None
    no_load_rpm: float | None
    no_load_min_rpm: float | None
    no_load_max_rpm: float | None
    no_load_a: float | None
    no_load_min_a: float | None
    no_load_max_a: float | None
    load_point: str
    """What the figures beginning with ``load`` stand for."""
    load_rpm: float | None
    load_torque_nm: float | None
    load_a: float | None
    load_w: float | None
    stall_torque_nm: float | None
    """At the output shaft. [N m]"""
    stall_a: float | None
    terminal_ohm: float | None
    """Of the winding at the terminals. [ohm]"""
    torque_constant_nm_per_a: float | None
    rotor_inertia_kg_m2: float | None
    winding_to_housing_k_per_w: float | None
    housing_to_air_k_per_w: float | None
    winding_time_s: float | None
    motor_time_s: float | None
    basis: Basis
    source: str
    notes: str


@functools.cache
def load_motors() -> tuple[MotorSheet, ...]:
    """Every motor of the shipped table."""
    return read_records("motors.csv", MotorSheet, columns=_COLUMNS)


def find_motor(name: str) -> MotorSheet:
    """Find a motor by its name, upper and lower case alike.

    Raises
    ------
    UnknownNameError
        If there is none; with the nearest names.

    Examples
    --------
    >>> find_motor("37D 12 V 30:1").stall_a
    5.5
    """
    return find_named(
        load_motors(),
        name,
        kind="motor",
        names=lambda each: (each.motor, f"{each.maker} {each.motor}"),
    )
