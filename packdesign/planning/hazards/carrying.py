"""Hazards of taking a pack along, flying with it or handing it to a carrier."""

from __future__ import annotations

from functools import partial
from typing import Final

from packdesign.planning.hazards import sources
from packdesign.planning.hazards.hazard import Hazard, Stage
from packdesign.planning.hazards.situation import Situation
from packdesign.planning.hazards.ternary import (
    Ternary,
    above,
    all_of,
    any_of,
    is_one_of,
    negated,
)
from packdesign.planning.hazards.transport import (
    AIR_CARGO_SOC_FRACTION,
    APPROVAL_WH,
    FREE_WH,
    PACKED_WITH_CELL_WH,
)
from packdesign.planning.verdicts.verdict import Status

__all__ = ["CARRYING_HAZARDS"]

_stop = partial(Hazard, stage=Stage.CARRYING, severity=Status.STOP)
_caution = partial(Hazard, stage=Stage.CARRYING, severity=Status.CAUTION)


def _by_air(situation: Situation) -> Ternary:
    return is_one_of(situation.carry_mode, {"air"})


def _charged_air_cargo(situation: Situation) -> Ternary:
    outside = negated(situation.in_equipment)
    large = above(situation.cell_energy_wh, PACKED_WITH_CELL_WH)
    packed_with = all_of(situation.packed_with_equipment, large)
    loose = all_of(outside, any_of(negated(situation.packed_with_equipment), large))
    return all_of(
        is_one_of(situation.carry_mode, {"air_cargo"}),
        above(situation.soc_fraction, AIR_CARGO_SOC_FRACTION),
        any_of(loose, packed_with),
    )


CARRYING_HAZARDS: Final = (
    _stop(
        id="spare_in_checked_bag",
        holds=lambda s: all_of(_by_air(s), s.is_spare, is_one_of(s.bag, {"checked"})),
        reason="A spare battery is packed in the hold, where a fire cannot be fought.",
        fix="Carry it in the cabin with covered terminals.",
        source=f"{sources.TSA}; {sources.DGR_67}; {sources.IATA_2018}",
    ),
    _caution(
        id="battery_100_to_160_wh_by_air",
        holds=lambda s: all_of(
            _by_air(s), above(s.energy_wh, FREE_WH), negated(above(s.energy_wh, APPROVAL_WH))
        ),
        reason="A battery of {energy_wh} Wh needs the airline's approval: over 100, up to 160 Wh.",
        fix="Ask the airline first; at most two spares, in the cabin.",
        source=sources.DGR_67,
    ),
    _stop(
        id="battery_over_160_wh_by_air",
        holds=lambda s: all_of(_by_air(s), above(s.energy_wh, APPROVAL_WH)),
        reason="A battery of {energy_wh} Wh may not travel with a passenger: over 160 Wh.",
        fix="Split the pack, or have a dangerous-goods carrier take it.",
        source=sources.IATA_2018,
    ),
    _stop(
        id="too_many_power_banks",
        holds=lambda s: all_of(_by_air(s), above(s.power_bank_count, 2)),
        reason="{power_bank_count} power banks: two a person since 2026-03-27.",
        fix="Take two at most, each protected against short circuits.",
        source=f"{sources.ICAO_ADDENDUM}; {sources.CAA}; {sources.PAL}",
    ),
    _stop(
        id="power_bank_recharged_aboard",
        holds=lambda s: all_of(_by_air(s), s.is_power_bank, s.recharging_aboard),
        reason="A power bank may not be recharged in flight since 2026-03-27.",
        fix="Charge it before you travel.",
        source=f"{sources.ICAO_ADDENDUM}; {sources.PAL}",
    ),
    _stop(
        id="untested_pack_by_air",
        holds=lambda s: all_of(
            negated(s.un38_3_tested),
            is_one_of(s.carry_mode, {"air", "air_cargo", "courier", "post"}),
        ),
        reason="The pack is of no UN 38.3 tested type; the rules ask for one even where its cells "
        "were tested.",
        fix="Do not fly or ship it; have the type tested, or use a tested pack.",
        source=f"{sources.TESTED_TYPE}; {sources.CAA}",
    ),
    _stop(
        id="damaged_battery_by_air",
        holds=lambda s: all_of(_by_air(s), s.is_damaged),
        reason="A damaged, recalled or suspect battery may not fly.",
        fix="Leave it at home.",
        source=sources.DAMAGED_AIR,
    ),
    _caution(
        id="heat_or_motor_device_in_bag",
        holds=lambda s: all_of(
            _by_air(s), s.makes_heat_or_motion, s.battery_installed, negated(s.is_isolated)
        ),
        reason="A device that makes strong heat or turns is packed ready to run.",
        fix="Take the battery out, and ask the airline.",
        source=sources.DGR_57,
    ),
    _stop(
        id="loose_battery_by_post",
        holds=lambda s: all_of(is_one_of(s.carry_mode, {"post"}), negated(s.in_equipment)),
        reason="Posts refuse lithium batteries sent alone.",
        fix="Use a dangerous-goods carrier.",
        source=sources.POST,
    ),
    _stop(
        id="used_or_damaged_device_by_post",
        holds=lambda s: all_of(
            is_one_of(s.carry_mode, {"post"}), any_of(s.is_used, s.is_damaged), s.sent_by_air
        ),
        reason="Used or damaged devices with a battery may not go by air mail.",
        fix="Use surface service with the right marks.",
        source=sources.USPS,
    ),
    _stop(
        id="air_shipment_over_30_pct",
        holds=_charged_air_cargo,
        reason="The battery would fly as cargo at {soc_fraction} of its charge, above 0.30.",
        fix="Discharge to 30 % or less, and write it down.",
        source=sources.AIR_30,
    ),
)
"""Hazards of carrying."""
