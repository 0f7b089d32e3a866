"""What joins the cells of a pack and guards them: strips, leads, fuse, connector, switch, board."""

from __future__ import annotations

from typing import Literal

from pydantic import model_validator

from packdesign.engineering.geometry.allowances import LARGEST_ALLOWANCE_M
from packdesign.planning.brief.keys import entry, quantity_key
from packdesign.planning.brief.section import Count, Flag, Section, Text, reject

__all__ = ["Connector", "Fuse", "Lead", "Protection", "Strips", "Switch"]


class Protection(Section):
    """``[pack.protection]``: what cuts the pack off."""

    kind: Literal["board", "in_cell", "none"] | None = entry(
        "a board for the whole pack, only what is inside the cells, or nothing", example="board"
    )
    board: Text | None = entry("name of the board, as the table has it", example="3S 20 A board")
    series: Count | None = entry("cells in series that it is made for", example=3, ge=1, le=60)
    continuous_a: float | None = quantity_key(
        "continuous", unit="A", low=0.01, high=1000, about="its continuous current", example=20
    )
    overcharge_trip_v: float | None = quantity_key(
        "overcharge_trip", unit="V", low=1, high=6, about="per cell", example="4.25 V"
    )
    undervoltage_trip_v: float | None = quantity_key(
        "undervoltage_trip", unit="V", low=0.5, high=5, about="per cell", example="2.5 V"
    )
    overcurrent_trip_a: float | None = quantity_key(
        "overcurrent_trip", unit="A", low=0.01, high=3000, about="trip current", example=40
    )
    overcurrent_delay_s: float | None = quantity_key(
        "overcurrent_delay", unit="ms", low=0, high=60000, about="trip delay", example=10
    )
    resistance_ohm: float | None = quantity_key(
        "resistance", unit="mohm", low=0, high=10000, about="in the current path", example=5
    )
    idle_current_a: float | None = quantity_key(
        "idle_current", unit="uA", low=0, high=1e6, about="what it draws at rest", example=10
    )
    watches_each_group: Flag | None = entry(
        "whether it cuts off at the voltage of any single group", example=True
    )
    balances: Flag | None = entry("whether it balances the groups", example=False)
    balance_current_a: float | None = quantity_key(
        "balance_current", unit="mA", low=0, high=10000, about="its bleed current", example=60
    )


class Strips(Section):
    """``[pack.strips]``: what joins cell to cell."""

    material: Text | None = entry(
        "nickel, plated_steel, copper or another name of the material table", example="nickel"
    )
    tested_as: Literal["nickel", "plated_steel"] | None = entry(
        "what a spark or salt-water test of a scrap showed: nickel or plated_steel",
        example="nickel",
    )
    width_m: float | None = quantity_key(
        "width",
        unit="mm",
        low=0.5,
        high=1000 * LARGEST_ALLOWANCE_M,
        about="across the current",
        example="8 mm",
    )
    thickness_m: float | None = quantity_key(
        "thickness", unit="mm", low=0.01, high=5, about="of one layer", example="0.15 mm"
    )
    length_m: float | None = quantity_key(
        "length", unit="mm", low=1, high=2000, about="of one link; left out: from the arrangement",
        example="20 mm",
    )  # fmt: skip
    layers: Count | None = entry("layers on top of each other", example=1, ge=1, le=20)
    joint: (
        Literal["spot_weld", "laser_weld", "solder_on_tab", "solder_on_can", "holder", "screw"]
        | None
    ) = entry("how a strip meets the cell", example="spot_weld")
    joint_resistance_ohm: float | None = quantity_key(
        "joint_resistance", unit="mohm", low=0, high=1000, about="of one joint", example=0.2
    )
    crosses_positive_rim: Flag | None = entry(
        "whether a strip runs over the rim of a positive end", example=False
    )
    insulated_overlaps: Flag | None = entry(
        "whether strips that cross have insulation between them", example=True
    )

    @model_validator(mode="after")
    def _stack_is_believable(self) -> Strips:
        stack_m = (self.thickness_m or 0.0) * (self.layers or 1)
        if stack_m > LARGEST_ALLOWANCE_M:
            reject(
                f"thickness times layers is {stack_m * 1000:g} mm; at most "
                f"{LARGEST_ALLOWANCE_M * 1000:g} mm are believed"
            )
        return self


class Lead(Section):
    """``[pack.lead]``: the two wires from the pack to the device."""

    awg: Count | None = entry("gauge, AWG", example=16, ge=-3, le=40)
    area_m2: float | None = quantity_key(
        "area", unit="mm**2", low=0.005, high=500, about="cross-section, instead of a gauge",
        example="1.5 mm2",
    )  # fmt: skip
    length_m: float | None = quantity_key(
        "length", unit="mm", low=0, high=100000, about="one way; the current runs it twice",
        example="150 mm",
    )  # fmt: skip
    insulation: Text | None = entry("silicone, pvc or another insulation", example="silicone")
    insulation_degc: float | None = quantity_key(
        "insulation_limit", unit="degC", low=40, high=300, about="its temperature limit",
        example="200 degC",
    )  # fmt: skip
    bundled: Flag | None = entry("whether it runs in a bundle or a closed tube", example=True)


class Fuse(Section):
    """``[pack.fuse]``: the fuse in the pack."""

    part: Text | None = entry(
        'series or part number, as the fuse table has it; "none": no fuse', example="ATO 15 A"
    )
    kind: Literal["fuse", "resettable", "none"] | None = entry(
        "melting fuse, resettable (PTC), or none", example="fuse"
    )
    rating_a: float | None = quantity_key(
        "rating", unit="A", low=0.01, high=1000, about="rated current", example=15
    )
    rated_v: float | None = quantity_key(
        "rated_voltage", unit="V", low=1, high=2000, about="rated voltage at direct current",
        example=32,
    )  # fmt: skip
    breaking_capacity_a: float | None = quantity_key(
        "breaking_capacity", unit="A", low=1, high=500000, about="most that it can break",
        example=1000,
    )  # fmt: skip
    resistance_ohm: float | None = quantity_key(
        "resistance", unit="mohm", low=0, high=100000, about="cold", example=5
    )
    at_positive_terminal: Flag | None = entry(
        "whether it sits within a hand's width of the positive terminal", example=True
    )


class Connector(Section):
    """``[pack.connector]``: the connector between pack and device."""

    name: Text | None = entry("trade name, as the connector table has it", example="XT30")
    rating_a: float | None = quantity_key(
        "rating", unit="A", low=0.01, high=1000, about="rated current per contact", example=15
    )
    peak_rating_a: float | None = quantity_key(
        "peak_rating", unit="A", low=0.01, high=3000, about="what it carries for up to 10 s",
        example=30,
    )  # fmt: skip
    resistance_ohm: float | None = quantity_key(
        "resistance", unit="mohm", low=0, high=1000, about="of one contact", example=0.6
    )
    polarised: Flag | None = entry("whether it cannot be plugged in backwards", example=True)
    live_pins_exposed: Flag | None = entry(
        "whether a finger or a coin reaches the pack's contacts", example=False
    )


class Switch(Section):
    """``[pack.switch]``: the switch that the whole current passes."""

    name: Text | None = entry("part number or kind", example="rocker switch")
    kind: Literal["mechanical", "relay", "transistor", "plug", "none"] | None = entry(
        "what does the switching", example="mechanical"
    )
    rating_a: float | None = quantity_key(
        "rating", unit="A", low=0.01, high=1000, about="rated direct current", example=20
    )
    peak_rating_a: float | None = quantity_key(
        "peak_rating", unit="A", low=0.01, high=3000, about="what it carries for up to 10 s",
        example=40,
    )  # fmt: skip
    rated_v: float | None = quantity_key(
        "rated_voltage", unit="V", low=0.5, high=2000, about="rated direct voltage", example=24
    )
    resistance_ohm: float | None = quantity_key(
        "resistance", unit="mohm", low=0, high=10000, about="when on", example=10
    )
    off_current_a: float | None = quantity_key(
        "off_current", unit="uA", low=0, high=1e6, about="what still flows when off", example=1
    )
    locks: Flag | None = entry("whether it cannot switch on by itself in a bag", example=True)
