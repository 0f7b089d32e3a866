"""Verdicts on what carries current beside the cells: lead, strip, plug, switch; and the charger."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from packdesign.engineering.charging.coldest import coldest_charge_degc
from packdesign.foundation.basis import Basis
from packdesign.planning.assess.charge_heat import ended_by_sensor, hottest_cell_on_charge
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.hardest_stretch import CONTACT_SETTLES_S, hardest_a, stretch_words
from packdesign.planning.assess.insulation_check import held_to_insulation
from packdesign.planning.assess.lead_ampacity import (
    LeadAmpacity,
    judged_on_lead,
    lead_ampacity,
)
from packdesign.planning.assess.lead_heat import insulation_limit, lead_time_s, settled_lead_degc
from packdesign.planning.assess.loading import Loading
from packdesign.planning.assess.strip_heat import STRIP_RISE_K, STRIP_SOURCE, hardest_strip
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.charger import coldest_on_charge
from packdesign.planning.needs.contact_ratings import contacts_of
from packdesign.planning.needs.wiring import lead_awg_of
from packdesign.planning.verdicts import charge, conductors
from packdesign.planning.verdicts.judge import spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_charge", "judge_wiring"]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Work:
    """What a pack carries in its work."""

    design: PackDesign
    loading: Loading
    outcome: DischargeOutcome

    def over_a(self, at_least_s: float) -> float:
        """Largest rms current over this time or longer. [A]"""
        return hardest_a(self.design, self.loading, self.outcome, at_least_s=at_least_s)

    def words(self, at_least_s: float, *, share: float = 1.0, is_told: bool = True) -> str:
        """What is to be said of a part that carries a share of that current."""
        whole_a = self.outcome.summary.rms_current_a
        return stretch_words(
            share * self.over_a(at_least_s),
            share * whole_a,
            at_least_s=at_least_s,
            is_told=is_told,
        )


def judge_wiring(
    brief: Brief, design: PackDesign, loading: Loading, outcome: DischargeOutcome
) -> Iterator[Verdict]:
    """Judge what carries the current of the pack beside cells, fuse and board.

    Each part is held against the hardest stretch of the work that is as long as the part takes to
    warm up: a mean over the whole run would hide a hard stretch in a long easy one.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.
    outcome : DischargeOutcome
        What it does.

    Yields
    ------
    Verdict
        "wire_current_", "wire_temperature", "strip_rise_between_cells", "contact_current_" and
        "contact_voltage_".
    """
    pack = brief.pack or Pack()
    work = _Work(design=design, loading=loading, outcome=outcome)
    if pack.lead is not None:
        time_s = lead_time_s(brief)
        lead_a = work.over_a(time_s)
        yield _lead(brief, lead_a, work.words(time_s))
        yield from _lead_heat(brief, lead_a, work.words(time_s, is_told=False))
    yield from _strips(brief, work)
    load_a, note = work.over_a(CONTACT_SETTLES_S), work.words(CONTACT_SETTLES_S)
    for contact in contacts_of(pack):
        yield conductors.contact_current(
            part=contact.part,
            load_a=load_a,
            rated_a=contact.rated.value,
            basis=contact.rated.basis,
            source=contact.rated.source,
            note=note,
        )
        if contact.voltage.value is not None:
            yield conductors.contact_voltage(
                part=contact.part,
                full_v=design.full_v,
                rated_dc_v=contact.voltage.value,
                basis=contact.voltage.basis,
                source=contact.voltage.source,
            )


def _lead(brief: Brief, rms_a: float, note: str) -> Verdict:
    awg = lead_awg_of(brief)

    def held_to(case: LeadAmpacity) -> Verdict:
        return conductors.wire_current(
            wire=f"{awg} AWG lead",
            load_a=rms_a,
            ampacity_a=case.held_a,
            where=case.where,
            basis=case.basis,
            source=case.source,
            note=note,
        )

    verdict = judged_on_lead(held_to, lead_ampacity(brief), value_a=rms_a)
    return replace(verdict, id=f"wire_current_{awg}_awg")


def _lead_heat(brief: Brief, rms_a: float, note: str) -> Iterator[Verdict]:
    """Settled temperature of the lead on the hottest day against its insulation."""
    awg, settled = lead_awg_of(brief), settled_lead_degc(brief, current_a=rms_a)
    if settled is None:
        return
    if not math.isfinite(settled.mid):
        yield Verdict(
            id="wire_temperature",
            status=Status.STOP,
            limit=insulation_limit(brief)[0],
            unit="degC",
            reason=f"The {awg} AWG lead finds no balance at {spoken(rms_a, 'A')}: it passes 200 K "
            "above the air and goes on.",
            fix="Use much thicker wire.",
            basis=Basis.PUBLISHED,
            source="heat of the wire against still air around it",
        )
        return
    yield held_to_insulation(
        brief,
        id="wire_temperature",
        when="on the hottest day",
        reached=settled,
        fix="Use thicker wire, or wire with silicone or PTFE insulation.",
        source="heat of the wire against still air around it; twice the rise in a bundle, from "
        "memory",
        note=note,
    )


def _strips(brief: Brief, work: _Work) -> Iterator[Verdict]:
    """Rise of the strip that carries the most over the cells it lies on."""
    strip = hardest_strip(brief, work.design)
    if strip is None:
        return
    yield conductors.strip_rise(
        strip="strip between cells",
        rise_k=strip.rise_k(work.over_a(strip.time_s)),
        limit_k=STRIP_RISE_K,
        basis=Basis.ASSUMED,
        source=STRIP_SOURCE,
        note=work.words(strip.time_s, share=strip.share, is_told=False),
    )


def judge_charge(brief: Brief, design: PackDesign) -> Iterator[Verdict]:
    """Judge the charger of the brief against the cell, where one is named.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    """
    charger = brief.charger
    if charger is None:
        return
    if charger.current_a is not None:
        yield charge.charge_current(
            cell=design.cell, per_cell_a=charger.current_a / design.parallel
        )
    if charger.end_voltage_per_cell_v is not None:
        yield charge.charge_voltage(cell=design.cell, per_cell_v=charger.end_voltage_per_cell_v)
        share = charge.charge_share(
            reached_fraction=design.model.cell.soc_at(charger.end_voltage_per_cell_v)
        )
        if share.status is not Status.OK:
            yield share
    if charger.current_a is not None and charger.port_fuse_a is not None:
        yield charge.charge_port_fuse(charge_a=charger.current_a, fuse_a=charger.port_fuse_a)
    cell = design.cell
    coldest = coldest_on_charge(brief, least_degc=coldest_charge_degc(cell))
    hottest = hottest_cell_on_charge(brief, design)
    by_sensor = ended_by_sensor(brief, design)
    relies = (
        "No more than a caution, for the charger's sensor is taken to end the charge at the cell's "
        "limit: check that it does."
        if by_sensor and (hottest.degc or 0.0) > (cell.charge_max_degc or float("inf"))
        else ""
    )
    yield from charge.charge_temperature(
        cell=cell,
        coldest_degc=coldest.degc,
        hottest_degc=hottest.degc,
        cold_note=coldest.assumed,
        hot_note=" ".join(each for each in (hottest.assumed, relies) if each),
        hot_may_stop=not by_sensor,
    )
