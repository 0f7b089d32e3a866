"""``[charger]`` and ``[monitor]``: how the pack is charged, and how the device watches it."""

from __future__ import annotations

import itertools
from typing import Literal

from pydantic import model_validator

from packdesign.planning.brief.keys import entry, quantity_key
from packdesign.planning.brief.section import Count, Flag, Section, Text, reject

__all__ = ["Charger", "ChargerChemistry", "Monitor"]

ChargerChemistry = Literal["li_ion", "lfp", "lto", "na_ion", "lead_acid", "nimh", "unknown"]


class Charger(Section):
    """``[charger]``: what the builder owns or plans; left out: the cell's standard charge."""

    name: Text | None = entry(
        "part number or name, as the supply table has it", example="3S charger"
    )
    kind: (
        Literal[
            "balance_charger",
            "charger",
            "charger_module",
            "cell_chargers",
            "bare_supply",
            "mains_adapter",
            "bench_supply",
            "converter_module",
            "other_battery",
            "protection_board",
            "usb_pd",
            "solar",
            "unknown",
        ]
        | None
    ) = entry(
        "what it is; only the first four, and usb_pd or solar with a charger behind, end a charge",
        example="balance_charger",
    )
    chemistry: ChargerChemistry | None = entry("what it is made or set for", example="li_ion")
    series: Count | None = entry("cells in series it is made or set for", example=3, ge=1, le=60)
    matched_to_pack: Flag | None = entry("whether it was chosen for this very pack", example=True)
    current_a: float | None = quantity_key(
        "current", unit="A", low=0.001, high=500, about="into the pack", example=1.5
    )
    end_voltage_per_cell_v: float | None = quantity_key(
        "end_voltage_per_cell", unit="V", low=1, high=6, about="where constant voltage begins",
        example=4.2,
    )  # fmt: skip
    end_current_a: float | None = quantity_key(
        "end_current", unit="A", low=0.0001, high=100, about="where it stops", example=0.125
    )
    balances: Flag | None = entry("whether it balances the groups", example=True)
    balance_current_a: float | None = quantity_key(
        "balance_current", unit="mA", low=0, high=10000, about="0: does not balance", example=60
    )
    balance_duty_fraction: float | None = quantity_key(
        "balance_duty", unit="dimensionless", low=0.01, high=1,
        about="share of the time in which a bleed is on", example=0.9,
    )  # fmt: skip
    balance_start_v: float | None = quantity_key(
        "balance_start", unit="V", low=0.5, high=5, about="per cell; balances only above it",
        example=4.15,
    )  # fmt: skip
    balance_takes_turns: Flag | None = entry(
        "whether neighbouring groups never bleed at once", example=False
    )
    balance_resistor_ohm: float | None = quantity_key(
        "balance_resistor", unit="ohm", low=0.1, high=1e5, about="that a group bleeds through",
        example=68,
    )  # fmt: skip
    balance_switch_ohm: float | None = quantity_key(
        "balance_switch", unit="ohm", low=0, high=1e4,
        about="switch in a monitor chip that has such a resistor in both its taps", example=25,
    )  # fmt: skip
    pre_charge_current_a: float | None = quantity_key(
        "pre_charge_current", unit="A", low=0, high=100, about="for a very low cell", example=0.15
    )
    pre_charge_below_v: float | None = quantity_key(
        "pre_charge_below", unit="V", low=0.5, high=4, about="per cell", example=3.0
    )
    timer_s: float | None = quantity_key(
        "timer", unit="h", low=0.01, high=1000, about="stops after this long", example=4
    )
    built_in: Flag | None = entry("whether it stays in the device", example=False)
    supply_v: float | None = quantity_key(
        "supply_voltage", unit="V", low=0.5, high=500, about="of the supply behind it", example=15
    )
    supply_current_a: float | None = quantity_key(
        "supply_current", unit="A", low=0.001, high=500, about="of that supply", example=3
    )
    supply_w: float | None = quantity_key(
        "supply_power", unit="W", low=0.01, high=50000, about="of that supply", example=45
    )
    usb_pd: Literal["none", "fixed", "programmable", "adjustable"] | None = entry(
        "USB Power Delivery: none, fixed, programmable or adjustable", example="fixed"
    )
    converter: Literal["step_down", "step_up", "both"] | None = entry(
        "what it does with the voltage of its supply: step_down, step_up or both",
        example="step_down",
    )
    cable_limit_a: float | None = quantity_key(
        "cable_limit", unit="A", low=0.1, high=200, about="of the charge cable", example=3
    )
    efficiency_fraction: float | None = quantity_key(
        "efficiency", unit="dimensionless", low=0.01, high=1, about="of the charger", example=0.88
    )
    temperature_sensor: Flag | None = entry("whether it reads a sensor on a cell", example=True)
    temperature_min_degc: float | None = quantity_key(
        "temperature_min", unit="degC", low=-60, high=90, about="coldest cells ever charged",
        example=10,
    )  # fmt: skip
    temperature_max_degc: float | None = quantity_key(
        "temperature_max", unit="degC", low=-60, high=90,
        about="hottest cells when a charge begins", example=40,
    )  # fmt: skip
    port_fuse_a: float | None = quantity_key(
        "port_fuse", unit="A", low=0.01, high=500, about="fuse of the charge port", example=5
    )
    port_connector: Text | None = entry("connector of the charge port", example="DC jack 5.5 mm")
    while_running: Literal["never", "interlocked", "power_path", "allowed"] | None = entry(
        "whether the device can run while it charges", example="never"
    )
    attended: Flag | None = entry("whether somebody stays awake nearby", example=True)
    smoke_alarm: Flag | None = entry("whether a smoke alarm hangs there", example=True)
    place: (
        Literal["outdoors", "garage", "room", "hallway", "stairs", "by_exit", "bedroom"] | None
    ) = entry("where it is charged", example="room")
    surface: (
        Literal["stone", "tile", "concrete", "metal", "wood", "bed", "sofa", "carpet"] | None
    ) = entry("what it lies on meanwhile", example="stone")
    mains: Literal["wall_socket", "unrated_extension", "daisy_chain", "makeshift"] | None = entry(
        "what its supply is plugged into", example="wall_socket"
    )
    ambient_max_degc: float | None = quantity_key(
        "ambient_max", unit="degC", low=-60, high=90,
        about="hottest air where it is charged; left out: outdoors that of the surroundings",
        example=30,
    )  # fmt: skip
    room_area_m2: float | None = quantity_key(
        "room_area", unit="m**2", low=0.1, high=10000, about="floor of that room", example="12 m2"
    )
    combustible_within_m: float | None = quantity_key(
        "combustible_within", unit="m", low=0, high=100,
        about="how near the nearest thing lies that burns", example=1.5,
    )  # fmt: skip
    rest_after_use_s: float | None = quantity_key(
        "rest_after_use", unit="min", low=0, high=100000, about="before it is charged", example=30
    )

    @model_validator(mode="after")
    def _is_ordered(self) -> Charger:
        end, current = self.end_current_a, self.current_a
        if end is not None and current is not None and end >= current:
            reject(f"end_current ({end:g} A) must be below current ({current:g} A)")
        low, high = self.temperature_min_degc, self.temperature_max_degc
        if low is not None and high is not None and low >= high:
            reject(f"temperature_min ({low:g} degC) must be below temperature_max ({high:g} degC)")
        if self.balance_switch_ohm is not None and self.balance_resistor_ohm is None:
            reject("balance_switch needs balance_resistor, the resistor in each tap")
        if self.balances is False and (self.balance_current_a or self.balance_resistor_ohm):
            reject("balances = false contradicts a balance_current or a balance_resistor")
        return self


class Monitor(Section):
    """``[monitor]``: how the device measures its pack, and where it warns, limits and stops."""

    controller: Text | None = entry(
        "microcontroller, as the converter table has it", example="ATmega328P/PB"
    )
    adc_bits: Count | None = entry("bits of its converter", example=10, ge=6, le=24)
    reference_v: float | None = quantity_key(
        "reference", unit="V", low=0.1, high=10, about="reference voltage", example=1.1
    )
    reference_tolerance_fraction: float | None = quantity_key(
        "reference_tolerance", unit="dimensionless", low=0, high=0.5, about="of the reference",
        example=0.1,
    )  # fmt: skip
    resistor_tolerance_fraction: float | None = quantity_key(
        "resistor_tolerance", unit="dimensionless", low=0, high=0.5, about="of the divider",
        example=0.01,
    )  # fmt: skip
    r_top_ohm: float | None = quantity_key(
        "r_top", unit="ohm", low=1, high=1e9, about="of the divider, where it exists",
        example="220 kOhm",
    )  # fmt: skip
    r_bottom_ohm: float | None = quantity_key(
        "r_bottom", unit="ohm", low=1, high=1e9, about="of the divider, where it exists",
        example="18 kOhm",
    )  # fmt: skip
    divider_current_a: float | None = quantity_key(
        "divider_current", unit="uA", low=0.001, high=1e5, about="most that it may draw for ever",
        example=60,
    )  # fmt: skip
    source_resistance_max_ohm: float | None = quantity_key(
        "source_resistance_max", unit="ohm", low=1, high=1e8, about="that the converter accepts",
        example="10 kOhm",
    )  # fmt: skip
    capacitor_f: float | None = quantity_key(
        "capacitor", unit="uF", low=0, high=1e5, about="across the lower resistor", example=0.1
    )
    per_group: Flag | None = entry("whether it sees every group", example=False)
    warn_per_cell_v: float | None = quantity_key(
        "warn_per_cell", unit="V", low=0.5, high=5, about="where it warns", example=3.5
    )
    limit_per_cell_v: float | None = quantity_key(
        "limit_per_cell", unit="V", low=0.5, high=5, about="where it reduces power", example=3.3
    )
    stop_per_cell_v: float | None = quantity_key(
        "stop_per_cell", unit="V", low=0.5, high=5, about="where it stops the motor", example=3.0
    )
    hard_cut_per_cell_v: float | None = quantity_key(
        "hard_cut_per_cell", unit="V", low=0.5, high=5, about="where the board cuts off",
        example=2.5,
    )  # fmt: skip

    @model_validator(mode="after")
    def _steps_down(self) -> Monitor:
        names = ("warn_per_cell_v", "limit_per_cell_v", "stop_per_cell_v", "hard_cut_per_cell_v")
        known = [(n.removesuffix("_v"), getattr(self, n)) for n in names if getattr(self, n)]
        for (high_key, high), (low_key, low) in itertools.pairwise(known):
            if low > high:
                reject(f"{low_key} ({low:g} V) must not be above {high_key} ({high:g} V)")
        return self
