"""The charge plan and what stands beside it, as JSON objects."""

from __future__ import annotations

from typing import Any

from packdesign.engineering.charging.plan_choice import PlanOutcome
from packdesign.planning.assess.charge_study import ChargeStudy
from packdesign.planning.charge_plan.balance_plan import BalancePlan
from packdesign.planning.charge_plan.outlook import BalanceOutlook
from packdesign.planning.charge_plan.plan import ChargePlan, summary_of
from packdesign.planning.charge_plan.supply_plan import SupplyPlan
from packdesign.presentation.export.plain import band, number

__all__ = ["charge_plan_object", "charge_study_object"]


def charge_plan_object(plan: ChargePlan) -> dict[str, Any]:
    """Give the object "charge" of the contract.

    Times are null where the cells may not be charged as they are, or nothing balances.

    Parameters
    ----------
    plan : ChargePlan
        The plan.
    """
    summary = summary_of(plan)
    run = plan.charge
    return {
        "time_s": number(summary.time_s),
        "cc_time_s": number(summary.cc_time_s),
        "current_a": number(summary.current_a),
        "balance_time_s": number(summary.balance_time_s),
        "supply_w": number(summary.supply_w),
        "allowed": plan.allowed,
        "zone": plan.zone.name.value,
        "time_band_s": None if run is None else band(run.time_s),
        "cc_time_band_s": None if run is None else band(run.cc_time_s),
        "peak_cell_degc": None if run is None else band(run.peak_cell_degc),
        "charged_ah": None if run is None else number(run.run.charged_ah),
        "ends_by": None if run is None else str(run.run.ends_by),
        "end_soc": None if run is None else number(run.run.end_soc),
        "settings": [
            {"name": each.name, "value": number(each.value), "unit": each.unit, "from": each.origin}
            for each in plan.card
        ],
        "balance_per_month_h": number(plan.balance.per_month_h),
        "balance_note": plan.balance.note,
        "first_charge_a": number(plan.first_charge_a),
        "first_charge": list(plan.first_charge),
        "storage_soc": number(plan.storage_soc),
        "storage_v": number(plan.storage_v),
        "notes": list(plan.cautions),
        "clock_s": number(plan.clock_s),
        "supply": _supply(plan.supply),
        "balance": _balance(plan.balance),
        "zones": [
            {
                "name": zone.name.value,
                "low_degc": number(zone.low_degc),
                "high_degc": number(zone.high_degc),
                "cell_charge_a": number(zone.charge_a),
                "full_v": number(zone.full_v),
                "basis": str(zone.basis),
            }
            for zone in plan.zones
        ],
    }


def charge_study_object(study: ChargeStudy) -> dict[str, Any]:
    """Give what stands beside a charge plan: other charges, fifty of them, pins, the list.

    Parameters
    ----------
    study : ChargeStudy
        What one looks at beside the plan.
    """
    lead = study.lead
    return {
        "choices": [_choice(each) for each in study.choices],
        "discharge_crate": number(study.discharge_crate),
        "discharge_crate_is_assumed": study.crate_is_assumed,
        "drift": None if study.outlook is None else _outlook(study.outlook),
        "balance_pins": []
        if lead is None
        else [
            {
                "pin": pin.number,
                "joins": pin.joins,
                "full_v": number(pin.full_v),
                "wire": pin.wire_colour,
            }
            for pin in lead.pins
        ],
        "balance_contact_a": None if lead is None else number(lead.contact_limit_a),
        "hours_lost": number(study.hours_lost),
        "checklist": [
            {"look_at": row.look_at, "go": row.green, "clear_up": row.amber, "no_go": row.red}
            for row in study.checklist
        ],
        "recharge_floors": study.floor_words,
        "cold_charge": study.cold_words,
    }


def _supply(supply: SupplyPlan) -> dict[str, Any]:
    usb, port = supply.usb, supply.port
    return {
        "wanted_a": number(supply.wanted_a),
        "wanted_w": number(supply.wanted_w),
        "source_w": number(supply.facts.source_w),
        "charge_a": number(supply.charge_a),
        "input_w": number(supply.input_w),
        "is_short": supply.is_short,
        "limited_by": supply.limited_by,
        "usb_level": None if usb is None or usb.level is None else usb.level.level,
        "usb_v": None if usb is None else number(usb.bus_v),
        "usb_a": None if usb is None else number(usb.input_a),
        "least_usb_w": number(supply.least_usb_w),
        "port_fuse_a": number(port.fuse_a),
        "port_rated_a": number(port.rated_a),
        "is_charger": None if supply.facts.thing is None else supply.facts.thing.is_charger,
        "interlock": [
            {
                "charger_present": row.charger_present,
                "switch_on": row.switch_on,
                "cells_fit_to_charge": row.cells_fit_to_charge,
                "charge": row.charge_enabled,
                "load": row.load_enabled,
                "reason": row.reason,
            }
            for row in supply.interlock
        ],
    }


def _balance(balance: BalancePlan) -> dict[str, Any]:
    return {
        "gap_ah": number(balance.gap_ah),
        "gap_from": balance.gap_origin,
        "first_h": number(balance.first_h),
        "stepped_h": number(balance.stepped_h),
        "charges_needed": balance.charges_needed,
        "heat_w": number(balance.heat_w),
        "most_heat_w": number(balance.most_heat_w),
        "path_ohm": number(balance.path_ohm),
    }


def _choice(outcome: PlanOutcome) -> dict[str, Any]:
    settings, run, cycles = outcome.choice.settings, outcome.run, outcome.cycles_to_80_percent
    return {
        "name": outcome.choice.name,
        "current_a": number(settings.charge_a),
        "end_voltage_per_cell_v": number(settings.end_v_per_cell),
        "time_s": number(run.total_time_s),
        "peak_cell_degc": number(run.peak_cell_degc),
        "supply_w": number(run.supply_w),
        "capacity_fraction": number(outcome.capacity_fraction),
        "cycles_to_80_percent": None if cycles is None else band(cycles),
    }


def _outlook(outlook: BalanceOutlook) -> dict[str, Any]:
    alone, balanced = outlook.alone, outlook.balanced
    return {
        "charges": outlook.charges,
        "days_between": number(outlook.days_between),
        "spread_ah": number(float(alone.spread_ah[-1])),
        "highest_v": number(alone.highest_v),
        "delivered_ah": number(float(alone.delivered_ah[-1])),
        "balanced_spread_ah": None if balanced is None else number(float(balanced.spread_ah[-1])),
        "balanced_highest_v": None if balanced is None else number(balanced.highest_v),
    }
