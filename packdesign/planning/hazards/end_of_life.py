"""Hazards of repair and disposal."""

from __future__ import annotations

from functools import partial
from typing import Final

from packdesign.foundation.basis import Basis
from packdesign.planning.hazards import sources
from packdesign.planning.hazards.hazard import Hazard, Stage
from packdesign.planning.hazards.ternary import above, all_of, at_least, is_one_of, negated
from packdesign.planning.verdicts.verdict import Status

__all__ = ["DISPOSAL_HAZARDS", "REPAIR_HAZARDS"]

_repair_stop = partial(Hazard, stage=Stage.REPAIR, severity=Status.STOP)
_repair_caution = partial(Hazard, stage=Stage.REPAIR, severity=Status.CAUTION)
_disposal_stop = partial(Hazard, stage=Stage.DISPOSAL, severity=Status.STOP)
_disposal_caution = partial(Hazard, stage=Stage.DISPOSAL, severity=Status.CAUTION)

REPAIR_HAZARDS: Final = (
    _repair_stop(
        id="swollen_pouch_pierced",
        holds=lambda s: s.is_piercing,
        reason="A swollen pouch is to be pricked: that lets out toxic gas and starts fires.",
        fix="Never pierce it; take it outdoors.",
        source=f"{sources.LG_NOTICE}; {sources.FRNSW_MEREWETHER}",
    ),
    _repair_stop(
        id="salt_water_discharge",
        holds=lambda s: all_of(s.is_damaged, is_one_of(s.bath, {"salt_water"})),
        reason="A damaged pack is to be put in salt water, which conducts and adds to the danger.",
        fix="Fresh water only, outdoors, and when the fire service says so.",
        source=sources.FRNSW_MEREWETHER,
    ),
    _repair_caution(
        id="single_group_replaced_in_old_pack",
        holds=lambda s: all_of(at_least(s.new_group_count, 1), above(s.pack_age_years, 1.0)),
        reason="A new group in a pack {pack_age_years} years old leaves the old ones overcharged "
        "again and again.",
        fix="Renew all cells, or retire the pack.",
        source=f"{sources.MEMORY}; {sources.MATCHING}",
        basis=Basis.ASSUMED,
    ),
    _repair_stop(
        id="unqualified_rework_sold_on",
        holds=lambda s: all_of(s.is_reworked, s.given_to_others),
        reason="A pack built or reworked at home is to go to somebody else.",
        fix="Keep it for yourself; in some places selling it is against the law.",
        source=f"{sources.CPSC_CHARGING}; {sources.NY_495A}",
    ),
)
"""Hazards of repair."""

DISPOSAL_HAZARDS: Final = (
    _disposal_stop(
        id="lithium_in_household_bin",
        holds=lambda s: is_one_of(s.disposal_route, {"bin", "kerbside"}),
        reason="A lithium battery in the household bin sets trucks and plants on fire.",
        fix="Take it to a collection point for batteries.",
        source=f"{sources.EPA}; {sources.WEST_YORKSHIRE}; {sources.NFPA}",
    ),
    _disposal_caution(
        id="untaped_terminals_at_recycling",
        holds=lambda s: all_of(
            is_one_of(s.disposal_route, {"collection_point"}), negated(s.terminals_taped)
        ),
        reason="The battery is handed in with bare terminals.",
        fix="Tape them, or bag each battery by itself.",
        source=f"{sources.EPA}; {sources.CALL2RECYCLE}",
    ),
    _disposal_stop(
        id="damaged_in_normal_box",
        holds=lambda s: all_of(s.is_damaged, is_one_of(s.disposal_route, {"normal_box"})),
        reason="A damaged battery is to go into the ordinary collection box.",
        fix="Pack it in dry sand, and ask the operator for the route for damaged ones.",
        source=sources.CALL2RECYCLE,
    ),
    _disposal_stop(
        id="thrown_on_fire_or_crushed",
        holds=lambda s: is_one_of(s.disposal_route, {"burn", "crush"}),
        reason="The battery is to be burned or crushed; it vents with violence.",
        fix="Hand it in whole.",
        source=sources.SDS_DELL,
    ),
)
"""Hazards of disposal."""
