"""Hazards of charging that a number shows: voltage, current, temperature, chemistry, balance."""

from __future__ import annotations

from functools import partial
from typing import Final

from packdesign.engineering.charging.coldest import FREEZING_DEGC, NO_GRAPHITE
from packdesign.foundation.basis import Basis
from packdesign.planning.charge_plan.go_no_go import RECHARGE_FLOORS
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

__all__ = ["CHARGING_LIMIT_HAZARDS", "NEVER_RECHARGE_BELOW_V", "charger_class"]

NEVER_RECHARGE_BELOW_V: Final = max(figure.volts for figure in RECHARGE_FLOORS)
"""Graphite cells found below this are not charged again: the strictest figure published, the same
as the go or no-go before a charge holds to. [V]"""

_REST_FLOOR_V: Final = 2.0
_REST_FLOOR_DAYS: Final = 7.0
_LOW_CELL_V: Final = 3.0
_LOW_CELL_CRATE: Final = 0.1
_HOT_CHARGE_DEGC: Final = 45.0
_VOLTAGE_READING_V: Final = 0.001
_NO_GRAPHITE: Final = frozenset(family.value for family in NO_GRAPHITE)
_LAYERED: Final = frozenset({"nmc", "nca", "lco", "lmo"})

_stop = partial(Hazard, stage=Stage.CHARGING, severity=Status.STOP)
_caution = partial(Hazard, stage=Stage.CHARGING, severity=Status.CAUTION)


def charger_class(family: str) -> str:
    """Class of charger that suits a family of cells: "li_ion" for those of the 4.2 V class.

    Examples
    --------
    >>> charger_class("nca"), charger_class("lfp")
    ('li_ion', 'lfp')
    """
    return "li_ion" if family in _LAYERED else family


def _has_graphite(situation: Situation) -> Ternary:
    return negated(is_one_of(situation.cell_family, _NO_GRAPHITE))


def _charger_differs(situation: Situation) -> Ternary:
    if situation.charger_chemistry is None or situation.cell_family is None:
        return None
    return charger_class(situation.charger_chemistry) != charger_class(situation.cell_family)


def _coldest_charge_degc(situation: Situation) -> float:
    """Freezing, or the sheet's own minimum where it is stricter or the cell has no graphite."""
    printed = situation.cell_charge_min_degc
    if printed is None:
        return FREEZING_DEGC
    if situation.cell_family in _NO_GRAPHITE:
        return printed
    return max(FREEZING_DEGC, printed)


def _hottest_charge_degc(situation: Situation) -> float:
    printed = situation.cell_charge_max_degc
    return _HOT_CHARGE_DEGC if printed is None else printed


def _charged_over_full(situation: Situation) -> Ternary:
    if situation.charge_v_per_cell is None or situation.cell_full_v is None:
        return None
    return situation.charge_v_per_cell > situation.cell_full_v + _VOLTAGE_READING_V


def _too_much_current(situation: Situation) -> Ternary:
    parts = (situation.charge_current_a, situation.parallel, situation.cell_max_charge_a)
    if any(part is None for part in parts):
        return None
    current_a, parallel, limit_a = (float(part) for part in parts if part is not None)
    return current_a / parallel > limit_a


CHARGING_LIMIT_HAZARDS: Final = (
    _stop(
        id="charging_below_freezing",
        holds=lambda s: below(s.charge_temperature_min_degc, _coldest_charge_degc(s)),
        reason="The pack would be charged at {charge_temperature_min_degc} degC; below 0 degC "
        "metallic lithium plates out and stays.",
        fix="Warm the cells through first, and let a sensor on a cell hold the charger off.",
        source=f"{sources.USFA}; {sources.NFPA}; the cell's own datasheet where it is stricter",
        ask="Say how cold it may be where the pack is charged.",
        unknown="It is not known how cold the cells may be when they are charged.",
    ),
    _stop(
        id="charge_voltage_above_cell",
        holds=_charged_over_full,
        reason="The charger ends at {charge_v_per_cell} V per cell; the cell allows "
        "{cell_full_v} V.",
        fix="Set or replace the charger; never rely on the board to stop it.",
        source="the charge voltage printed on the cell's own datasheet",
        basis=Basis.DATASHEET,
        ask="Find the end voltage of the charger and divide it by the cells in series.",
        unknown="It is not known whether the charger ends at a voltage that the cell allows.",
    ),
    _stop(
        id="charge_when_hot",
        holds=lambda s: any_of(
            above(s.cell_temperature_degc, _hottest_charge_degc(s)),
            above(s.charge_temperature_max_degc, _hottest_charge_degc(s)),
        ),
        reason="A cell would be charged above its upper charge temperature (45 degC where the "
        "sheet gives none).",
        fix="Wait until it is below 45 degC, and let a sensor on a cell stop the charger.",
        source=f"{sources.SAMSUNG_30Q}; {sources.SAMSUNG_ICR20}; {sources.CREUP}",
    ),
    _caution(
        id="charge_in_hot_room",
        holds=lambda s: above(s.charge_ambient_degc, 40.0),
        reason="The place of charging is at {charge_ambient_degc} degC; fire services draw the "
        "line at 40 degC.",
        fix="Charge in a cool, shaded place.",
        source=f"{sources.USFA}; {sources.NFPA}",
    ),
    _caution(
        id="charge_straight_after_hard_use",
        holds=lambda s: all_of(below(s.since_use_s, 1800.0), above(s.cell_temperature_degc, 40.0)),
        reason="The pack is still at {cell_temperature_degc} degC from use.",
        fix="Let it cool before it goes on the charger.",
        source=f"{sources.LFB}; {sources.MARYSVILLE}; the figures from memory",
        basis=Basis.ASSUMED,
    ),
    _stop(
        id="charger_current_too_high",
        holds=_too_much_current,
        reason="{charge_current_a} A into {parallel} in parallel is more than the "
        "{cell_max_charge_a} A that a cell may take.",
        fix="Turn the charger's current down.",
        source=f"the cell's own datasheet; {sources.SAMSUNG_30Q}; {sources.CREUP}",
    ),
    _stop(
        id="charger_for_other_chemistry",
        holds=_charger_differs,
        reason="The charger is for {charger_chemistry} and the cells are {cell_family}: it ends at "
        "the wrong voltage or not at all.",
        fix="Use a CC-CV charger for this chemistry and number of cells.",
        source=sources.LIION_WARNING,
        ask="Find the chemistry that the charger is made for.",
        unknown="It is not known whether the charger is made for this chemistry.",
    ),
    _stop(
        id="charger_not_matched",
        holds=lambda s: negated(s.charger_matched),
        reason="The charger is not made for this pack, by its count of cells or as a universal or "
        "borrowed one; a plug that fits proves nothing.",
        fix="Use a charger checked for voltage, current, polarity and chemistry of this pack.",
        source=f"{sources.CPSC_UNIVERSAL}; {sources.CORONER}; {sources.FRNSW_SAFETY}; "
        f"{sources.LFB}",
    ),
    _caution(
        id="no_balancing_path",
        holds=lambda s: all_of(
            at_least(s.series, 2), negated(s.charger_balances), negated(s.board_balances)
        ),
        reason="Nothing balances this pack of {series} in series: its groups drift apart until "
        "one is overcharged.",
        fix="Use a balancing charger on a balance lead, or a board that balances.",
        source=sources.MEMORY,
        basis=Basis.ASSUMED,
        ask="Say whether the charger or the board balances the groups.",
        unknown="It is not known whether anything balances the groups.",
    ),
    _caution(
        id="cell_rests_below_cutoff",
        holds=lambda s: below(s.cell_voltage_v, s.cell_cutoff_v),
        reason="A cell rests at {cell_voltage_v} V, below its cut-off of {cell_cutoff_v} V.",
        fix="Bring it up at a twentieth of its capacity per hour while you watch, or recycle it; "
        "the maker's word comes first.",
        source=f"the cell's own datasheet; {sources.GREENCELL}",
        basis=Basis.DATASHEET,
        ask="Measure every cell or group at rest before it is charged.",
        unknown="No reading of the cells at rest is known yet, so one may lie below its cut-off.",
    ),
    _stop(
        id="recharge_after_deep_discharge",
        holds=lambda s: all_of(below(s.cell_voltage_v, NEVER_RECHARGE_BELOW_V), _has_graphite(s)),
        reason="A cell is at {cell_voltage_v} V. Below 2.0 V it is given up (the strictest figure "
        "published; others say 1.5 V): copper dissolves and can bridge it inside.",
        fix="Do not charge it; recycle it. The maker's own floor is often higher and comes first.",
        source=f"{sources.STORAGE_TABLE}; {sources.DEEP_DISCHARGE}; {sources.UL_COPPER}",
    ),
    _stop(
        id="cell_stayed_below_two_volts",
        holds=lambda s: all_of(
            below(s.cell_voltage_v, _REST_FLOOR_V),
            above(s.days_below_two_volts, _REST_FLOOR_DAYS),
            _has_graphite(s),
        ),
        reason="A cell has been below 2.0 V for {days_below_two_volts} days, over a week.",
        fix="Do not charge it; recycle it.",
        source=sources.STORAGE_TABLE,
    ),
    _caution(
        id="low_cell_charged_fast",
        holds=lambda s: all_of(
            below(s.cell_voltage_v, _LOW_CELL_V),
            above(s.charge_crate, _LOW_CELL_CRATE),
            is_one_of(s.cell_family, _LAYERED - {"lmo"}),
        ),
        reason="A cell at {cell_voltage_v} V would be charged at {charge_crate} C.",
        fix="Stay at 0.1 C or less up to 3.0 V, and give up if it does not rise.",
        source=sources.GREENCELL,
    ),
    _caution(
        id="group_gap_at_full",
        holds=lambda s: above(s.group_gap_at_full_v, 0.10),
        reason="Groups are {group_gap_at_full_v} V apart at the end of charge.",
        fix="Balance; retire the pack if the gap is back within days.",
        source=sources.MEMORY,
        basis=Basis.ASSUMED,
    ),
    _caution(
        id="packs_charged_in_parallel_unmatched",
        holds=lambda s: above(s.pack_gap_per_cell_v, 0.10),
        reason="Packs {pack_gap_per_cell_v} V per cell apart are joined to one charger.",
        fix="Charge them one by one, or bring them level first.",
        source=sources.MEMORY,
        basis=Basis.ASSUMED,
    ),
)
"""Hazards of charging shown by a number."""
