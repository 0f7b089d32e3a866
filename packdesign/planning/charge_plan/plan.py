"""The whole charge plan of a pack in one call: settings, time, watts, balance, storage."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from packdesign.data.cells import Cell
from packdesign.data.chemistries import load_chemistry
from packdesign.engineering.charging.cc_cv import banded_charge
from packdesign.engineering.charging.charge_run import (
    BandedCharge,
    ChargeSettings,
    makers_clock,
)
from packdesign.engineering.charging.supply import PackNeed
from packdesign.engineering.charging.zones import ChargeZone, charge_zones
from packdesign.engineering.discharge.run import Conditions, PackModel
from packdesign.foundation.constants import SECONDS_PER_HOUR
from packdesign.planning.charge_plan.balance_plan import (
    BalancePlan,
    GroupFacts,
    after_charge,
    plan_balance,
)
from packdesign.planning.charge_plan.settings import (
    ChargerFacts,
    SetFigure,
    charge_settings,
    held_to,
    is_set_too_high,
    set_figures,
)
from packdesign.planning.charge_plan.supply_plan import SourceFacts, SupplyPlan, plan_supply

__all__ = ["ChargePlan", "ChargeSummary", "plan_charge", "summary_of"]

_FIRST_CRATE: Final = 0.2
# a first charge at 0.2C or less, group voltages watched: common practice, no source
_LEVELLING: Final[dict[bool | None, str]] = {
    True: "Let the balancer finish, however long it takes; this is its longest run.",
    False: "Nothing balances it: bring the groups level one by one before they are joined.",
    None: "Find out whether the charger or the board balances; until then level the groups by "
    "hand, each with a charger for one cell.",
}
"""What to do about the groups, by whether anything balances them; None: nobody knows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargePlan:
    """How to charge a pack, and what it takes."""

    allowed: bool
    """False where the cells are too cold or too hot, or the charger is set too high."""
    zone: ChargeZone
    """Zone the cells are in at the start."""
    zones: tuple[ChargeZone, ...]
    settings: ChargeSettings
    card: tuple[SetFigure, ...]
    charge: BandedCharge | None
    """At the cell's own voltage if the charger is set too high; None: too cold or too hot."""
    clock_s: float
    """When to stop it by hand if nothing has ended it: the makers' clock. [s]"""
    supply_w: float
    """Power the supply must give. [W]"""
    supply: SupplyPlan
    """What feeds the charge, and what comes of it."""
    balance: BalancePlan
    rested_soc: float
    """State of charge whose rested voltage is the end voltage: as full as it can leave the cells,
    had it all the time. [-]"""
    first_charge_a: float
    """Current of the first charge. [A]"""
    first_charge: tuple[str, ...]
    storage_soc: float
    storage_v: float
    """Whole pack at rest at the storage charge. [V]"""
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeSummary:
    """The five figures of the machine contract."""

    time_s: float | None
    cc_time_s: float | None
    current_a: float
    balance_time_s: float | None
    supply_w: float


def plan_charge(
    cell: Cell,
    pack: PackModel,
    facts: ChargerFacts,
    conditions: Conditions,
    *,
    source: SourceFacts | None = None,
    groups: GroupFacts | None = None,
    simulated: bool = True,
) -> ChargePlan:
    """Plan the charge of a pack.

    Parameters
    ----------
    cell : Cell
        The cell.
    pack : PackModel
        The pack as the engines see it.
    facts : ChargerFacts
        What is known of the charger.
    conditions : Conditions
        Air, start temperature and start charge.
    source : SourceFacts or None
        What is known of the charger as a thing, and of what feeds it; None: nothing.
    groups : GroupFacts or None
        What was measured on the groups; None: nothing.
    simulated : bool
        Whether to simulate the charge; without it the plan holds all but its course and time.

    Returns
    -------
    ChargePlan
        Settings card, simulated charge with its band, balance, first charge, storage.

    Raises
    ------
    OutOfRangeError
        If the charger's figures contradict each other.
    """
    settings, zone = charge_settings(cell, pack, facts, start_degc=conditions.start_degc)
    supply = plan_supply(_need(cell, pack, settings), source or SourceFacts())
    if 0 < supply.charge_a < settings.charge_a:
        settings = held_to(settings, charge_a=supply.charge_a)
    balance = plan_balance(
        cell,
        pack,
        groups or GroupFacts(),
        bleed=settings.bleed,
        balances=facts.balances,
        one_for_each_cell=facts.one_for_each_cell,
    )
    # a gap that is too wide is closed by hand before the charge that is planned here
    settings = replace(settings, gap_ah=0.0 if balance.is_too_wide else balance.gap_ah)
    charge = banded_charge(pack, settings, conditions) if zone.allowed and simulated else None
    if charge is not None:
        needed = after_charge(balance, charge, bleed=settings.bleed, series=pack.series)
        balance = replace(balance, charges_needed=needed)
    limits = load_chemistry(cell.family).limits
    storage_soc = (limits.storage_low_soc + limits.storage_high_soc) / 2
    first_a = min(settings.charge_a, _FIRST_CRATE * pack.capacity_ah)
    return ChargePlan(
        allowed=zone.allowed and not is_set_too_high(cell, facts),
        zone=zone,
        zones=charge_zones(cell, wanted_a=settings.charge_a / pack.parallel),
        settings=settings,
        card=set_figures(cell, pack, facts, settings),
        charge=charge,
        clock_s=makers_clock(
            capacity_ah=pack.capacity_ah,
            charge_a=settings.charge_a,
            start_soc=conditions.start_soc,
        ),
        supply_w=supply.input_w or supply.wanted_w,
        supply=supply,
        balance=balance,
        rested_soc=pack.cell.soc_at(settings.end_v_per_cell),
        first_charge_a=first_a,
        first_charge=_first_charge(pack, balance, first_a=first_a, balances=facts.balances),
        storage_soc=storage_soc,
        storage_v=pack.cell.ocv_at(storage_soc) * pack.series,
        cautions=_cautions(cell, pack, facts, zone, bleeds=settings.bleed is not None),
    )


def summary_of(plan: ChargePlan) -> ChargeSummary:
    """Reduce a plan to the figures of the machine contract.

    Parameters
    ----------
    plan : ChargePlan
        The plan.
    """
    return ChargeSummary(
        time_s=None if plan.charge is None else plan.charge.time_s.mid,
        cc_time_s=None if plan.charge is None else plan.charge.cc_time_s.mid,
        current_a=plan.settings.charge_a,
        balance_time_s=(
            None if plan.balance.first_h is None else plan.balance.first_h * SECONDS_PER_HOUR
        ),
        supply_w=plan.supply_w,
    )


def _need(cell: Cell, pack: PackModel, settings: ChargeSettings) -> PackNeed:
    limit_a = cell.max_charge_a or cell.standard_charge_a
    return PackNeed(
        series=pack.series,
        full_v_per_cell=settings.end_v_per_cell,
        wanted_a=settings.charge_a,
        allowed_a=settings.charge_a if limit_a is None else limit_a * pack.parallel,
        has_balancing_board=settings.bleed is not None,
    )


def _first_charge(
    pack: PackModel, balance: BalancePlan, *, first_a: float, balances: bool | None
) -> tuple[str, ...]:
    steps = [
        "Measure every group before it; nothing below the floor, nothing above full.",
        f"Charge at {first_a:.2f} A or less, on a hard surface, watched to the end.",
        "Feel the pack every ten minutes: no group may be warmer than the others.",
    ]
    if balance.is_too_wide:
        steps.insert(0, f"Charge group {balance.furthest_behind} by itself, or replace it.")
    if pack.series > 1:
        steps.append("Read the groups near the end: stop if any one passes its full voltage.")
        steps.append(_LEVELLING[balances])
    steps.append("Rest an hour, measure every group again, write both sets down.")
    return tuple(steps)


def _cautions(
    cell: Cell, pack: PackModel, facts: ChargerFacts, zone: ChargeZone, *, bleeds: bool
) -> tuple[str, ...]:
    found = []
    if is_set_too_high(cell, facts):
        found.append(
            f"The charger ends at {facts.end_v_per_cell:g} V per cell, the cell takes "
            f"{cell.full_v:g} V: do not use it so. The figures here are for {cell.full_v:g} V."
        )
    if not zone.allowed:
        found.append(f"The cells are {zone.name.value}: do not charge now.")
    elif facts.charge_a is not None and zone.charge_a * pack.parallel < 0.999 * facts.charge_a:
        found.append(
            f"In this zone ({zone.low_degc:g} to {zone.high_degc:g} degC) the pack takes "
            f"{zone.charge_a * pack.parallel:.2f} A; a charger fixed at {facts.charge_a:g} A must "
            "wait until the cells are warmer or cooler."
        )
    if pack.series > 1 and facts.balances is False:
        found.append("A series pack without balancing is a stop: one group can be overcharged.")
    if pack.series > 1 and facts.balances is None:
        found.append("It is not known whether anything balances this series pack.")
    if pack.series > 1 and facts.balances and not bleeds and not facts.one_for_each_cell:
        found.append(
            "The groups are balanced, but with which current is not known, so no hours are shown: "
            "find it on the sheet of the charger or board and give balance_current."
        )
    return tuple(found)
