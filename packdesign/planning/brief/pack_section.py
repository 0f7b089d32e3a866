"""``[pack]``: which cells, how many, how they are held together, and where they come from.

A pack already owned or a build already begun is told here; what is left out is chosen or unknown.
"""

from __future__ import annotations

from typing import Literal

from packdesign.engineering.geometry.allowances import LARGEST_ALLOWANCE_M
from packdesign.planning.brief.joint_sections import (
    Connector,
    Fuse,
    Lead,
    Protection,
    Strips,
    Switch,
)
from packdesign.planning.brief.keys import entry, quantity_key
from packdesign.planning.brief.section import Count, Flag, Section, Text

__all__ = ["CellOrigin", "Pack"]

CellOrigin = Literal["new", "used_pack", "rewrapped", "scrap", "unknown"]


class Pack(Section):
    """The pack, as far as the builder has settled it."""

    cell: Text | None = entry(
        "maker and part number, as the cell table has them; left out: the shortlist chooses",
        example="Samsung SDI INR18650-25R",
    )
    series: Count | None = entry("cells in series", example=3, ge=1, le=60)
    parallel: Count | None = entry("cells in parallel in each group", example=1, ge=1, le=200)
    arrangement: Text | None = entry(
        "how the cells sit in the cavity; left out: the best that fits", example="end_to_end"
    )
    cell_origin: CellOrigin | None = entry("where the cells come from", example="new")
    cell_maker_known: Flag | None = entry("whether maker and part number are certain", example=True)
    mixed_cells: tuple[Text, ...] = entry(
        "other cell types built into the same pack", example=["Some other cell"], default=()
    )
    new_cells_in_old_pack: Flag | None = entry(
        "whether only some of the cells have been renewed", example=False
    )
    age_s: float | None = quantity_key(
        "age",
        unit="day",
        low=0,
        high=20000,
        about="age of the cells; what it took is reckoned with until they are measured",
        example=30,
    )
    cycles_done: Count | None = entry(
        "full cycles behind the cells; reckoned with as their age is", example=0, ge=0, le=20000
    )

    label_capacity_ah: float | None = quantity_key(
        "label_capacity",
        unit="Ah",
        low=0.001,
        high=1000,
        about="capacity printed on the cell or pack: a claim, checked against physics",
        example="2500 mAh",
    )
    label_energy_wh: float | None = quantity_key(
        "label_energy",
        unit="Wh",
        low=0.001,
        high=100000,
        about="energy printed on the pack",
        example="27 Wh",
    )
    label_printed: Flag | None = entry(
        "whether volts, capacity and energy are printed on the pack", example=True
    )
    removable: Flag | None = entry("whether it comes out of the device by hand", example=True)
    label_crate: float | None = entry(
        "C-rate printed on the pack: a claim", example=20.0, gt=0, le=1000
    )

    protection: Protection | None = entry("board or parts that cut the pack off")
    balance_leads: Flag | None = entry(
        "whether every group has its wire to a balance connector", example=True
    )
    balance_lead_awg: Count | None = entry("gauge of the balance wires", example=26, ge=4, le=40)
    temperature_sensor: Flag | None = entry(
        "whether a sensor sits on a cell of the pack", example=True
    )

    strips: Strips | None = entry("what joins cell to cell")
    lead: Lead | None = entry("the two wires from the pack to the device")
    fuse: Fuse | None = entry('the fuse in the pack; part = "none" says that there is none')
    connector: Connector | None = entry("the connector between pack and device")
    switch: Switch | None = entry("the switch that the whole current passes")

    holder: Flag | None = entry("whether an insulating holder keeps the cells apart", example=True)
    cell_gap_m: float | None = quantity_key(
        "cell_gap",
        unit="mm",
        low=0,
        high=1000 * LARGEST_ALLOWANCE_M,
        about="gap between neighbours",
        example="0.5 mm",
    )
    wrap_thickness_m: float | None = quantity_key(
        "wrap_thickness",
        unit="mm",
        low=0,
        high=10,
        about="thickness of the sleeve round the whole pack",
        example="0.3 mm",
    )
    end_insulation_m: float | None = quantity_key(
        "end_insulation",
        unit="mm",
        low=0,
        high=20,
        about="thickness of the insulator at each end of the pack",
        example="1 mm",
    )
    insulating_rings: Flag | None = entry(
        "whether each positive end has an insulating ring under the strip", example=True
    )
    vent_end_covered: Flag | None = entry(
        "whether anything closes the vents at the positive ends", example=False
    )
    swelling_room_fraction: float | None = quantity_key(
        "swelling_room",
        unit="dimensionless",
        low=0,
        high=1,
        about="free room left for pouches to grow, as a share of their thickness",
        example=0.1,
    )
