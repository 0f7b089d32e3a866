"""``[measured.condition]``: what the eye, the nose and the hand tell of a pack."""

from __future__ import annotations

from typing import Literal

from packdesign.planning.brief.keys import entry, quantity_key
from packdesign.planning.brief.section import Flag, Section

__all__ = ["Condition"]


class Condition(Section):
    """``[measured.condition]``: what the eye, the nose and the hand tell of cells or pack."""

    dented: Flag | None = entry(
        "dented, pierced or torn; counts as deep unless dent_depth says less", example=False
    )
    swollen_fraction: float | None = quantity_key(
        "swollen", unit="dimensionless", low=0, high=5, about="growth in thickness since new",
        example=0.0,
    )  # fmt: skip
    leaking: Flag | None = entry("wet, sticky or crusted", example=False)
    smells: Flag | None = entry("a sweet or sharp smell", example=False)
    warm_at_rest: Flag | None = entry("warm by itself, without any load or sun", example=False)
    was_shorted: Flag | None = entry("flashed or shorted during the build", example=False)
    board_tripped: Flag | None = entry(
        "whether the protection board has cut off for a reason not found yet", example=False
    )
    was_wet: Flag | None = entry("has been under water", example=False)
    time_below_floor_s: float | None = quantity_key(
        "time_below_floor", unit="day", low=0, high=10000, about="time spent below 2 V per cell",
        example=0,
    )  # fmt: skip
    first_charge: Flag | None = entry("whether it has never been charged yet", example=True)
    dent_depth_m: float | None = quantity_key(
        "dent_depth", unit="mm", low=0, high=50, about="of the deepest dent; 0: only the sleeve",
        example=0.2,
    )  # fmt: skip
    short_duration_s: float | None = quantity_key(
        "short_duration", unit="s", low=0, high=100000,
        about="how long metal joined the terminals of the pack", example=0,
    )  # fmt: skip
    warming_k_per_s: float | None = quantity_key(
        "warming", unit="K/min", low=0, high=1000, about="how fast it warms without any load",
        example=0,
    )  # fmt: skip
    charge_rise_k: float | None = quantity_key(
        "charge_rise", unit="kelvin", low=0, high=200,
        about="how much warmer than the air it got in a charge", example=4,
    )  # fmt: skip
    water: Literal["fresh", "salt"] | None = entry(
        "which water it was under: fresh, or salt or brackish", example="fresh"
    )
    water_inside: Flag | None = entry("whether water is or was inside the housing", example=False)
    to_be_opened: Flag | None = entry("whether somebody is about to open it", example=False)
