"""Verdicts on the protection board of a pack."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from packdesign.engineering.electrical.protection import (
    TripRisk,
    overcharge_trip_v,
    overdischarge_trip_v,
    trip_risk,
)
from packdesign.foundation.basis import Band, Basis
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.hardest_stretch import CONTACT_SETTLES_S, hardest_a, stretch_words
from packdesign.planning.assess.loading import Loading
from packdesign.planning.brief.joint_sections import Protection
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.parts import board_of, board_part, trip_of
from packdesign.planning.verdicts import board
from packdesign.planning.verdicts.judge import spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_board"]

_TOLD: Final = "stated in the brief"


def judge_board(
    brief: Brief,
    design: PackDesign,
    loading: Loading,
    outcome: DischargeOutcome,
    *,
    peak_a: float,
    peak_s: float,
) -> Iterator[Verdict]:
    """Judge the protection board, where there is one.

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
    peak_a : float
        Largest current of the pack at any instant. [A]
    peak_s : float
        How long it lasts. [s]

    Yields
    ------
    Verdict
        "board_series", "board_current", "board_peak", "board_overcharge",
        "board_after_charge", "board_undervoltage", "board_after_device".
    """
    section = board_of(brief.pack)
    if section is None or section.kind != "board":
        return
    row = board_part(brief.pack)
    basis = Basis.MEASURED if row is None else row.basis
    source = _TOLD if row is None else f"{_TOLD}, and for what it leaves out: {row.source}"
    yield board.board_series(board_series=section.series, series=design.series)
    load_a = hardest_a(design, loading, outcome, at_least_s=CONTACT_SETTLES_S)
    yield board.board_current(
        load_a=load_a,
        rated_a=section.continuous_a,
        basis=basis,
        source=source,
        note=stretch_words(load_a, outcome.summary.rms_current_a, at_least_s=CONTACT_SETTLES_S),
    )
    yield _peak(brief, section, peak_a=peak_a, peak_s=peak_s, basis=basis, source=source)
    over, under = _trips(brief, section)
    yield board.board_overcharge(trip_v=over, cell_full_v=design.cell.full_v)
    if over is not None:
        yield board.board_after_charge(
            trip_v=over, charge_v=_charge_v(brief, design), basis=basis, source=source
        )
    yield board.board_undervoltage(
        trip_v=under, cell_cutoff_v=design.cell.cutoff_v, basis=basis, source=source
    )
    stop_v = brief.monitor.stop_per_cell_v if brief.monitor is not None else None
    if stop_v is not None and under is not None:
        yield board.board_after_device(trip_v=under, stop_v=stop_v, basis=basis, source=source)


def _charge_v(brief: Brief, design: PackDesign) -> float:
    """Voltage per cell that the charge ends at. [V]"""
    charger = brief.charger
    stated_v = charger.end_voltage_per_cell_v if charger is not None else None
    return design.cell.full_v if stated_v is None else stated_v


def _trips(brief: Brief, section: Protection) -> tuple[Band | None, Band | None]:
    """Over-charge and over-discharge trips with tolerance and range of the row, if there is one."""
    row = board_part(brief.pack)
    if row is None:
        stated = (section.overcharge_trip_v, section.undervoltage_trip_v)
        over, under = (None if volts is None else Band.exact(volts) for volts in stated)
        return over, under
    return (
        _about(section.overcharge_trip_v, overcharge_trip_v(row), row.overcharge_tolerance_v),
        _about(
            section.undervoltage_trip_v, overdischarge_trip_v(row), row.overdischarge_tolerance_v
        ),
    )


def _about(volts: float | None, printed: Band | None, tolerance_v: float | None) -> Band | None:
    """The voltage as printed, or one that is stated instead, with the printed tolerance. [V]"""
    if volts is None or (printed is not None and printed.mid == volts):
        return printed
    reach = tolerance_v or 0.0
    return Band(volts - reach, volts, volts + reach)


def _peak(
    brief: Brief, section: Protection, *, peak_a: float, peak_s: float, basis: Basis, source: str
) -> Verdict:
    """Whether the hardest moment trips the board, by its current, tolerance and delay."""
    trip_a, delay_s = trip_of(brief.pack), section.overcurrent_delay_s
    plain = board.board_peak(
        peak_a=peak_a,
        trip_a=None if trip_a is None else trip_a.low,
        basis=basis,
        source=source,
    )
    if trip_a is None or plain.status is Status.OK:
        return plain
    risk = trip_risk(trip_a, delay_s=delay_s, load_a=peak_a, load_s=peak_s)
    waits = "at once" if not delay_s else f"after {spoken(delay_s * 1000, 'ms')}"
    said = {
        TripRisk.NEVER: (Status.OK, "but is over before the board looks"),
        TripRisk.MAY: (Status.CAUTION, "so the board may trip"),
    }
    status, words = said.get(risk, (Status.STOP, "so the board trips"))
    return replace(
        plain,
        status=status,
        reason=f"The peak of {spoken(peak_a, 'A')} lasts {spoken(peak_s, 's')}; the board trips "
        f"{waits} at {spoken(trip_a.low, 'A')} to {spoken(trip_a.high, 'A')}, {words}.",
        fix="" if status is Status.OK else plain.fix,
    )
