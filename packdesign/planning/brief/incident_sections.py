"""``[retirement]`` and ``[incident]``: how a pack is given up, and what went wrong with it."""

from __future__ import annotations

from typing import Literal

from packdesign.planning.brief.keys import entry, quantity_key
from packdesign.planning.brief.section import Flag, Section

__all__ = ["Incident", "Retirement"]


class Retirement(Section):
    """``[retirement]``: what is to become of a pack that has served."""

    given_to_others: Flag | None = entry(
        "whether it is sold or given to somebody else", example=False
    )
    route: Literal["collection_point", "normal_box", "bin", "kerbside", "burn", "crush"] | None = (
        entry(
            "where it goes: collection_point (a desk with staff), normal_box (the open box in a "
            "shop), bin, kerbside, burn or crush",
            example="collection_point",
        )
    )
    terminals_taped: Flag | None = entry("whether its contacts are taped over", example=True)
    bath: Literal["fresh_water", "salt_water"] | None = entry(
        "water it is to be put in first; left out: none", example="fresh_water"
    )
    pierced: Flag | None = entry("whether a swollen cell is to be pricked", example=False)


class Incident(Section):
    """``[incident]``: something has gone wrong already; the gate says what must happen now."""

    smokes_or_hisses: Flag | None = entry(
        "whether it smokes, hisses, pops, bulges or is too hot to hold", example=False
    )
    burns: Flag | None = entry("whether there is a flame", example=False)
    carried: Flag | None = entry("whether somebody carries it", example=False)
    extinguisher: Literal["powder", "co2", "halon", "water"] | None = entry(
        "what the flames were put out with: powder, co2, halon or water", example="water"
    )
    cooled_with_water: Flag | None = entry(
        "whether it was cooled with much water afterwards", example=True
    )
    smoke_breathed: Flag | None = entry("whether anybody breathed its smoke", example=False)
    electrolyte_on: Literal["none", "skin", "eye"] | None = entry(
        "what its liquid has touched: none, skin or eye", example="none"
    )
    burn_cooled_after_s: float | None = quantity_key(
        "burn_cooled_after", unit="min", low=0, high=10000,
        about="time until a burn of the skin was cooled", example=1,
    )  # fmt: skip
