"""Verdicts on what joins, guards and charges cells: lead, fuse, plug, switch, board, charger."""

from __future__ import annotations

from collections.abc import Iterator

from packdesign.data.conductors import wire
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import UnknownNameError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.brief.joint_sections import Fuse, Protection
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.charger import charge_conditions
from packdesign.planning.needs.wiring import lead_awg_of
from packdesign.planning.verdicts import board, charge, conductors, fuse
from packdesign.planning.verdicts.verdict import Verdict

__all__ = ["judge_charge", "judge_wiring"]

_TOLD = "stated in the brief"


def judge_wiring(
    brief: Brief, design: PackDesign, outcome: DischargeOutcome, *, peak_a: float
) -> Iterator[Verdict]:
    """Judge everything in the way of the current beside the cells.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    outcome : DischargeOutcome
        What it does.
    peak_a : float
        Largest current of the pack at any instant. [A]
    """
    pack = brief.pack or Pack()
    rms_a = outcome.summary.rms_current_a
    ampacity_a = None
    if pack.lead is not None:
        is_bundled = pack.lead.bundled is not False
        verdict, ampacity_a = _lead(lead_awg_of(brief), rms_a, is_bundled=is_bundled)
        yield verdict
    if pack.fuse is not None and pack.fuse.kind != "none" and pack.fuse.part != "none":
        yield from _fuse(pack.fuse, design, rms_a=rms_a, ampacity_a=ampacity_a)
    for part, section in (("connector", pack.connector), ("switch", pack.switch)):
        if section is not None:
            yield conductors.contact_current(
                part=part,
                load_a=rms_a,
                rated_a=section.rating_a,
                basis=Basis.MEASURED,
                source=_TOLD,
            )
    if pack.protection is not None and pack.protection.kind == "board":
        yield from _board(pack.protection, design, rms_a=rms_a, peak_a=peak_a)


def _lead(awg: int, rms_a: float, *, is_bundled: bool) -> tuple[Verdict, float | None]:
    try:
        row = wire(awg)
    except UnknownNameError:
        return conductors.wire_current(wire=f"{awg} AWG", load_a=rms_a, ampacity_a=None), None
    ampacity_a = row.ampacity_bundled_a if is_bundled else row.ampacity_single_a
    verdict = conductors.wire_current(
        wire=f"{awg} AWG",
        load_a=rms_a,
        ampacity_a=ampacity_a,
        basis=row.basis,
        source=f"{row.ampacity_condition}; {row.source}",
    )
    return verdict, row.ampacity_single_a


def _fuse(
    section: Fuse,
    design: PackDesign,
    *,
    rms_a: float,
    ampacity_a: float | None,
) -> Iterator[Verdict]:
    shortest_ohm = design.model.instant_ohm(
        soc=1.0, temperature_degc=25.0, current_a=50 * design.capacity_ah
    )
    weak_ohm = design.model.instant_ohm(
        soc=0.1, temperature_degc=0.0, current_a=10 * design.capacity_ah
    )
    weak_v = design.series * design.model.cell.ocv_at(0.1)
    yield fuse.fuse_holds(load_a=rms_a, fuse_a=section.rating_a)
    yield fuse.fuse_spares_wire(fuse_a=section.rating_a, ampacity_a=ampacity_a)
    yield fuse.fuse_blows(short_a=weak_v / weak_ohm, fuse_a=section.rating_a)
    yield fuse.fuse_interrupts(
        short_a=design.full_v / shortest_ohm,
        interrupt_a=section.breaking_capacity_a,
        basis=Basis.MEASURED,
        source=_TOLD,
    )
    yield fuse.fuse_voltage(
        full_v=design.full_v,
        rated_dc_v=section.rated_v,
        basis=Basis.MEASURED,
        source=_TOLD,
    )


def _board(
    section: Protection, design: PackDesign, *, rms_a: float, peak_a: float
) -> Iterator[Verdict]:
    yield board.board_series(board_series=section.series, series=design.series)
    yield board.board_current(
        load_a=rms_a, rated_a=section.continuous_a, basis=Basis.MEASURED, source=_TOLD
    )
    yield board.board_peak(
        peak_a=peak_a, trip_a=section.overcurrent_trip_a, basis=Basis.MEASURED, source=_TOLD
    )
    yield board.board_overcharge(trip_v=section.overcharge_trip_v, cell_full_v=design.cell.full_v)
    yield board.board_undervoltage(
        trip_v=section.undervoltage_trip_v, cell_cutoff_v=design.cell.cutoff_v
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
    at = charge_conditions(brief, start_soc=0.0)
    low, high = charger.temperature_min_degc, charger.temperature_max_degc
    yield from charge.charge_temperature(
        cell=design.cell,
        coldest_degc=at.start_degc if low is None else low,
        hottest_degc=at.start_degc if high is None else high,
    )
