"""Hazards fixed at the drawing board: fuse, wire, protection board, plug, switch, surface."""

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
from packdesign.planning.verdicts.board import TRIP_OVER_FULL_V
from packdesign.planning.verdicts.verdict import Status

__all__ = ["DESIGN_PACK_HAZARDS", "HELD_SURFACE_DEGC"]

HELD_SURFACE_DEGC: Final = 48.0
"""Hottest surface that a hand may hold for over a minute. Source: ``sources.TOUCH``. [degC]"""

_CHARGE_CRATE_UNWATCHED: Final = 0.5
_INGRESS_FOR_IMMERSION: Final = 7

_stop = partial(Hazard, stage=Stage.DESIGN, severity=Status.STOP)
_caution = partial(Hazard, stage=Stage.DESIGN, severity=Status.CAUTION)


def _short_circuit_beyond_fuse(situation: Situation) -> Ternary:
    full_v, pack_ohm = situation.pack_full_v, situation.pack_resistance_ohm
    if full_v is None or pack_ohm is None or situation.fuse_interrupt_a is None:
        return None
    # An unknown loop counts as none: the current is then at its highest.
    loop_ohm = pack_ohm + (situation.loop_resistance_ohm or 0.0)
    return full_v > situation.fuse_interrupt_a * loop_ohm


def _only_the_cells_protect(situation: Situation) -> Ternary:
    more_than_one = any_of(at_least(situation.series, 2), at_least(situation.parallel, 2))
    return all_of(more_than_one, is_one_of(situation.protection, {"in_cell_only"}))


def _board_for_another_count(situation: Situation) -> Ternary:
    if situation.board_series is None or situation.series is None:
        return None
    return situation.board_series != situation.series


def _board_for_another_chemistry(situation: Situation) -> Ternary:
    if situation.board_overcharge_trip_v is None or situation.cell_full_v is None:
        return None
    over_v = situation.board_overcharge_trip_v - situation.cell_full_v
    return over_v > TRIP_OVER_FULL_V + 1e-9


PROTECTION: Final = (
    _stop(
        id="no_fuse",
        holds=lambda s: negated(s.has_fuse) if s.fuse_a is None else False,
        reason="Nothing breaks a short circuit between the pack and the first wire.",
        fix="Put a fuse at the pack's positive end, ahead of every wire and switch.",
        source="common practice, no source",
        basis=Basis.PRACTICE,
        ask="Say which fuse sits between the pack and its first wire.",
        unknown="It is not known whether a fuse sits between the pack and its first wire.",
    ),
    _stop(
        id="fuse_breaking_capacity_too_small",
        holds=_short_circuit_beyond_fuse,
        reason="A short circuit can push more than the {fuse_interrupt_a} A that the fuse can "
        "break; it may burst or go on arcing.",
        fix="Choose a fuse with a higher interrupting rating for direct current at this voltage.",
        source=sources.FUSE_SELLER,
    ),
    _stop(
        id="fuse_bigger_than_wire",
        holds=lambda s: above(s.fuse_a, s.wire_ampacity_a),
        reason="The fuse ({fuse_a} A) lets more through than the wire carries "
        "({wire_ampacity_a} A), so the wire burns first.",
        fix="Lower the fuse or thicken the wire.",
        source=sources.MEMORY,
        basis=Basis.ASSUMED,
    ),
    _stop(
        id="string_protected_by_cell_ptc_only",
        holds=_only_the_cells_protect,
        reason="The pack leans on the small devices inside its cells; in a string the first to "
        "open meets the voltage of all the others and can fail.",
        fix="Add a protection board for the pack, for voltage and for current.",
        source=sources.NASA_NESC,
    ),
    _stop(
        id="no_per_group_voltage_watch",
        holds=lambda s: all_of(at_least(s.series, 2), negated(s.has_group_cutoff)),
        reason="Nothing watches each group of this series pack: one can be overcharged or reversed "
        "while the total looks right.",
        fix="Fit a protection board with a tap on every group.",
        source=f"{sources.CORONER}; {sources.UK_GUIDELINES}; {sources.WMG}",
        ask="Say which protection board is fitted and whether it has a tap on every group: "
        "[pack.protection] of the brief.",
        unknown="It is not known whether anything watches the voltage of each group.",
    ),
    _stop(
        id="bms_series_count_wrong",
        holds=_board_for_another_count,
        reason="The protection board is made for {board_series} groups and the pack has {series}.",
        fix="Use a board for exactly this count, and test every tap.",
        source=sources.MEMORY,
        basis=Basis.ASSUMED,
    ),
    _stop(
        id="bms_voltage_for_other_chemistry",
        holds=_board_for_another_chemistry,
        reason="The board trips at {board_overcharge_trip_v} V per cell, far above this cell's "
        "{cell_full_v} V.",
        fix="Use a board for this chemistry, and test its trip points before any cell is on it.",
        source=f"{sources.MEMORY}; {sources.CREUP}",
        basis=Basis.ASSUMED,
    ),
    _stop(
        id="bms_current_rating_below_load",
        holds=lambda s: above(s.load_continuous_a, s.board_continuous_a),
        reason="The board is rated {board_continuous_a} A and carries {load_continuous_a} A; "
        "overheated boards have failed closed.",
        fix="Take a board with room to spare, and feel its temperature under full load.",
        source=sources.WMG,
    ),
    _caution(
        id="no_cell_temperature_sensor",
        holds=lambda s: all_of(
            negated(s.has_cell_temperature_sensor), above(s.charge_crate, _CHARGE_CRATE_UNWATCHED)
        ),
        reason="Nothing measures a cell's temperature while it is charged at {charge_crate} C.",
        fix="Fix a sensor to a cell in the middle and let it stop the charger.",
        source=f"{sources.WMG}; the 0.5 C line from memory",
        basis=Basis.ASSUMED,
    ),
)
"""Hazards of fuse and protection board."""

PATH_AND_CASE: Final = (
    _caution(
        id="wire_current_over_limit",
        holds=lambda s: above(s.load_continuous_a, s.wire_ampacity_a),
        reason="The wire is good for {wire_ampacity_a} A and carries {load_continuous_a} A without "
        "pause.",
        fix="Use thicker or shorter wire.",
        source=sources.MEMORY,
        basis=Basis.ASSUMED,
    ),
    _caution(
        id="plated_steel_strip_as_nickel",
        holds=lambda s: all_of(
            is_one_of(s.strip_material, {"plated_steel"}),
            is_one_of(s.strip_calculated_as, {"nickel"}),
        ),
        reason="The strip is nickel-plated steel, but its resistance was taken as pure nickel.",
        fix="Test a scrap by spark or salt water, and calculate with the steel's resistance.",
        source=sources.MEMORY,
        basis=Basis.ASSUMED,
    ),
    _stop(
        id="reversible_power_connector",
        holds=lambda s: negated(s.connector_is_polarised),
        reason="The battery plug mates both ways round.",
        fix="Use a keyed plug.",
        source=sources.MEMORY,
        basis=Basis.ASSUMED,
    ),
    _stop(
        id="live_pins_exposed",
        holds=lambda s: any_of(is_one_of(s.pack_contacts, {"pins"}), s.terminals_exposed),
        reason="The pack shows bare live metal that coins, keys or tools can bridge.",
        fix="Put shrouded sockets on the pack, and a cap over them for carrying.",
        source=f"{sources.WEST_YORKSHIRE}; {sources.CPSC_LOOSE_CELLS}",
    ),
    _stop(
        id="regen_into_full_pack",
        holds=lambda s: all_of(s.regen_enabled, negated(s.regen_has_ceiling)),
        reason="Braking by the motor can push a full pack over its voltage.",
        fix="Set a voltage ceiling for braking, charge to less than full, or switch braking off.",
        source=sources.REGEN_MAKER,
    ),
    _caution(
        id="trigger_can_switch_on_in_bag",
        holds=lambda s: all_of(negated(s.has_switch_lock), negated(s.battery_removable)),
        reason="The device can be switched on by accident in a bag, and the pack stays inside.",
        fix="Recess or lock the switch, or make the pack removable.",
        source=sources.CAA,
    ),
    _caution(
        id="energy_label_missing",
        holds=lambda s: all_of(
            is_one_of(s.carry_mode, {"air"}),
            negated(s.has_wh_label),
            negated(s.has_volt_and_ah_label),
        ),
        reason="The pack is to fly and does not say how many watt-hours it holds.",
        fix="Print volts, amp-hours and watt-hours on the pack.",
        source=sources.PAL,
    ),
    _caution(
        id="water_entry_path_in_wet_device",
        holds=lambda s: all_of(
            s.immersion_expected, below(s.ingress_second_digit, _INGRESS_FOR_IMMERSION)
        ),
        reason="The device may go under water, and its case (IPX{ingress_second_digit}) lets "
        "water reach the cells.",
        fix="Seal the case, give it a drain, and look inside after use.",
        source=f"{sources.WMG}; the digit 7 from memory",
        basis=Basis.ASSUMED,
    ),
    _stop(
        id="hand_held_surface_too_hot",
        holds=lambda s: all_of(s.hand_held, above(s.surface_degc, HELD_SURFACE_DEGC)),
        reason="In air of {surface_air_degc} degC, the hottest that the brief names, the surface "
        "under the hand reaches {surface_degc} degC in one run. That is over the 48 degC above "
        "which nothing may be that is held for over a minute; held for longer than 10 min, its "
        "limit is lower still (see the check on the touched surface).",
        fix="Draw less, rest between runs, or put insulation between the cells and the hand.",
        source=sources.TOUCH,
        basis=Basis.ASSUMED,
        ask="Say whether the device is held, and find how hot its surface gets.",
        unknown="It is not known whether a hand holds the device, or how hot its surface gets.",
    ),
)
"""Hazards of wire, plug, switch, case and surface."""

DESIGN_PACK_HAZARDS: Final = PROTECTION + PATH_AND_CASE
