"""What a charge plan leaves open: faster and gentler charges, fifty of them, the balance lead.

It is made where somebody looks at the charge alone; the whole job does not wait for it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from packdesign.engineering.ageing.cycle_factors import SLOWEST_TABLED_CRATE
from packdesign.engineering.ageing.cycle_table import row_of_cell
from packdesign.engineering.charging.balance_connector import (
    CONTACT_LIMIT_A,
    PIN_ORDER_CAUTION,
    SMALLEST_WIRE_AWG,
    BalancePin,
    balance_lead_charge_limit,
    balance_pins,
    split_charge_hours_lost,
)
from packdesign.engineering.charging.plan_choice import (
    LifeBasis,
    PlanOutcome,
    charge_choices,
    compare_charges,
)
from packdesign.engineering.charging.zones import charge_zone
from packdesign.engineering.discharge.run import Conditions
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.loading import loading_of
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.upkeep_sections import Storage
from packdesign.planning.charge_plan.cold_words import cold_charge_words
from packdesign.planning.charge_plan.go_checklist import ChecklistRow, floor_words, go_checklist
from packdesign.planning.charge_plan.lot_plan import lot_plan
from packdesign.planning.charge_plan.outlook import BalanceOutlook, balance_outlook
from packdesign.planning.charge_plan.plan import ChargePlan
from packdesign.planning.needs.charger import charge_conditions
from packdesign.planning.needs.parts import board_of

__all__ = ["BalanceLead", "ChargeStudy", "balance_lead", "charge_study"]

_USUAL_USES_PER_WEEK: Final = 1.0
"""Charges a week where nobody says: own choice, as for the years ahead."""
_DEPTH: Final = 0.95
"""Share of the capacity used between charges, own choice. [-]"""
_UNKNOWN_CRATE: Final = 1.0
"""Discharge rate where the brief draws nothing: that of most published cycle figures. [1/h]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class BalanceLead:
    """The balance connector of a series pack."""

    pins: tuple[BalancePin, ...]
    contact_limit_a: float
    smallest_wire_awg: int
    lead_charge_a: float
    """Charge current through this lead alone: its outer contacts carry all of it. [A]"""
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeStudy:
    """What one looks at beside the plan."""

    choices: tuple[PlanOutcome, ...]
    """Ways to charge side by side, the planned one first; empty where none is allowed."""
    discharge_crate: float
    """Rate of use for which the cycles are counted. [1/h]"""
    crate_is_assumed: bool
    rates_are_told_apart: bool
    """Whether the published tables know a difference between these charge rates."""
    outlook: BalanceOutlook | None
    """None for a single group, and where one is so far behind that it is charged first."""
    lead: BalanceLead | None
    hours_lost: float | None
    """By a small charger for each cell against one for the pack; None: no such chargers. [h]"""
    checklist: tuple[ChecklistRow, ...]
    floor_words: str
    """What is published of the voltage under which a cell is never charged again."""
    cold_words: str
    """Of a lower charge temperature that the sheet prints; empty where there is none."""


def charge_study(
    brief: Brief, design: PackDesign, plan: ChargePlan, *, start_soc: float
) -> ChargeStudy:
    """Look around a charge plan.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    plan : ChargePlan
        Its charge plan.
    start_soc : float
        Charge at the start. [-]
    """
    crate = _discharge_crate(brief, design)
    at = charge_conditions(brief, start_soc=start_soc)
    storage, board = brief.storage or Storage(), board_of(brief.pack)
    watched = board is not None and board.watches_each_group is not False
    choices = _choices(design, plan, at, crate=crate or _UNKNOWN_CRATE)
    fastest_a = max((each.choice.settings.charge_a for each in choices), default=0.0)
    return ChargeStudy(
        choices=choices,
        discharge_crate=crate or _UNKNOWN_CRATE,
        crate_is_assumed=crate is None,
        rates_are_told_apart=fastest_a / design.capacity_ah > SLOWEST_TABLED_CRATE,
        outlook=None
        if plan.supply.facts.has_cell_chargers or plan.balance.is_too_wide
        else balance_outlook(
            design.cell,
            design.model,
            plan,
            charges_per_week=storage.uses_per_week or _USUAL_USES_PER_WEEK,
            group_ah=_measured_groups_ah(brief, design),
            group_cut_v=board.overcharge_trip_v if board is not None and watched else None,
        ),
        lead=balance_lead(design, plan),
        hours_lost=_hours_lost(design, plan),
        checklist=go_checklist(design.cell),
        floor_words=floor_words(design.cell),
        cold_words=cold_charge_words(design.cell),
    )


def _discharge_crate(brief: Brief, design: PackDesign) -> float | None:
    """Rate at which the device empties the pack; None where the brief draws nothing. [1/h]"""
    draws = brief.all_motors or brief.all_loads or brief.rails or brief.log_given
    if not draws:
        return None
    demand = loading_of(brief, design).demand
    nominal_v = design.cell.nominal_v * design.series
    return demand.rms_current_a(voltage_v=nominal_v) / design.capacity_ah or None


def _choices(
    design: PackDesign, plan: ChargePlan, at: Conditions, *, crate: float
) -> tuple[PlanOutcome, ...]:
    cell = design.cell
    if plan.charge is None or not plan.zone.allowed:
        return ()
    most_a = cell.max_charge_a or cell.standard_charge_a or cell.capacity_ah / 3
    zone = charge_zone(cell, temperature_degc=at.start_degc, wanted_a=most_a)
    choices = charge_choices(
        plan.settings, family=cell.family, allowed_a=zone.charge_a * design.parallel
    )
    life = LifeBasis(
        family=cell.family,
        discharge_crate=crate,
        depth_fraction=_DEPTH,
        full_v=cell.full_v,
        own=row_of_cell(cell),
    )
    return compare_charges(choices, pack=design.model, conditions=at, life=life)


def _measured_groups_ah(brief: Brief, design: PackDesign) -> tuple[float, ...]:
    """Capacities of the groups by the file of measured cells; empty without one. [A h]"""
    plan = lot_plan(brief.measured, design.cell, series=design.series, parallel=design.parallel)
    return () if plan is None else plan.grouping.group_ah


def balance_lead(design: PackDesign, plan: ChargePlan) -> BalanceLead | None:
    """Give the pins of the balance connector; None for a single group.

    Parameters
    ----------
    design : PackDesign
        The pack.
    plan : ChargePlan
        Its charge plan.
    """
    if design.series == 1:
        return None
    lead_a = balance_lead_charge_limit(charge_a=plan.settings.charge_a)
    return BalanceLead(
        pins=balance_pins(series=design.series, full_v_per_cell=plan.settings.end_v_per_cell),
        contact_limit_a=CONTACT_LIMIT_A,
        smallest_wire_awg=SMALLEST_WIRE_AWG,
        lead_charge_a=lead_a,
        notes=(
            PIN_ORDER_CAUTION,
            f"Contacts of a 2.5 mm balance connector carry {CONTACT_LIMIT_A:g} A, wire AWG "
            f"{SMALLEST_WIRE_AWG} or thicker; this charge through the lead alone: {lead_a:.2f} A. "
            "A small fuse in each wire near its cell keeps a pinched lead from burning (common "
            "practice, no source).",
        ),
    )


def _hours_lost(design: PackDesign, plan: ChargePlan) -> float | None:
    if not plan.supply.facts.has_cell_chargers:
        return None
    cell = design.cell
    wanted_a = (cell.standard_charge_a or cell.capacity_ah / 2) * design.parallel
    return split_charge_hours_lost(
        capacity_ah=design.capacity_ah,
        wanted_charge_a=wanted_a,
        per_cell_charge_a=plan.settings.charge_a,
    )
