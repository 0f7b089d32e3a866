"""The motor section itself; its parts are in :mod:`packdesign.planning.brief.motor_sections`."""

from __future__ import annotations

import functools
import math
from typing import Literal

from pydantic import model_validator

from packdesign.data.motors import MotorSheet, find_motor
from packdesign.foundation.errors import UnknownNameError
from packdesign.planning.brief.keys import entry, quantity_key
from packdesign.planning.brief.motor_sections import (
    Drive,
    DrivenBody,
    LockedRotor,
    NoLoadReading,
    TorqueLoad,
)
from packdesign.planning.brief.section import Count, Section, Text, reject

__all__ = ["Motor"]


@functools.cache
def _sheet(part: str) -> MotorSheet:
    return find_motor(part)


def _rad_per_s(rpm: float | None) -> float | None:
    return None if rpm is None else rpm * math.tau / 60.0


class Motor(Section):
    """``[motor]`` or ``[[motors]]``; give what you know and leave out the rest."""

    name: Text = entry("a name the mission can use", example="corer", default="motor")
    part: Text | None = entry(
        "its name in the shipped table of motors, for the figures left out here",
        example="37D 12 V 30:1",
    )
    count: Count = entry("how many of them run together", example=1, default=1, ge=1, le=64)
    kind: Literal["brushed", "brushless", "unknown"] | None = entry(
        "brushed, brushless or unknown", example="brushed"
    )
    nominal_v: float | None = quantity_key(
        "nominal_voltage", unit="V", low=0.1, high=1000, about="voltage of the figures below",
        example=12,
    )  # fmt: skip
    no_load_speed_rad_per_s: float | None = quantity_key(
        "no_load_speed", unit="rpm", low=0.01, high=500000,
        about="of the output shaft, after the gear", example=250,
    )  # fmt: skip
    no_load_current_a: float | None = quantity_key(
        "no_load_current", unit="A", low=0.0001, high=500, about="at nominal voltage", example=0.5
    )
    stall_current_a: float | None = quantity_key(
        "stall_current", unit="A", low=0.001, high=5000, about="at nominal voltage", example=10
    )
    stall_torque_nm: float | None = quantity_key(
        "stall_torque", unit="N*m", low=1e-6, high=100000, about="of the output shaft", example=3.4
    )
    rated_current_a: float | None = quantity_key(
        "rated_current", unit="A", low=0.001, high=1000, about="continuous", example=3
    )
    rated_torque_nm: float | None = quantity_key(
        "rated_torque", unit="N*m", low=1e-6, high=100000, about="of the output shaft", example=0.9
    )
    max_current_a: float | None = quantity_key(
        "max_current", unit="A", low=0.001, high=5000, about="short-time limit printed", example=30
    )
    terminal_resistance_ohm: float | None = quantity_key(
        "terminal_resistance", unit="ohm", low=0.0001, high=100000, about="printed", example=1.2
    )
    ohmmeter_readings_ohm: tuple[float, ...] = quantity_key(
        "ohmmeter_readings", unit="ohm", low=0.0001, high=100000,
        about="read across the terminals at several shaft positions", many=True,
        example=["1.3 ohm", "1.5 ohm", "1.25 ohm"],
    )  # fmt: skip
    speed_constant_rad_per_s_per_v: float | None = quantity_key(
        "speed_constant", unit="rpm/V", low=0.001, high=100000, about="of the bare motor",
        example=1000,
    )  # fmt: skip
    torque_constant_nm_per_a: float | None = quantity_key(
        "torque_constant", unit="mN*m/A", low=0.0001, high=100000, about="of the bare motor",
        example=9.5,
    )  # fmt: skip
    inductance_henry: float | None = quantity_key(
        "inductance", unit="uH", low=0.01, high=1e7, about="between the terminals", example=400
    )
    rotor_inertia_kgm2: float | None = quantity_key(
        "rotor_inertia", unit="g*cm**2", low=0.0001, high=1e8, about="of the bare rotor", example=70
    )
    winding_degc: float | None = quantity_key(
        "winding_temperature", unit="degC", low=-60, high=250, about="when hot from work",
        example=80,
    )  # fmt: skip
    max_winding_degc: float | None = quantity_key(
        "max_winding_temperature", unit="degC", low=40, high=300, about="limit printed",
        example=120,
    )  # fmt: skip
    winding_to_housing_k_per_w: float | None = quantity_key(
        "winding_to_housing", unit="K/W", low=0.001, high=1000, about="thermal resistance",
        example=3,
    )  # fmt: skip
    housing_to_air_k_per_w: float | None = quantity_key(
        "housing_to_air", unit="K/W", low=0.001, high=1000, about="thermal resistance", example=12
    )
    gear_ratio: float = entry(
        "turns of the motor for one turn of the output shaft", example=30.0, default=1.0, gt=0,
        le=100000,
    )  # fmt: skip
    gear_efficiency_fraction: float | None = quantity_key(
        "gear_efficiency", unit="dimensionless", low=0.01, high=1, about="of the gear", example=0.7
    )
    locked_rotor: LockedRotor | None = entry("a reading with the shaft held")
    no_load_reading: NoLoadReading | None = entry("a reading running free")
    drives: DrivenBody | None = entry("the mass that is spun")
    load: TorqueLoad | None = entry("the torque that the work takes")
    drive: Drive | None = entry("the controller")

    def with_its_sheet(self) -> Motor:
        """Give the motor with the figures that it leaves out taken from the row of its part."""
        if self.part is None:
            return self
        sheet = _sheet(self.part)
        known: dict[str, object] = {
            "kind": "brushless" if "brushless" in sheet.kind else "brushed",
            "nominal_v": sheet.nominal_v,
            "no_load_speed_rad_per_s": _rad_per_s(sheet.no_load_rpm),
            "no_load_current_a": sheet.no_load_a,
            "stall_current_a": sheet.stall_a,
            "stall_torque_nm": sheet.stall_torque_nm,
            "terminal_resistance_ohm": sheet.terminal_ohm,
            "torque_constant_nm_per_a": sheet.torque_constant_nm_per_a,
            "rotor_inertia_kgm2": sheet.rotor_inertia_kg_m2,
            "winding_to_housing_k_per_w": sheet.winding_to_housing_k_per_w,
            "housing_to_air_k_per_w": sheet.housing_to_air_k_per_w,
            "gear_ratio": sheet.gear_ratio,
        }
        left_out = {
            name: value
            for name, value in known.items()
            if value is not None and name not in self.model_fields_set
        }
        return self.model_copy(update=left_out)

    @model_validator(mode="after")
    def _is_in_the_table(self) -> Motor:
        if self.part is not None:
            try:
                _sheet(self.part)
            except UnknownNameError as error:
                reject(f"part: {error}")
        return self

    @model_validator(mode="after")
    def _makes_sense(self) -> Motor:
        stall, free = self.stall_current_a, self.no_load_current_a
        if stall is not None and free is not None and stall <= free:
            reject(f"stall_current ({stall:g} A) must be above no_load_current ({free:g} A)")
        ramped = self.drive is not None and bool(self.drive.ramp_up_s or self.drive.ramp_down_s)
        still = self.drives is not None and self.drives.inertia_kgm2 == 0
        if ramped and still:
            reject(
                "a ramp with drives.inertia = 0 has nothing to spin up; give the inertia or leave "
                "the ramp out"
            )
        return self
