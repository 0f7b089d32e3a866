"""``[motor]`` or ``[[motors]]``: what is known of a motor, what it drives, and how it is driven.

Give whatever is at hand: a datasheet, a locked-rotor or ohmmeter reading, a speed constant.
"""

from __future__ import annotations

from typing import Literal

from pydantic import model_validator

from packdesign.planning.brief.keys import entry, quantity_key
from packdesign.planning.brief.section import Flag, Section, Text, reject

__all__ = ["Drive", "DrivenBody", "LockedRotor", "NoLoadReading", "TorqueLoad"]


class LockedRotor(Section):
    """``[motor.locked_rotor]``: the shaft held, at a low voltage, for a moment."""

    voltage_v: float | None = quantity_key(
        "voltage", unit="V", low=0.01, high=500, about="at the motor's own terminals", example=2.0
    )
    current_a: float | None = quantity_key(
        "current", unit="A", low=0.001, high=1000, about="read at the same time", example=1.9
    )
    temperature_degc: float | None = quantity_key(
        "temperature", unit="degC", low=-60, high=200, about="of the winding", example=22
    )

    @model_validator(mode="after")
    def _is_complete(self) -> LockedRotor:
        if self.voltage_v is None or self.current_a is None:
            reject("a locked-rotor reading needs voltage and current")
        return self


class NoLoadReading(Section):
    """``[motor.no_load_reading]``: running free, at a voltage of the builder's choice."""

    voltage_v: float | None = quantity_key(
        "voltage", unit="V", low=0.01, high=500, about="at the motor's terminals", example=10.0
    )
    current_a: float | None = quantity_key(
        "current", unit="A", low=0.0001, high=500, about="read at the same time", example=0.45
    )
    speed_rad_per_s: float | None = quantity_key(
        "speed", unit="rpm", low=0.01, high=500000, about="of the output shaft", example=220
    )


class DrivenBody(Section):
    """``[motor.drives]``: the mass that is spun, on the output shaft."""

    shape: Literal["rod_about_middle", "rod_about_end", "disc", "ring", "tube", "point"] | None = (
        entry("shape of the body; not needed where inertia is given", example="rod_about_middle")
    )
    mass_kg: float | None = quantity_key(
        "mass", unit="g", low=0.001, high=1e6, about="of the body", example=250
    )
    length_m: float | None = quantity_key(
        "length", unit="mm", low=0.1, high=10000, about="of a rod", example=300
    )
    radius_m: float | None = quantity_key(
        "radius", unit="mm", low=0.1, high=10000, about="outer radius, or distance of a point",
        example=25,
    )  # fmt: skip
    inner_radius_m: float | None = quantity_key(
        "inner_radius", unit="mm", low=0, high=10000, about="of a tube", example=20
    )
    inertia_kgm2: float | None = quantity_key(
        "inertia", unit="kg*m**2", low=0, high=1000, about="instead of shape and sizes",
        example="2.5e-4 kg*m**2",
    )  # fmt: skip

    @model_validator(mode="after")
    def _rings_have_room(self) -> DrivenBody:
        inner, outer = self.inner_radius_m, self.radius_m
        if inner is not None and outer is not None and inner >= outer:
            reject(f"inner_radius ({inner * 1000:g} mm) must be below radius ({outer * 1000:g} mm)")
        return self


class TorqueLoad(Section):
    """``[motor.load]``: the torque that the work takes, on the output shaft."""

    kind: Literal["constant", "proportional", "square"] = entry(
        "constant, proportional to speed, or to its square", example="constant", default="constant"
    )
    torque_nm: float | None = quantity_key(
        "torque", unit="N*m", low=0, high=10000, about="at the speed below, or at any speed",
        example=0.9,
    )  # fmt: skip
    at_speed_rad_per_s: float | None = quantity_key(
        "at_speed", unit="rpm", low=0.001, high=500000, about="speed that this torque is for",
        example=200,
    )  # fmt: skip
    breakaway_torque_nm: float | None = quantity_key(
        "breakaway_torque", unit="N*m", low=0, high=10000,
        about="to break it loose from rest, in every action, also one with a torque of its own",
        example=1.2,
    )  # fmt: skip

    @model_validator(mode="after")
    def _names_its_speed(self) -> TorqueLoad:
        if self.kind != "constant" and self.torque_nm and self.at_speed_rad_per_s is None:
            reject(f'kind = "{self.kind}" needs at_speed, the speed this torque is for')
        return self


class Drive(Section):
    """``[motor.drive]``: the controller and what it is told to do."""

    name: Text | None = entry("the driver board", example="brushed driver")
    pwm_frequency_hz: float | None = quantity_key(
        "pwm_frequency", unit="Hz", low=1, high=1e6, about="chopping frequency", example="20 kHz"
    )
    duty_fraction: float | None = quantity_key(
        "duty", unit="dimensionless", low=0, high=1, about="highest duty used", example=1.0
    )
    current_limit_a: float | None = quantity_key(
        "current_limit", unit="A", low=0.001, high=1000, about="in the motor", example=10
    )
    ramp_up_s: float | None = quantity_key(
        "ramp_up", unit="s", low=0, high=600, about="from rest to full duty", example=0.4
    )
    ramp_down_s: float | None = quantity_key(
        "ramp_down", unit="s", low=0, high=600, about="from full duty to rest", example=0.2
    )
    stall_timeout_s: float | None = quantity_key(
        "stall_timeout", unit="s", low=0.001, high=600, about="cut after this long stalled",
        example=0.5,
    )  # fmt: skip
    decay: Literal["slow", "fast", "mixed"] | None = entry(
        "where the current goes between pulses", example="slow"
    )
    regenerates: Flag | None = entry("whether braking feeds the pack", example=False)
    brakes: Flag | None = entry("whether it shorts the motor to stop it", example=True)
    clamp_v: float | None = quantity_key(
        "clamp",
        unit="V",
        low=1,
        high=1000,
        about="a clamp on the rail, if there is one",
        example=18,
    )
    resistance_ohm: float | None = quantity_key(
        "resistance", unit="mohm", low=0, high=100000, about="of the transistors", example=20
    )
    bus_capacitor_f: float | None = quantity_key(
        "bus_capacitor", unit="uF", low=0, high=1e6, about="across the driver's supply", example=470
    )
    idle_current_a: float | None = quantity_key(
        "idle_current", unit="mA", low=0, high=10000, about="driver at rest", example=5
    )
    min_v: float | None = quantity_key(
        "min_voltage", unit="V", low=0, high=1000, about="least supply voltage it works at",
        example=6.5,
    )  # fmt: skip
    max_v: float | None = quantity_key(
        "max_voltage", unit="V", low=0.1, high=1000, about="highest supply voltage it survives",
        example=28,
    )  # fmt: skip
    reaction_torque_limit_nm: float | None = quantity_key(
        "reaction_torque_limit", unit="N*m", low=0.0001, high=1000,
        about="most that the hand should feel when it spins up", example=0.5,
    )  # fmt: skip

    @model_validator(mode="after")
    def _is_ordered(self) -> Drive:
        if self.min_v is not None and self.max_v is not None and self.min_v >= self.max_v:
            reject(f"min_voltage ({self.min_v:g} V) must be below max_voltage ({self.max_v:g} V)")
        return self
