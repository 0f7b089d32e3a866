"""The charger of a brief, and where and how warm the pack is when it is charged."""

from __future__ import annotations

from typing import Final

from packdesign.engineering.discharge.run import Conditions
from packdesign.planning.brief.charge_sections import Charger
from packdesign.planning.brief.schema import Brief
from packdesign.planning.charge_plan.settings import ChargerFacts

__all__ = ["charge_conditions", "charger_facts"]

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
    balance_a = charger.balance_current_a
    if charger.balances is False:
        balance_a = 0.0
    board = brief.pack.protection if brief.pack is not None else None
    if not balance_a and board is not None and board.balances and board.balance_current_a:
        balance_a = board.balance_current_a
    return ChargerFacts(
        charge_a=charger.current_a,
        end_v_per_cell=charger.end_voltage_per_cell_v,
        end_a=charger.end_current_a,
        pre_charge_a=charger.pre_charge_current_a,
        pre_charge_below_v=charger.pre_charge_below_v,
        timer_s=charger.timer_s,
        balance_a=balance_a,
    )


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
    return Conditions(ambient_degc=room_degc, start_degc=room_degc, start_soc=start_soc)
