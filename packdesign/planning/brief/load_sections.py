"""``[[rails]]``, ``[[loads]]``, ``[[lights]]``: all that draws power beside the motors."""

from __future__ import annotations

from typing import Literal

from pydantic import model_validator

from packdesign.planning.brief.keys import entry, quantity_key
from packdesign.planning.brief.section import Count, Section, Text, reject

__all__ = ["DIRECT", "EfficiencyPoint", "Lights", "Load", "Rail"]

DIRECT = "battery"
"""Name of the rail that every brief has: the pack itself."""


class EfficiencyPoint(Section):
    """``[[rails.efficiency_points]]``: efficiency at one output current."""

    current_a: float | None = quantity_key(
        "current", unit="A", low=0, high=1000, about="output current", example=0.5
    )
    efficiency_fraction: float | None = quantity_key(
        "efficiency", unit="dimensionless", low=0.01, high=1, about="at that current", example=0.88
    )

    @model_validator(mode="after")
    def _is_complete(self) -> EfficiencyPoint:
        if self.current_a is None or self.efficiency_fraction is None:
            reject("each efficiency point needs current and efficiency")
        return self


class Rail(Section):
    """``[[rails]]``: a regulator and the voltage it makes."""

    name: Text = entry("a name the loads can use", example="5 V", default="rail")
    kind: Literal["buck", "boost", "buck_boost", "linear"] = entry(
        "buck (down), boost (up), buck_boost or linear", example="buck", default="buck"
    )
    part: Text | None = entry("part number, as the regulator table has it", example="LM2596-5.0")
    output_v: float | None = quantity_key(
        "output_voltage", unit="V", low=0.3, high=500, about="what it makes", example=5
    )
    efficiency_fraction: float | None = quantity_key(
        "efficiency", unit="dimensionless", low=0.01, high=1, about="at usual load", example=0.85
    )
    efficiency_points: tuple[EfficiencyPoint, ...] = entry("efficiency over load", default=())
    dropout_v: float | None = quantity_key(
        "dropout", unit="V", low=0, high=50, about="input must be this far above output",
        example=1.5,
    )  # fmt: skip
    min_input_v: float | None = quantity_key(
        "min_input", unit="V", low=0, high=1000, about="least input voltage", example=7
    )
    max_input_v: float | None = quantity_key(
        "max_input", unit="V", low=0.5, high=1000, about="highest input voltage", example=40
    )
    max_output_a: float | None = quantity_key(
        "max_output", unit="A", low=0.0001, high=1000, about="highest output current", example=3
    )
    quiescent_a: float | None = quantity_key(
        "quiescent", unit="mA", low=0, high=1000, about="what it takes for itself", example=5
    )
    off_current_a: float | None = quantity_key(
        "off_current", unit="uA", low=0, high=1e6, about="what it takes when off", example=80
    )
    holdup_capacitor_f: float | None = quantity_key(
        "holdup_capacitor", unit="uF", low=0, high=1e8, about="at its input, behind a diode",
        example=1000,
    )  # fmt: skip
    holdup_diode_v: float | None = quantity_key(
        "holdup_diode", unit="V", low=0, high=3, about="drop of that diode", example=0.4
    )
    fed_by: Text = entry(
        "rail that feeds it; battery: the pack itself", example=DIRECT, default=DIRECT
    )

    @model_validator(mode="after")
    def _has_a_window(self) -> Rail:
        low, high = self.min_input_v, self.max_input_v
        if low is not None and high is not None and low >= high:
            reject(f"min_input ({low:g} V) must be below max_input ({high:g} V)")
        return self


class Load(Section):
    """``[[loads]]``: a device that draws watts or amps, all the time or for a share of it."""

    name: Text = entry("what it is", example="controller", default="load")
    power_w: float | None = quantity_key(
        "watts", unit="W", low=0, high=50000, about="power while on, at the load itself",
        example=1.2, unit_in_name=True,
    )  # fmt: skip
    current_a: float | None = quantity_key(
        "amps", unit="A", low=0, high=1000, about="or current while on, at the load itself",
        example=0.5,
        unit_in_name=True,
    )  # fmt: skip
    duty_fraction: float = quantity_key(
        "duty", unit="dimensionless", low=0, high=1, about="share of the time it is on",
        example=1.0, default=1.0,
    )  # fmt: skip
    count: Count = entry("how many of them", example=1, default=1, ge=1, le=10000)
    kind: Literal["general", "controller", "radio", "servo", "sensor", "pump", "heater"] | None = (
        entry("what kind of load", example="controller")
    )
    rail: Text = entry(
        "rail that feeds it; battery: the pack itself", example="5 V", default=DIRECT
    )
    min_v: float | None = quantity_key(
        "min_voltage", unit="V", low=0, high=1000, about="least voltage it works at", example=4.5
    )
    max_v: float | None = quantity_key(
        "max_voltage", unit="V", low=0.1, high=1000, about="highest it survives", example=5.5
    )
    burst_power_w: float | None = quantity_key(
        "burst", unit="W", low=0, high=50000, about="power of its bursts, instead of the above",
        example=3,
    )  # fmt: skip
    burst_duration_s: float | None = quantity_key(
        "burst_time", unit="ms", low=0.001, high=3.6e6, about="length of a burst", example=20
    )
    burst_period_s: float | None = quantity_key(
        "burst_period", unit="s", low=0.0001, high=86400, about="from burst to burst", example=1
    )

    @model_validator(mode="after")
    def _asks_for_something(self) -> Load:
        if (self.power_w is None) == (self.current_a is None):
            reject(f"'{self.name}' needs either watts or amps, not both and not none")
        if self.min_v is not None and self.max_v is not None and self.min_v >= self.max_v:
            reject(
                f"'{self.name}': min_voltage ({self.min_v:g} V) must be below max_voltage "
                f"({self.max_v:g} V)"
            )
        self._bursts_fit()
        return self

    def _bursts_fit(self) -> None:
        if self.burst_power_w is None:
            return
        if self.burst_duration_s is None or self.burst_period_s is None:
            reject(f"'{self.name}': burst also needs burst_time and burst_period")
        if self.burst_duration_s > self.burst_period_s:
            reject(f"'{self.name}': burst_time is longer than burst_period")


class Lights(Section):
    """``[[lights]]``: by pixels, by watts, or by length of strip."""

    name: Text = entry("what they are", example="work light", default="lights")
    pixels: Count | None = entry("addressable pixels", example=12, ge=1, le=100000)
    pixel_full_white_a: float | None = quantity_key(
        "pixel_full_white", unit="mA", low=0.01, high=1000, about="one pixel at full white",
        example=50,
    )  # fmt: skip
    pixel_idle_a: float | None = quantity_key(
        "pixel_idle", unit="mA", low=0, high=100, about="one pixel when dark", example=1
    )
    typical_fraction: float | None = quantity_key(
        "typical", unit="dimensionless", low=0, high=1, about="usual brightness", example=0.3
    )
    power_w: float | None = quantity_key(
        "watts", unit="W", low=0, high=10000, about="or the power while on", example=3,
        unit_in_name=True,
    )  # fmt: skip
    strip_w_per_m: float | None = quantity_key(
        "strip_power", unit="W/m", low=0.01, high=1000, about="or power for each metre of strip",
        example=9.6,
    )  # fmt: skip
    strip_length_m: float | None = quantity_key(
        "strip_length", unit="m", low=0.001, high=1000, about="length of that strip", example=0.3
    )
    duty_fraction: float = quantity_key(
        "duty", unit="dimensionless", low=0, high=1, about="share of the time they are on",
        example=1.0, default=1.0,
    )  # fmt: skip
    rail: Text = entry(
        "rail that feeds them; battery: the pack itself", example="5 V", default=DIRECT
    )
    min_v: float | None = quantity_key(
        "min_voltage", unit="V", low=0, high=1000, about="least voltage they work at", example=4
    )
    max_v: float | None = quantity_key(
        "max_voltage", unit="V", low=0.1, high=1000, about="highest they survive", example=5.5
    )

    @model_validator(mode="after")
    def _asks_for_something(self) -> Lights:
        ways = [self.pixels, self.power_w, self.strip_w_per_m]
        if sum(way is not None for way in ways) != 1:
            reject(f"'{self.name}' needs one of pixels, watts or strip_power")
        if self.strip_w_per_m is not None and self.strip_length_m is None:
            reject(f"'{self.name}': strip_power also needs strip_length")
        return self
