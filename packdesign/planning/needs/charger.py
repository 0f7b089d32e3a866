"""The charger of a brief, and where and how warm the pack is when it is charged."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from packdesign.engineering.discharge.run import Conditions
from packdesign.planning.brief.charge_sections import Charger
from packdesign.planning.brief.mission_sections import Start
from packdesign.planning.brief.place_sections import Surroundings
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.upkeep_sections import Measured
from packdesign.planning.charge_plan.balance_plan import GroupFacts
from packdesign.planning.charge_plan.settings import ChargerFacts
from packdesign.planning.needs.parts import board_of, board_part

__all__ = [
    "EMPTY_SOC",
    "AtCharge",
    "cells_now_degc",
    "charge_conditions",
    "charger_facts",
    "coldest_on_charge",
    "group_facts",
    "hottest_on_charge",
    "hottest_room_degc",
]

EMPTY_SOC: Final = 0.05
"""Charge left when the device has run to its limit, where a charge begins unless said. [-]"""
_INDOORS_DEGC: Final = 20.0
"""Where the cells are charged when the brief gives no temperature: a room."""


def charger_facts(brief: Brief) -> ChargerFacts:
    """Give what is known of the charger, as it is set: a wrong setting is for the plan to tell.

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    charger = brief.charger or Charger()
    balance_a, start_v = charger.balance_current_a, charger.balance_start_v
    if charger.balances is False:
        balance_a = 0.0
    board, part = board_of(brief.pack), board_part(brief.pack)
    if not balance_a and board is not None and board.balances and board.balance_current_a:
        balance_a = board.balance_current_a
        start_v = part.balance_start_v if start_v is None and part is not None else start_v
    says_board = board is not None and board.balances is True
    if says_board and not balance_a:
        balance_a = None  # it balances with a current that nobody gives
    return ChargerFacts(
        charge_a=charger.current_a,
        end_v_per_cell=charger.end_voltage_per_cell_v,
        end_a=charger.end_current_a,
        pre_charge_a=charger.pre_charge_current_a,
        pre_charge_below_v=charger.pre_charge_below_v,
        timer_s=charger.timer_s,
        balance_a=balance_a,
        is_said_to_balance=True if charger.balances or says_board else None,
        balance_duty_fraction=charger.balance_duty_fraction or 1.0,
        balance_start_v=start_v,
        balance_takes_turns=bool(charger.balance_takes_turns),
        balance_resistor_ohm=charger.balance_resistor_ohm,
        balance_switch_ohm=charger.balance_switch_ohm,
        one_for_each_cell=charger.kind == "cell_chargers",
        efficiency_fraction=charger.efficiency_fraction,
    )


def group_facts(brief: Brief) -> GroupFacts:
    """Give what was measured on the groups of the pack.

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    measured = brief.measured or Measured()
    return GroupFacts(behind_ah=measured.group_behind_ah, rested_v=measured.rested_groups_v)


def charge_conditions(brief: Brief, *, start_soc: float) -> Conditions:
    """Give the air, the cells and their charge when charging begins.

    Parameters
    ----------
    brief : Brief
        The brief.
    start_soc : float
        State of charge at the start, 0 to 1. [-]
    """
    charger = brief.charger or Charger()
    low, high = charger.temperature_min_degc, charger.temperature_max_degc
    room_degc = _INDOORS_DEGC
    if low is not None:
        room_degc = max(room_degc, low)
    if high is not None:
        room_degc = min(room_degc, high)
    bench = brief.surroundings
    if bench is not None and bench.ambient_degc is not None and low is None and high is None:
        room_degc = bench.ambient_degc
    now_degc = cells_now_degc(brief)
    return Conditions(
        ambient_degc=room_degc,
        start_degc=room_degc if now_degc is None else now_degc,
        start_soc=start_soc,
    )


def hottest_room_degc(brief: Brief) -> float | None:
    """Give how hot the air gets where the pack is charged, where the brief says so. [degC]

    Parameters
    ----------
    brief : Brief
        The brief. Outdoors the hottest day of use counts; of a room nothing is taken for granted.
    """
    charger, around = brief.charger or Charger(), brief.surroundings or Surroundings()
    if charger.ambient_max_degc is not None or charger.place != "outdoors":
        return charger.ambient_max_degc
    return around.ambient_max_degc


def cells_now_degc(brief: Brief) -> float | None:
    """Give how warm the cells are when charging begins, where the brief says so. [degC]

    Parameters
    ----------
    brief : Brief
        The brief.

    Notes
    -----
    A reading goes first. The temperature at the start of a use counts too, unless the charger is
    said to wait for warmer or cooler cells than that.
    """
    measured, start = brief.measured or Measured(), brief.start or Start()
    if measured.temperature_degc is not None:
        return measured.temperature_degc
    charger, given_degc = brief.charger or Charger(), start.temperature_degc
    low, high = charger.temperature_min_degc, charger.temperature_max_degc
    if given_degc is None or (low is not None and given_degc < low):
        return None
    return None if high is not None and given_degc > high else given_degc


@dataclass(frozen=True, slots=True, kw_only=True)
class AtCharge:
    """How cold or how hot the cells are when they are charged."""

    degc: float | None = None
    """None: the brief does not say. [degC]"""
    assumed: str = ""
    """What was taken for it where the charger names none, as a sentence; else empty."""


def coldest_on_charge(brief: Brief, *, least_degc: float | None) -> AtCharge:
    """Give how cold the cells are charged by what the brief says.

    Parameters
    ----------
    brief : Brief
        The brief.
    least_degc : float or None
        Lowest charge temperature of the cell. [degC]

    Notes
    -----
    Where the charger names none, the air counts: its usual temperature where even that is too
    cold, its coldest where even that is warm enough. Between them nobody knows where it is charged.
    """
    charger, around = brief.charger or Charger(), brief.surroundings or Surroundings()
    if charger.temperature_min_degc is not None:
        return AtCharge(degc=charger.temperature_min_degc)
    usual_degc, coldest_degc = around.ambient_degc, around.ambient_min_degc
    if coldest_degc is None or least_degc is None or coldest_degc >= least_degc:
        if coldest_degc is None:
            return _of_the_air(usual_degc, key="ambient", charger_key="temperature_min")
        return _of_the_air(coldest_degc, key="ambient_min", charger_key="temperature_min")
    is_too_cold = usual_degc is not None and usual_degc < least_degc
    return _of_the_air(
        usual_degc if is_too_cold else None, key="ambient", charger_key="temperature_min"
    )


def _of_the_air(degc: float | None, *, key: str, charger_key: str) -> AtCharge:
    if degc is None:
        return AtCharge()
    return AtCharge(
        degc=degc,
        assumed=f"Assumed: charged in the air that it is used in (surroundings.{key}), for "
        f"charger.{charger_key} is not given.",
    )


def hottest_on_charge(brief: Brief, *, most_degc: float | None) -> AtCharge:
    """Give how hot the cells are charged by what the brief says.

    Parameters
    ----------
    brief : Brief
        The brief.
    most_degc : float or None
        Highest charge temperature of the cell. [degC]

    Notes
    -----
    As :func:`coldest_on_charge`, the other way round.
    """
    charger, around = brief.charger or Charger(), brief.surroundings or Surroundings()
    if charger.temperature_max_degc is not None:
        return AtCharge(degc=charger.temperature_max_degc)
    usual_degc, hottest_degc = around.ambient_degc, around.ambient_max_degc
    if hottest_degc is None or most_degc is None or hottest_degc <= most_degc:
        if hottest_degc is None:
            return _of_the_air(usual_degc, key="ambient", charger_key="temperature_max")
        return _of_the_air(hottest_degc, key="ambient_max", charger_key="temperature_max")
    is_too_hot = usual_degc is not None and usual_degc > most_degc
    return _of_the_air(
        usual_degc if is_too_hot else None, key="ambient", charger_key="temperature_max"
    )
