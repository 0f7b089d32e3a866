"""The whole charge plan of a pack in one call: settings, time, watts, balance, storage."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from packdesign.data.cells import Cell
from packdesign.data.charge_tables import self_discharge_rows
from packdesign.data.chemistries import load_chemistry
from packdesign.engineering.charging.balancing import (
    balance_hours,
    charges_to_balance,
    upkeep_hours_per_month,
)
from packdesign.engineering.charging.cc_cv import banded_charge
from packdesign.engineering.charging.charge_run import (
    BandedCharge,
    ChargeSettings,
    makers_clock,
)
from packdesign.engineering.charging.supply import (
    PackNeed,
    Supply,
    SupplyMatch,
    match_supply,
)
from packdesign.engineering.charging.zones import ChargeZone, charge_zones
from packdesign.engineering.discharge.run import Conditions, PackModel
from packdesign.foundation.constants import SECONDS_PER_HOUR
from packdesign.planning.charge_plan.settings import (
    ChargerFacts,
    SetFigure,
    charge_settings,
    is_set_too_high,
    set_figures,
)

__all__ = ["BalancePlan", "ChargePlan", "ChargeSummary", "plan_charge", "summary_of"]

_FIRST_GAP_FRACTION: Final = 0.02
# cells of one batch as delivered, charge apart by 2 % of capacity: assumed, no source
_SPREAD_PER_MONTH: Final = 0.005
# where no self-discharge figure is known, 0.5 % of capacity a month apart: assumed, no source
_FIRST_CRATE: Final = 0.2
# a first charge at 0.2C or less, group voltages watched: common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class BalancePlan:
    """Hours of balancing; None where nothing balances or nobody knows."""

    gap_ah: float
    """Gap counted on at the first charge. [A h]"""
    gap_is_measured: bool
    first_h: float | None
    """To close that gap. [h]"""
    per_month_h: float | None
    """To keep it closed, per month. [h]"""
    charges_needed: int | None
    """Charges until the gap is closed, if bleeding stops with each charge; None: not known."""
    note: str


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
    supply: SupplyMatch | None
    """How the supply named goes with the pack; None if none was named."""
    balance: BalancePlan
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
    supply: Supply | None = None,
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
    supply : Supply or None
        What is printed on the thing that shall charge; None: not known yet.

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
    balance = _balance_plan(cell, pack, facts, settings)
    settings = replace(settings, gap_ah=balance.gap_ah)
    charge = banded_charge(pack, settings, conditions) if zone.allowed else None
    if charge is not None:
        balance = replace(balance, charges_needed=_charges_needed(pack, settings, charge))
    limits = load_chemistry(cell.family).limits
    storage_soc = (limits.storage_low_soc + limits.storage_high_soc) / 2
    first_a = min(settings.charge_a, _FIRST_CRATE * pack.capacity_ah)
    full_w = settings.charge_a * settings.end_v_per_cell * pack.series
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
        supply_w=full_w / settings.efficiency_fraction,
        supply=None if supply is None else match_supply(_need(cell, pack, settings), supply),
        balance=balance,
        first_charge_a=first_a,
        first_charge=_first_charge(pack, first_a=first_a),
        storage_soc=storage_soc,
        storage_v=pack.cell.ocv_at(storage_soc) * pack.series,
        cautions=_cautions(cell, pack, facts, zone),
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
        full_v_per_cell=cell.full_v,
        wanted_a=settings.charge_a,
        allowed_a=settings.charge_a if limit_a is None else limit_a * pack.parallel,
        has_balancing_board=settings.bleed is not None,
    )


def _balance_plan(
    cell: Cell, pack: PackModel, facts: ChargerFacts, settings: ChargeSettings
) -> BalancePlan:
    if pack.series == 1:
        return BalancePlan(
            gap_ah=0.0,
            gap_is_measured=True,
            first_h=0.0,
            per_month_h=0.0,
            charges_needed=0,
            note="one group: nothing to balance",
        )
    measured = facts.gap_ah is not None
    gap_ah = facts.gap_ah if facts.gap_ah is not None else _FIRST_GAP_FRACTION * pack.capacity_ah
    if settings.bleed is None:
        note = (
            "the charger does not balance: groups drift apart until one passes its limit"
            if facts.balance_a == 0
            else "whether anything balances is not known"
        )
        return BalancePlan(
            gap_ah=gap_ah,
            gap_is_measured=measured,
            first_h=None,
            per_month_h=None,
            charges_needed=None,
            note=note,
        )
    return BalancePlan(
        gap_ah=gap_ah,
        gap_is_measured=measured,
        first_h=balance_hours(gap_ah=gap_ah, bleed=settings.bleed),
        per_month_h=upkeep_hours_per_month(
            capacity_ah=pack.capacity_ah,
            self_discharge_spread_per_month=_spread_per_month(cell),
            bleed=settings.bleed,
        ),
        charges_needed=None,
        note="" if measured else "the gap is assumed, 2 % of capacity; measure the groups",
    )


def _charges_needed(pack: PackModel, settings: ChargeSettings, charge: BandedCharge) -> int | None:
    """Count charges until the gap is closed, if the charger goes off when each charge is over."""
    if settings.bleed is None:
        return 0 if settings.gap_ah == 0 else None
    active_s = charge.run.total_time_s
    if settings.bleed.start_v is not None:
        active_s = charge.run.time_above_s(terminal_v=settings.bleed.start_v * pack.series)
    return charges_to_balance(
        gap_ah=settings.gap_ah, bleed=settings.bleed, active_h_per_charge=active_s / 3600.0
    )


def _spread_per_month(cell: Cell) -> float:
    """Share of capacity by which groups drift apart in a month: the least published leak itself."""
    rows = self_discharge_rows(cell.family)
    if not rows:
        return _SPREAD_PER_MONTH
    return min(row.percent_per_month for row in rows) / 100


def _first_charge(pack: PackModel, *, first_a: float) -> tuple[str, ...]:
    steps = [
        "Measure every group before it; nothing below the floor, nothing above full.",
        f"Charge at {first_a:.2f} A or less, on a hard surface, watched to the end.",
        "Feel the pack every ten minutes: no group may be warmer than the others.",
    ]
    if pack.series > 1:
        steps.append("Read the groups near the end: stop if any one passes its full voltage.")
        steps.append("Let the balancer finish, however long it takes; this is its longest run.")
    steps.append("Rest an hour, measure every group again, write both sets down.")
    return tuple(steps)


def _cautions(
    cell: Cell, pack: PackModel, facts: ChargerFacts, zone: ChargeZone
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
    if pack.series > 1 and facts.balance_a == 0:
        found.append("A series pack without balancing is a stop: one group can be overcharged.")
    if pack.series > 1 and facts.balance_a is None:
        found.append("It is not known whether anything balances this series pack.")
    return tuple(found)
