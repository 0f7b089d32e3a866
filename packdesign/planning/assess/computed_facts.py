"""Facts for the gate that only the computed pack knows: currents, surface, lead, joints."""

from __future__ import annotations

from dataclasses import replace

from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.hardest_stretch import CONTACT_SETTLES_S, hardest_a
from packdesign.planning.assess.lead_ampacity import lead_ampacity
from packdesign.planning.assess.loading import Loading
from packdesign.planning.assess.short_circuit import hardest_short_a
from packdesign.planning.brief.schema import Brief
from packdesign.planning.charge_plan.lot_plan import lot_plan
from packdesign.planning.hazards.situation import Situation
from packdesign.planning.needs.heat import ambient_degc, hottest_day_k
from packdesign.planning.verdicts.current import longest_burst_s

__all__ = ["with_computed"]


def with_computed(
    early: Situation,
    brief: Brief,
    design: PackDesign,
    loading: Loading,
    outcome: DischargeOutcome,
) -> Situation:
    """Add what was computed to what the brief says.

    Parameters
    ----------
    early : Situation
        What the brief says.
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.
    outcome : DischargeOutcome
        What it does.
    """
    free = design.arrangement.free_thickness_fraction
    room = early.pouch_free_thickness_fraction
    return replace(
        early,
        series=design.series,
        parallel=design.parallel,
        pack_full_v=design.full_v,
        energy_wh=design.energy_wh,
        pack_resistance_ohm=design.full_v / hardest_short_a(brief, design, outcome),
        loop_resistance_ohm=0.0,
        load_continuous_a=hardest_a(design, loading, outcome, at_least_s=CONTACT_SETTLES_S),
        cell_load_continuous_a=hardest_a(
            design, loading, outcome, at_least_s=longest_burst_s(design.cell)
        )
        / design.parallel,
        pouch_free_thickness_fraction=free if room is None else room,
        surface_degc=round(outcome.bands.peak_surface_degc.mid + hottest_day_k(brief), 1),
        surface_air_degc=ambient_degc(brief) + hottest_day_k(brief),
        regen_enabled=any(
            motor.drive is not None and bool(motor.drive.regenerates) for motor in brief.all_motors
        ),
        regen_has_ceiling=_has_ceiling(brief),
        wire_ampacity_a=lead_ampacity(brief).alone_a,
        parallel_join_gap_v=_join_gap_v(brief, design),
    )


def _has_ceiling(brief: Brief) -> bool | None:
    clamps = [motor.drive.clamp_v for motor in brief.all_motors if motor.drive is not None]
    return any(clamp is not None for clamp in clamps) if clamps else None


def _join_gap_v(brief: Brief, design: PackDesign) -> float | None:
    """Largest voltage between measured cells that the best grouping joins; None: not known. [V]"""
    plan = lot_plan(brief.measured, design.cell, series=design.series, parallel=design.parallel)
    if plan is None:
        return None
    return max((joint.gap_v for joint in plan.joints), default=None)
