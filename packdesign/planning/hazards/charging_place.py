"""Hazards of charging that lie in the place, the people and the state of the pack."""

from __future__ import annotations

from functools import partial
from typing import Final

from packdesign.foundation.basis import Basis
from packdesign.planning.hazards import sources
from packdesign.planning.hazards.hazard import Hazard, Stage
from packdesign.planning.hazards.situation import Situation
from packdesign.planning.hazards.ternary import (
    Ternary,
    above,
    all_of,
    any_of,
    at_least,
    below,
    is_one_of,
    negated,
)
from packdesign.planning.verdicts.verdict import Status

__all__ = ["CHARGING_PLACE_HAZARDS"]

_stop = partial(Hazard, stage=Stage.CHARGING, severity=Status.STOP)
_caution = partial(Hazard, stage=Stage.CHARGING, severity=Status.CAUTION)


def _large_pack_small_room(situation: Situation) -> Ternary:
    small = None if situation.room_area_m2 is None else situation.room_area_m2 <= 3.5
    return all_of(at_least(situation.energy_wh, 400.0), small)


def _hot_at_low_rate(situation: Situation) -> Ternary:
    gentle = None if situation.charge_crate is None else situation.charge_crate <= 0.5
    return all_of(above(situation.charge_rise_k, 10.0), gentle)


CHARGING_PLACE_HAZARDS: Final = (
    _stop(
        id="charging_unwatched",
        holds=lambda s: all_of(s.is_charging, negated(s.is_attended)),
        reason="The pack charges with nobody awake and present.",
        fix="Charge only while you are there and awake.",
        source=f"{sources.CPSC_CHARGING}; {sources.FRNSW_SAFETY}; {sources.LFB}",
    ),
    _stop(
        id="charging_in_escape_route",
        holds=lambda s: is_one_of(s.charge_place, {"hallway", "stairs", "by_exit"}),
        reason="The pack is charged or kept on the way out: a fire would bar the door.",
        fix="Move it where it cannot block anybody leaving.",
        source=f"{sources.LFB}; {sources.IAFC}; {sources.FRNSW_SAFETY}",
    ),
    _stop(
        id="charging_on_soft_or_flammable",
        holds=lambda s: any_of(
            is_one_of(s.charge_surface, {"bed", "sofa", "carpet"}),
            below(s.combustible_within_m, 1.0),
        ),
        reason="The pack charges on something soft or within 1 m of what can burn.",
        fix="Use a hard surface that does not burn, with clear space around.",
        source=f"{sources.FRNSW_SAFETY}; {sources.NFPA}; {sources.FENZ}; the 1 m from memory",
        basis=Basis.ASSUMED,
    ),
    _caution(
        id="no_alarm_where_charging",
        holds=lambda s: negated(s.has_smoke_alarm),
        reason="The place of charging has no smoke or heat alarm.",
        fix="Fit one, best with carbon monoxide sensing, and test it.",
        source=f"{sources.FRNSW_SAFETY}; {sources.RISE}",
    ),
    _caution(
        id="large_pack_in_small_room",
        holds=_large_pack_small_room,
        reason="A pack of {energy_wh} Wh in {room_area_m2} m2 can fill the room with gas that "
        "burns and poisons within about a minute.",
        fix="Keep and charge it in a large aired room or outdoors.",
        source=sources.RISE,
    ),
    _stop(
        id="charging_wet_pack",
        holds=lambda s: any_of(s.is_wet_inside, s.immersed_since_check),
        reason="The pack is wet inside, or has been under water and was not opened since.",
        fix="Do not charge it; put it outdoors, apart from everything.",
        source=f"{sources.USFA_SALT}; {sources.DEVICE_LABEL}",
    ),
    _stop(
        id="warm_at_low_rate",
        holds=_hot_at_low_rate,
        reason="The pack warms by {charge_rise_k} K at only {charge_crate} C: a short inside or a "
        "bad joint.",
        fix="Stop charging and take it outdoors.",
        source=f"{sources.MEMORY}; {sources.NFPA}",
        basis=Basis.ASSUMED,
    ),
    _caution(
        id="extension_lead_for_charger",
        holds=lambda s: is_one_of(s.mains_path, {"daisy_chain", "unrated_extension"}),
        reason="The charger hangs on a chained or weak extension lead.",
        fix="Plug it straight into the wall.",
        source=f"{sources.MARYSVILLE}; {sources.WEST_YORKSHIRE}",
    ),
    _stop(
        id="makeshift_mains_feed",
        holds=lambda s: is_one_of(s.mains_path, {"makeshift"}),
        reason="The charger is fed by a home-made mains lead or from a light fitting.",
        fix="Use a proper wall socket and an unaltered charger.",
        source=sources.FRNSW_CARINGBAH,
    ),
    _stop(
        id="reset_trip_without_measuring",
        holds=lambda s: all_of(s.board_has_tripped, negated(s.groups_measured_since_trip)),
        reason="The board has tripped and would be woken without a look at the groups.",
        fix="Measure every group first; wake it only if each is above its cut-off.",
        source=sources.MEMORY,
        basis=Basis.ASSUMED,
    ),
)
"""Hazards of the place and of the state of the pack."""
