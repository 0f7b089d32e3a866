"""What is said with every result, and what is said for one pack; each with who says so and when."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from packdesign.engineering.charging.coldest import FREEZING_DEGC
from packdesign.planning.hazards import sources
from packdesign.planning.hazards.charging_limits import NEVER_RECHARGE_BELOW_V
from packdesign.planning.hazards.situation import Situation
from packdesign.planning.hazards.ternary import (
    Ternary,
    above,
    all_of,
    at_least,
    below,
    is_one_of,
    negated,
)

__all__ = ["cautions_for", "general_cautions"]

_WARM_SURFACE_DEGC: Final = 43.0
"""From here a surface held for hours can burn (ISO 13732-1, from memory). [degC]"""

_GENERAL: Final = (
    "Lithium packs built at home burn houses down and kill. Fire services advise against building "
    f"your own, whatever the design ({sources.FRNSW_CARINGBAH}). Nothing here makes a pack safe: "
    "it only shows dangers that can be foreseen.",
    "If it smokes, hisses, swells or gets hot by itself: leave, close the door, call the fire "
    f"service, do not go back; the vapour is toxic and burns ({sources.FRNSW_BURNING}; "
    f"{sources.FENZ}). No household extinguisher stops it ({sources.SCOTTSDALE}).",
    "Charge only while you are present and awake, on a hard surface that does not burn, away from "
    f"the way out, with a smoke alarm in the room ({sources.CPSC_CHARGING}; "
    f"{sources.FRNSW_SAFETY}).",
    f"Never charge below 0 degC or above 40 degC around the pack ({sources.USFA}; {sources.NFPA}).",
    "Never use, charge or open a pack that is swollen, dented, leaking, hot or wet inside "
    f"({sources.FRNSW_SAFETY}).",
    "Use new cells of a traceable maker, one model, one batch; never cells from old packs "
    f"({sources.CPSC_CHARGING}), and do not sell or give away what you build ({sources.NY_495A}).",
    "A fuse, a keyed plug, and a protection board that watches every group are the least: a pack "
    f"without such a board has killed by overcharging ({sources.CORONER}).",
    "The maker's datasheet, local codes and law, and licensed people come before anything printed "
    "here. If you are not trained for spot-welding and live packs, have a licensed pack builder "
    "build and test it.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Caution:
    """One caution of a single pack: when it is said, and its words."""

    applies: Callable[[Situation], Ternary]
    says: str


def _never_charged(situation: Situation) -> Ternary:
    return None if situation.charge_count is None else situation.charge_count == 0


def _is_easy(situation: Situation) -> bool:
    """Whether the steady current is known to need no temperature cut."""
    return above(situation.cell_load_continuous_a, situation.cell_easy_without_cut_a) is False


_PARTICULAR: Final = (
    _Caution(
        applies=_never_charged,
        says="First charge of a new pack: outdoors on stone or concrete, at a low current, watched "
        "from start to end, with every group measured before, during and after "
        f"({sources.MEMORY}; being present: {sources.CPSC_CHARGING}).",
    ),
    _Caution(
        applies=lambda s: negated(s.un38_3_tested),
        says="This pack has no UN 38.3 report, and tested cells do not replace one: do not fly "
        f"with it, post it or give it to a carrier ({sources.TESTED_TYPE}; {sources.CAA}).",
    ),
    _Caution(
        applies=lambda s: above(s.energy_wh, 100.0),
        says="Over 100 Wh even a tested battery needs the airline's approval, and over 160 Wh none "
        f"flies with a passenger ({sources.DGR_67}; {sources.IATA_2018}).",
    ),
    _Caution(
        applies=lambda s: above(s.surface_degc, _WARM_SURFACE_DEGC),
        says="On the hottest day of the brief the surface gets hotter than 43 degC: it can burn "
        "whoever holds it for long, and 48 degC is the end for a grip (ISO 13732-1 and IEC "
        "62368-1, from memory).",
    ),
    _Caution(
        applies=lambda s: at_least(s.series, 2),
        says="Series cells drift apart: measure every group before each charge, and never recharge "
        f"a cell found below {NEVER_RECHARGE_BELOW_V:.1f} V, the strictest figure published "
        f"({sources.STORAGE_TABLE}); the maker's own floor is often higher and comes first.",
    ),
    _Caution(
        applies=lambda s: at_least(s.parallel, 2),
        says="Cells joined in parallel feed a failing one: join them only within 50 mV of each "
        f"other (from memory; makers match to 10 mV: {sources.MATCHING}).",
    ),
    _Caution(
        applies=lambda s: is_one_of(s.cell_form, {"pouch"}),
        says="A pouch has no can: one edge or screw point can pierce it. Give it a flat smooth bed "
        f"and room to swell, and never pierce a swollen one ({sources.LG_NOTICE}; "
        f"{sources.CALCE}).",
    ),
    _Caution(
        applies=lambda s: all_of(s.cell_rating_needs_temperature_cut, negated(_is_easy(s))),
        says="This cell's rated current holds only while something cuts off at a cell temperature "
        "(its own datasheet): fit that cut-off, or stay well below.",
    ),
    _Caution(
        applies=lambda s: all_of(s.cell_rating_needs_temperature_cut, _is_easy(s)),
        says="This cell's rated current holds only while something cuts off at a cell temperature "
        "(its own datasheet); steadily, this pack asks for too little of it to need that.",
    ),
    _Caution(
        applies=lambda s: is_one_of(s.cell_origin, {"used_pack", "scrap", "unknown", "rewrapped"}),
        says="These cells have a past that nobody knows; public bodies ask people never to build "
        f"with them ({sources.CPSC_CHARGING}; {sources.CPSC_LOOSE_CELLS}).",
    ),
    _Caution(
        applies=lambda s: all_of(s.cavity_is_sealed, s.cavity_is_rigid),
        says="A sealed rigid housing can burst when a cell vents: give it relief, never look into "
        f"it, and point its lid away when you open it ({sources.IMCA_HOUSING}).",
    ),
    _Caution(
        applies=lambda s: at_least(s.energy_wh, 400.0),
        says="400 Wh in a small room can make its air burnable and toxic within about a minute: "
        f"keep it in a large aired room or outdoors ({sources.RISE}).",
    ),
    _Caution(
        applies=lambda s: below(s.cell_charge_min_degc, FREEZING_DEGC),
        says="This cell has no graphite and its sheet allows charging below 0 degC: the limits "
        "shown for it follow that sheet; ask the maker for the current at each temperature "
        "(its own datasheet).",
    ),
    _Caution(
        applies=lambda s: is_one_of(s.cell_family, {"lfp", "lto", "na_ion"}),
        says="This chemistry takes another charge voltage than common lithium-ion: an ordinary "
        f"charger or board does not fit it ({sources.LIION_WARNING}).",
    ),
)


def general_cautions() -> tuple[str, ...]:
    """Give the cautions shown with every result, gravest first.

    Examples
    --------
    >>> general_cautions()[0].startswith("Lithium packs built at home")
    True
    """
    return _GENERAL


def cautions_for(situation: Situation) -> tuple[str, ...]:
    """Give the cautions that this very pack calls for, beyond the general ones.

    Parameters
    ----------
    situation : Situation
        What is known of the pack.

    Returns
    -------
    tuple of str
        One sentence or two each, with its source. What is not known calls for none here: the gate
        asks for it.

    Examples
    --------
    >>> len(cautions_for(Situation(charge_count=0)))
    1
    """
    return tuple(each.says for each in _PARTICULAR if each.applies(situation))
