"""What must happen when something has gone wrong already."""

from __future__ import annotations

from functools import partial
from typing import Final

from packdesign.foundation.basis import Basis
from packdesign.planning.hazards import sources
from packdesign.planning.hazards.hazard import Hazard, Stage
from packdesign.planning.hazards.ternary import above, all_of, is_one_of, negated
from packdesign.planning.verdicts.verdict import Status

__all__ = ["RESPONSE_HAZARDS"]

_stop = partial(Hazard, stage=Stage.RESPONSE, severity=Status.STOP)
_caution = partial(Hazard, stage=Stage.RESPONSE, severity=Status.CAUTION)

RESPONSE_HAZARDS: Final = (
    _stop(
        id="smoke_hiss_or_swelling_now",
        holds=lambda s: s.emergency_sign,
        reason="The pack smokes, hisses, pops, bulges or is too hot to hold: fire may be seconds "
        "away and the vapour is poisonous.",
        fix="Leave, close the door behind you, and call the fire service.",
        source=f"{sources.FRNSW_BURNING}; {sources.FENZ}",
    ),
    _stop(
        id="burning_pack_carried",
        holds=lambda s: all_of(s.has_flame, s.carried_by_hand),
        reason="Somebody carries a pack that burns.",
        fix="Put it down and get away; nothing with a flame is carried.",
        source=sources.FRNSW_BURNING,
    ),
    _caution(
        id="dry_powder_relied_on",
        holds=lambda s: all_of(
            is_one_of(s.extinguisher, {"powder", "co2", "halon"}), negated(s.cooled_with_water)
        ),
        reason="The flames are out by {extinguisher}, but the cells go on heating inside.",
        fix="Leave and call the fire service; only plenty of water cools the cells.",
        source=f"{sources.FAA_SAFO}; {sources.SCOTTSDALE}",
    ),
    _stop(
        id="smoke_breathed_in",
        holds=lambda s: s.smoke_inhaled,
        reason="Somebody has breathed the smoke (carbon monoxide, hydrogen fluoride); some effects "
        "come hours later.",
        fix="Fresh air at once and medical help; say that it was a lithium battery.",
        source=f"{sources.MSB}; {sources.GIFTINFO}; {sources.LARSSON}",
    ),
    _stop(
        id="electrolyte_on_skin",
        holds=lambda s: is_one_of(s.electrolyte_contact, {"skin"}),
        reason="Liquid from a cell is on the skin.",
        fix="Rinse for 15 minutes or more, take wet clothes off, and see a doctor.",
        source=sources.SDS_HARLEY,
    ),
    _stop(
        id="electrolyte_in_eye",
        holds=lambda s: is_one_of(s.electrolyte_contact, {"eye"}),
        reason="Liquid from a cell is in the eye and may blind it.",
        fix="Rinse under the lid for 15 minutes or more, and get an eye specialist.",
        source=sources.SDS_HARLEY,
    ),
    _stop(
        id="heat_burn_treated_late",
        holds=lambda s: all_of(s.has_burn, above(s.minutes_to_cooling, 5.0)),
        reason="A burn has gone without cooling for {minutes_to_cooling} minutes.",
        fix="Cool running water for 20 minutes, never ice; emergency care for face, hands or "
        "anything larger than a coin.",
        source=f"{sources.FRNSW_BURNING}; {sources.NBT_BURNS}; the 5 min from memory",
        basis=Basis.ASSUMED,
    ),
)
"""Hazards when things have gone wrong."""
