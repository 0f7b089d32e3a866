"""``[measured]``, ``[preferences]``, ``[storage]``, ``[carrying]``: the pack in the hand."""

from __future__ import annotations

import itertools
from typing import Final, Literal

from pydantic import model_validator

from packdesign.engineering.discharge.nodes import OCV_NODES
from packdesign.planning.brief.condition_section import Condition
from packdesign.planning.brief.keys import entry, quantity_key
from packdesign.planning.brief.price_section import CellPrice
from packdesign.planning.brief.section import Count, FilePath, Flag, Section, Text, reject
from packdesign.planning.refit.open_circuit import LARGEST_SHIFT_V

__all__ = [
    "Carrying",
    "Measured",
    "Preferences",
    "RankWeights",
    "Storage",
    "TwoLoadReading",
]

_ENDS: Final = 2
"""Empty and full."""


class TwoLoadReading(Section):
    """``[measured.two_load]``: pack voltage under a light and a heavy load."""

    light_current_a: float | None = quantity_key(
        "light_current", unit="A", low=0, high=1000, about="0: at rest", example=0.5
    )
    light_v: float | None = quantity_key(
        "light_voltage", unit="V", low=0.1, high=500, about="read with it", example=11.9
    )
    heavy_current_a: float | None = quantity_key(
        "heavy_current", unit="A", low=0.001, high=1000, about="the heavy load", example=8
    )
    heavy_v: float | None = quantity_key(
        "heavy_voltage", unit="V", low=0.1, high=500, about="read with it", example=11.2
    )
    duration_s: float | None = quantity_key(
        "seconds", unit="s", low=0.001, high=100000, about="how long the heavy load was on",
        example=10, unit_in_name=True,
    )  # fmt: skip
    temperature_degc: float | None = quantity_key(
        "temperature", unit="degC", low=-60, high=90, about="of the cells", example=20
    )

    @model_validator(mode="after")
    def _sags(self) -> TwoLoadReading:
        values = (self.light_current_a, self.light_v, self.heavy_current_a, self.heavy_v)
        if None in values:
            reject("needs light_current, light_voltage, heavy_current and heavy_voltage")
        light_a, light_v, heavy_a, heavy_v = (value or 0.0 for value in values)
        if heavy_a <= light_a or heavy_v >= light_v:
            reject("the heavy load must draw more current at a lower voltage than the light")
        return self


class Measured(Section):
    """``[measured]``: figures read from this very pack; they go before computed ones."""

    cell_resistance_ohm: float | None = quantity_key(
        "cell_resistance", unit="mohm", low=0.01, high=100000, about="of one cell at 20 degC or so",
        example=24,
    )  # fmt: skip
    cell_resistance_spread_fraction: float | None = quantity_key(
        "cell_resistance_spread", unit="dimensionless", low=0, high=1, about="how sure, one side",
        example=0.05,
    )  # fmt: skip
    cell_capacity_ah: float | None = quantity_key(
        "cell_capacity", unit="Ah", low=0.001, high=1000, about="of one cell", example="2450 mAh"
    )
    pack_resistance_ohm: float | None = quantity_key(
        "pack_resistance", unit="mohm", low=0.01, high=100000, about="between the connectors",
        example=90,
    )  # fmt: skip
    open_circuit_shift_v: tuple[float, ...] = quantity_key(
        "open_circuit_shift", unit="mV", low=-1000 * LARGEST_SHIFT_V, high=1000 * LARGEST_SHIFT_V,
        about="of a cell when empty and when full, or at 0, 10, 20, 40, 70 and 100 % of its charge "
        "as a re-fit writes it", example=["-40 mV", "10 mV"], many=True,
    )  # fmt: skip
    heat_loss_w_per_k: float | None = quantity_key(
        "heat_loss", unit="W/K", low=0.0001, high=100, about="per cell, from a re-fit", example=0.07
    )
    added_thermal_mass_j_per_k: float | None = quantity_key(
        "added_thermal_mass", unit="J/K", low=0, high=100000, about="per cell, from a re-fit",
        example=40,
    )  # fmt: skip
    entropic_shift_v_per_k: float | None = quantity_key(
        "entropic_shift", unit="mV/K", low=-5, high=5,
        about="of a cell's voltage over temperature, from a re-fit", example=-0.1,
    )  # fmt: skip
    from_log: Text | None = entry("the log these came from", example="bench 1C")
    two_load: TwoLoadReading | None = entry("a reading under two loads")
    cells: FilePath | None = entry(
        "CSV with one row a cell: volts, capacity, resistance, days of rest", example="intake.csv"
    )
    group_voltages_v: tuple[float, ...] = quantity_key(
        "group_voltages", unit="V", low=-6, high=6, about="at rest, from the negative end",
        example=["3.71 V", "3.70 V", "3.71 V"], many=True,
    )  # fmt: skip
    group_voltages_full_v: tuple[float, ...] = quantity_key(
        "group_voltages_full", unit="V", low=-6, high=6, about="at the end of a charge, likewise",
        example=["4.20 V", "4.19 V", "4.20 V"], many=True,
    )  # fmt: skip
    group_voltages_loaded_v: tuple[float, ...] = quantity_key(
        "group_voltages_loaded", unit="V", low=-6, high=6,
        about="under one steady load, soon after group_voltages", example=["3.55 V", "3.54 V"],
        many=True,
    )  # fmt: skip
    side_by_side_v: tuple[float, ...] = quantity_key(
        "packs_side_by_side", unit="V", low=-300, high=300,
        about="of whole packs that are to share one charger, at rest",
        example=["11.1 V", "11.2 V"], many=True,
    )  # fmt: skip
    group_behind_ah: tuple[float, ...] = quantity_key(
        "group_behind", unit="mAh", low=0, high=1e6,
        about="charge each group lacks to be full, from the negative end",
        example=["0 mAh", "120 mAh", "0 mAh"], many=True,
    )  # fmt: skip
    tap_voltages_v: tuple[float, ...] = quantity_key(
        "tap_voltages", unit="V", low=-300, high=300,
        about="balance wires against the pack's minus, in pin order",
        example=["0 V", "3.71 V", "7.41 V", "11.12 V"], many=True,
    )  # fmt: skip
    temperature_degc: float | None = quantity_key(
        "temperature", unit="degC", low=-60, high=120, about="of the cells now", example=20
    )
    condition: Condition | None = entry("what it looks, smells and feels like")

    @property
    def rested_groups_v(self) -> tuple[float, ...]:
        """Voltages of the groups, read one by one or as differences between taps. [V]"""
        if self.group_voltages_v:
            return self.group_voltages_v
        return tuple(high - low for low, high in itertools.pairwise(self.tap_voltages_v))

    @model_validator(mode="after")
    def _moves_both_ends(self) -> Measured:
        given = len(self.open_circuit_shift_v)
        if given not in (0, _ENDS, len(OCV_NODES)):
            reject(
                "open_circuit_shift needs two voltages, when empty and when full, or six, at 0, "
                f"10, 20, 40, 70 and 100 % of the charge; got {given}"
            )
        return self


class RankWeights(Section):
    """``[preferences.weights]``: how much each thing counts; 0 leaves it out."""

    safety: float = entry("margin to the limits", example=3.0, default=3.0, ge=0, le=100)
    run_time: float = entry("run time", example=1.0, default=1.0, ge=0, le=100)
    burst: float = entry("headroom for bursts", example=1.0, default=1.0, ge=0, le=100)
    temperature: float = entry("cool cells", example=1.0, default=1.0, ge=0, le=100)
    mass: float = entry("low mass", example=1.0, default=1.0, ge=0, le=100)
    volume: float = entry("room left over", example=0.5, default=0.5, ge=0, le=100)
    cycle_life: float = entry("many cycles", example=0.5, default=0.5, ge=0, le=100)
    charge_time: float = entry("quick charge", example=0.5, default=0.5, ge=0, le=100)
    price: float = entry("low price, where known", example=0.5, default=0.5, ge=0, le=100)


class Preferences(Section):
    """``[preferences]``: what the shortlist should favour or leave out."""

    weights: RankWeights | None = entry("how much each thing counts")
    families: tuple[Literal["nca", "nmc", "lco", "lmo", "lfp", "lto", "na_ion"], ...] = entry(
        "chemistries wanted; left out: all", example=["nca", "nmc"], default=()
    )
    forms: tuple[Literal["cylinder", "pouch", "prism"], ...] = entry(
        "forms wanted; left out: all", example=["cylinder"], default=()
    )
    only_cells: tuple[Text, ...] = entry(
        "only these cells", example=["Samsung SDI INR18650-25R"], default=()
    )
    never_cells: tuple[Text, ...] = entry("never these cells", example=["Old cell"], default=())
    series_min: Count | None = entry("fewest in series", example=3, ge=1, le=60)
    series_max: Count | None = entry("most in series", example=4, ge=1, le=60)
    parallel_max: Count | None = entry("most in parallel", example=2, ge=1, le=200)
    mass_max_kg: float | None = quantity_key(
        "mass_max", unit="g", low=1, high=1e6, about="heaviest pack wanted", example=300
    )

    prices: tuple[CellPrice, ...] = entry("what cells cost you", default=())

    @model_validator(mode="after")
    def _is_ordered(self) -> Preferences:
        if self.series_min and self.series_max and self.series_min > self.series_max:
            reject(f"series_min ({self.series_min}) is above series_max ({self.series_max})")
        return self


class Storage(Section):
    """``[storage]``: between uses, and over the years."""

    duration_s: float | None = quantity_key(
        "days", unit="day", low=0, high=20000, about="how long at a stretch", example=120,
        unit_in_name=True,
    )  # fmt: skip
    temperature_degc: float | None = quantity_key(
        "temperature", unit="degC", low=-60, high=90, about="where it is kept", example=18
    )
    soc_fraction: float | None = quantity_key(
        "soc", unit="dimensionless", low=0, high=1, about="charge it is put away with", example=0.5
    )
    humidity_fraction: float | None = quantity_key(
        "humidity", unit="dimensionless", low=0, high=1, about="relative humidity", example=0.5
    )
    in_parked_car: Flag | None = entry("whether it stays in a car", example=False)
    last_checked_s: float | None = quantity_key(
        "last_checked", unit="day", low=0, high=20000, about="since anybody measured it",
        example=60,
    )  # fmt: skip
    packs_touching: Count | None = entry(
        "loose packs that touch each other where they lie", example=0, ge=0, le=1000
    )
    indoors: Flag | None = entry("whether it is kept inside a building", example=True)
    out_of_reach: Flag | None = entry("whether children and pets cannot get at it", example=True)
    uses_per_week: float | None = entry(
        "charges used in a week, for its life", example=2.0, ge=0, le=1000
    )
    service_life_s: float | None = quantity_key(
        "service_life", unit="day", low=0, high=20000, about="how long it must serve",
        example="3 year",
    )  # fmt: skip


class Carrying(Section):
    """``[carrying]``: how it travels."""

    mode: Literal["hand", "car", "air", "post", "courier", "air_cargo", "none"] | None = entry(
        "hand, car, air, post, courier, air_cargo or none", example="car"
    )
    flights: Count | None = entry("flights planned with it", example=0, ge=0, le=10000)
    bag: Literal["cabin", "checked"] | None = entry("in which bag by air", example="cabin")
    spare: Flag | None = entry("whether it travels outside the device", example=False)
    terminals_covered: Flag | None = entry("whether nothing can touch its contacts", example=True)
    tested_to_un38_3: Flag | None = entry(
        "whether this pack design has a UN 38.3 test report", example=False
    )
    soc_fraction: float | None = quantity_key(
        "soc", unit="dimensionless", low=0, high=1, about="charge it travels with", example=0.3
    )
    with_device: Flag | None = entry(
        "whether a spare lies in the same parcel as its device", example=False
    )
    air_mail: Flag | None = entry("whether the post takes it by air", example=False)
    power_banks: Count | None = entry(
        "packs carried on one flight that charge other devices, this one among them", example=0,
        ge=0, le=100,
    )  # fmt: skip
    recharged_aboard: Flag | None = entry("whether it is charged in flight", example=False)
