"""``[mission]``, ``[load]`` and ``[start]``: what is done with the device, or a log of it."""

from __future__ import annotations

from typing import Literal

from pydantic import model_validator

from packdesign.planning.brief.keys import entry, quantity_key
from packdesign.planning.brief.section import Count, FilePath, Flag, Section, Text, reject

__all__ = ["Action", "DemandLog", "Mission", "Mode", "Start"]


class Action(Section):
    """``[[mission.actions]]``: one thing done for some seconds; actions follow each other."""

    do: Literal["start", "hold", "reverse", "brake", "stall", "coast", "rest"] = entry(
        "start, hold, reverse, brake, stall, coast or rest", example="hold", default="hold"
    )
    duration_s: float | None = quantity_key(
        "seconds", unit="s", low=0.001, high=3.6e6, about="how long", example=8, unit_in_name=True
    )
    motor: Text | None = entry("name of the motor; left out: all of them", example="corer")
    duty_fraction: float | None = quantity_key(
        "duty", unit="dimensionless", low=0, high=1, about="left out: that of the drive",
        example=0.8,
    )  # fmt: skip
    torque_nm: float | None = quantity_key(
        "torque", unit="N*m", low=0, high=100000,
        about="on the output shaft, once it turns; left out: that of the motor's load, whose "
        "breakaway_torque counts either way",
        example=0.9,
    )  # fmt: skip
    current_a: float | None = quantity_key(
        "current", unit="A", low=0, high=1000, about="of the motor, where it was measured instead",
        example=3,
    )  # fmt: skip
    repeats: Count = entry("how many times in a row", example=1, default=1, ge=1, le=100000)
    loads_off: tuple[Text, ...] = entry(
        "loads and lights that are off meanwhile", example=["work light"], default=()
    )

    @model_validator(mode="after")
    def _lasts(self) -> Action:
        if self.duration_s is None:
            reject(f"the action '{self.do}' needs seconds")
        if self.do in ("rest", "coast") and (self.duty_fraction or self.current_a):
            reject(f"the action '{self.do}' cannot have a duty or a current")
        return self


class Mode(Section):
    """``[[mission.modes]]``: a share of the time spent in one way of working."""

    name: Text = entry("what is done", example="driving", default="mode")
    share_fraction: float | None = quantity_key(
        "share", unit="dimensionless", low=0, high=1, about="of the time", example=0.6
    )
    motor: Text | None = entry("name of the motor; left out: all of them", example="corer")
    duty_fraction: float | None = quantity_key(
        "duty", unit="dimensionless", low=0, high=1, about="of the motor", example=0.6
    )
    torque_nm: float | None = quantity_key(
        "torque", unit="N*m", low=0, high=100000, about="on the output shaft", example=0.05
    )
    current_a: float | None = quantity_key(
        "current", unit="A", low=0, high=1000, about="of the motor, where it was measured instead",
        example=0.6,
    )  # fmt: skip
    loads_off: tuple[Text, ...] = entry(
        "loads and lights that are off meanwhile", example=["work light"], default=()
    )

    @model_validator(mode="after")
    def _has_a_share(self) -> Mode:
        if self.share_fraction is None:
            reject(f"the mode '{self.name}' needs a share")
        return self


class Mission(Section):
    """``[mission]``: what one use is, and how long or how often the pack must do it."""

    run_time_s: float | None = quantity_key(
        "run_time", unit="min", low=0.001, high=1e6, about="wanted from one charge", example=45
    )
    uses: Count | None = entry(
        "or uses wanted from one charge; of both the longer counts", example=40, ge=1, le=10_000_000
    )
    actions: tuple[Action, ...] = entry("one use, action by action", default=())
    modes: tuple[Mode, ...] = entry("or shares of the time", default=())
    rest_between_uses_s: float | None = quantity_key(
        "rest_between_uses", unit="s", low=0, high=1e7, about="from one use to the next", example=60
    )

    @model_validator(mode="after")
    def _is_told_once(self) -> Mission:
        if self.actions and self.modes:
            reject("give actions or modes, not both")
        total = sum(mode.share_fraction or 0.0 for mode in self.modes)
        if total > 1 + 1e-9:
            reject(f"the shares of the modes add up to {total:g}; allowed: 1 at most")
        return self


class DemandLog(Section):
    """``[load]``: a measured log of current instead of motors and a mission."""

    log: FilePath | None = entry(
        "CSV with time_s, current_a and optionally voltage_v, temperature_degc", example="log.csv"
    )
    time_column: Text | None = entry("heading of the time", example="time_s")
    current_column: Text | None = entry("heading of the current", example="current_a")
    voltage_column: Text | None = entry("heading of the voltage", example="voltage_v")
    temperature_column: Text | None = entry("heading of the temperature", example="cell_degc")
    time_unit: Literal["s", "ms", "min", "h"] | None = entry(
        "where no heading says it", example="s"
    )
    current_unit: Literal["A", "mA"] | None = entry("where no heading says it", example="A")
    discharge_sign: Literal["positive", "negative"] | None = entry(
        "sign of a discharge in the log; left out: positive", example="positive"
    )
    repeats: Flag = entry("whether the log starts again at its end", example=False, default=False)


class Start(Section):
    """``[start]``: the pack when the device is switched on."""

    soc_fraction: float | None = quantity_key(
        "soc", unit="dimensionless", low=0, high=1, about="state of charge", example=1.0
    )
    temperature_degc: float | None = quantity_key(
        "temperature", unit="degC", low=-60, high=90, about="left out: the ambient", example=20
    )
