"""Verdicts on what carries current beside the cells: lead, strip, plug, switch; and the charger."""

from __future__ import annotations

import functools
import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from packdesign.data.conductors import load_conductors, wire
from packdesign.engineering.charging.coldest import coldest_charge_degc
from packdesign.engineering.electrical.conductors import (
    wire_diameter_m,
)
from packdesign.engineering.electrical.pack_path import PackWiring, hardest_strip_share
from packdesign.engineering.thermal.conductor_rise import settled_wire_degc
from packdesign.engineering.thermal.strip_rise import strip_rise_k
from packdesign.foundation.basis import Band, Basis
from packdesign.foundation.errors import OutOfRangeError, UnknownNameError
from packdesign.planning.assess.charge_heat import ended_by_sensor, hottest_cell_on_charge
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.lead_ampacity import (
    LeadAmpacity,
    judged_on_lead,
    lead_ampacity,
    lead_is_bundled,
)
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.charger import coldest_on_charge
from packdesign.planning.needs.heat import ambient_degc, hottest_day_k
from packdesign.planning.needs.parts import connector_of, switch_of
from packdesign.planning.needs.wiring import lead_awg_of, strip_metal_of
from packdesign.planning.verdicts import charge, conductors
from packdesign.planning.verdicts.judge import Check, at_most, spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_charge", "judge_wiring"]

_TOLD: Final = "stated in the brief"
_BUNDLED_RISE: Final = 2.0
"""Rise among other loaded wires over that alone: wiring codes let 4 to 9 loaded wires carry 70 %,
half the heat; from memory. [-]"""
_INSULATION_WALL_M: Final = 0.0006
"""Wall of the insulation where the table has no such wire: 0.4 to 0.8 mm is usual, from memory."""
_STRIP_FILM_W_PER_M2_K: Final = 10.0
"""Still air and radiation off a bright strip, one side: usual handbook figure, from memory."""
_STRIP_RISE_K: Final = 20.0


def judge_wiring(brief: Brief, design: PackDesign, outcome: DischargeOutcome) -> Iterator[Verdict]:
    """Judge what carries the current of the pack beside cells, fuse and board.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    outcome : DischargeOutcome
        What it does.

    Yields
    ------
    Verdict
        "wire_current_", "wire_temperature", "strip_rise_between_cells", "contact_current_" and
        "contact_voltage_".
    """
    pack = brief.pack or Pack()
    rms_a = outcome.summary.rms_current_a
    if pack.lead is not None:
        yield _lead(brief, rms_a)
        yield from _lead_heat(brief, rms_a)
    yield from _strips(brief, design, rms_a)
    connector, switch = connector_of(pack), switch_of(pack)
    for part, section in (("connector", connector), ("switch", switch)):
        if section is not None and getattr(section, "kind", None) != "none":
            yield conductors.contact_current(
                part=part,
                load_a=rms_a,
                rated_a=section.rating_a,
                basis=Basis.MEASURED,
                source=_TOLD,
            )
    if switch is not None and switch.rated_v is not None and switch.kind not in ("none", "plug"):
        yield conductors.contact_voltage(
            part="switch",
            full_v=design.full_v,
            rated_dc_v=switch.rated_v,
            basis=Basis.MEASURED,
            source=_TOLD,
        )


def _lead(brief: Brief, rms_a: float) -> Verdict:
    awg = lead_awg_of(brief)

    def held_to(case: LeadAmpacity) -> Verdict:
        return conductors.wire_current(
            wire=f"{awg} AWG lead",
            load_a=rms_a,
            ampacity_a=case.held_a,
            where=case.where,
            basis=case.basis,
            source=case.source,
        )

    verdict = judged_on_lead(held_to, lead_ampacity(brief), value_a=rms_a)
    return replace(verdict, id=f"wire_current_{awg}_awg")


def _insulation_degc(brief: Brief) -> tuple[float | None, str]:
    """Limit of the insulation of the lead, and where it comes from."""
    lead = brief.pack.lead if brief.pack is not None else None
    if lead is None:
        return None, ""
    if lead.insulation_degc is not None:
        return lead.insulation_degc, _TOLD
    named = (lead.insulation or "").lower()
    rows = [
        row
        for row in load_conductors()
        if named and named in row.insulation.lower() and row.insulation_degc is not None
    ]
    if not rows:
        return None, ""
    lowest = min(rows, key=lambda row: row.insulation_degc or 0.0)
    return lowest.insulation_degc, lowest.source


def _lead_heat(brief: Brief, rms_a: float) -> Iterator[Verdict]:
    """Settled temperature of the lead on the hottest day against its insulation."""
    limit_degc, source = _insulation_degc(brief)
    if limit_degc is None:
        return
    awg = lead_awg_of(brief)
    air_degc = ambient_degc(brief) + hottest_day_k(brief)
    try:
        alone_degc = _alone_degc(awg, float(f"{rms_a:.3g}"), air_degc)
    except OutOfRangeError:
        return
    if not math.isfinite(alone_degc):
        yield Verdict(
            id="wire_temperature",
            status=Status.STOP,
            limit=limit_degc,
            unit="degC",
            reason=f"The {awg} AWG lead finds no balance at {spoken(rms_a, 'A')}: it passes 200 K "
            "above the air and goes on.",
            fix="Use much thicker wire.",
            basis=Basis.PUBLISHED,
            source="heat of the wire against still air around it",
        )
        return
    crowded_degc = alone_degc
    if lead_is_bundled(brief):
        crowded_degc = air_degc + _BUNDLED_RISE * (alone_degc - air_degc)
    yield at_most(
        Check(
            id="wire_temperature",
            what=f"the {awg} AWG lead, on the hottest day,",
            value=Band(alone_degc, alone_degc, crowded_degc),
            against="the limit of its insulation",
            limit=limit_degc,
            unit="degC",
            fix="Use thicker wire, or wire with silicone or PTFE insulation.",
            find_out="Find the insulation of the wire.",
            basis=Basis.ASSUMED,
            source=f"heat of the wire against still air around it; twice the rise in a bundle, "
            f"from memory; limit: {source}",
        )
    )


@functools.lru_cache(maxsize=256)
def _alone_degc(awg: int, current_a: float, air_degc: float) -> float:
    jacket_m = 2 * _INSULATION_WALL_M
    try:
        row = wire(awg, kind="silicone stranded")
        outer_m = row.outer_diameter_m or wire_diameter_m(awg=awg) + jacket_m
    except UnknownNameError:
        outer_m = wire_diameter_m(awg=awg) + jacket_m
    return settled_wire_degc(
        awg=awg, current_a=current_a, outer_diameter_m=outer_m, ambient_degc=air_degc
    )


def _strips(brief: Brief, design: PackDesign, rms_a: float) -> Iterator[Verdict]:
    """Rise of the strip that carries the most over the cells it lies on."""
    section = brief.pack.strips if brief.pack is not None else None
    if section is None or design.series * design.parallel == 1:
        return
    usual = PackWiring(series=1, parallel=1, link_length_m=0.0)
    width_m = section.width_m or usual.strip_width_m
    thickness_m = (section.thickness_m or usual.strip_thickness_m) * (section.layers or 1)
    lengths_m = design.arrangement.series_strip_m
    mean_m = sum(lengths_m) / len(lengths_m) if lengths_m else design.arrangement.body.across_m
    rise_k = strip_rise_k(
        metal=strip_metal_of(section.material) or usual.strip_metal,
        current_a=rms_a * hardest_strip_share(series=design.series, parallel=design.parallel),
        length_m=section.length_m or mean_m,
        width_m=width_m,
        thickness_m=thickness_m,
        film_w_per_m2_k=_STRIP_FILM_W_PER_M2_K,
    )
    yield conductors.strip_rise(
        strip="strip between cells",
        rise_k=rise_k,
        limit_k=_STRIP_RISE_K,
        basis=Basis.ASSUMED,
        source="heated bar between two cells, one face in still air, the strip that gathers the "
        "cells of a group towards a lead at its one end; 20 K as the limit: common practice, no "
        "source",
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
    yield from charge.charge_temperature(
        cell=cell,
        coldest_degc=coldest.degc,
        hottest_degc=hottest.degc,
        cold_note=coldest.assumed,
        hot_note=hottest.assumed,
        hot_may_stop=not ended_by_sensor(brief, design),
    )
