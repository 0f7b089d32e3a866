"""Verdicts on what guards a pack: its fuse over the whole mission, and its protection board."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np

from packdesign.data.fuses import Fuse as FusePart
from packdesign.engineering.electrical.fuse_hold import FuseHold, fuse_hold
from packdesign.engineering.electrical.protection import TripRisk, trip_risk
from packdesign.foundation.basis import Band, Basis
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.loading import Loading
from packdesign.planning.brief.joint_sections import Fuse, Protection
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.heat import ambient_degc, hottest_day_k
from packdesign.planning.needs.parts import board_of, board_part, fuse_of, fuse_part, trip_of
from packdesign.planning.verdicts import board, fuse
from packdesign.planning.verdicts.judge import Check, at_most, spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_board", "judge_fuse"]

_TOLD: Final = "stated in the brief"
_CHARGES_IN_A_LIFE: Final = 300.0
"""Charges after which a pack is taken as worn, for counting pulses: own choice."""
_ONE_PERCENT: Final = 0.01
_SHORT_CRATE: Final = 50.0
_WEAK_CRATE: Final = 10.0


def judge_fuse(
    brief: Brief,
    design: PackDesign,
    loading: Loading,
    outcome: DischargeOutcome,
    *,
    ampacity_a: float | None,
) -> Iterator[Verdict]:
    """Judge the fuse against the work, the wire and a short circuit.

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
    ampacity_a : float or None
        What the wire behind the fuse carries. [A]

    Yields
    ------
    Verdict
        "fuse_holds", "fuse_overload", "fuse_pulses", "fuse_spares_wire", "fuse_blows",
        "fuse_interrupts", "fuse_voltage". None where there is no fuse.
    """
    pack = brief.pack or Pack()
    section = fuse_of(pack)
    if section is None:
        return
    part = fuse_part(pack)
    found = None if part is None else _hold(brief, part, design, loading, outcome)
    if part is None or found is None:
        yield fuse.fuse_holds(load_a=outcome.summary.rms_current_a, fuse_a=section.rating_a)
    else:
        yield from _held(part, found)
    yield fuse.fuse_spares_wire(
        fuse_a=section.rating_a,
        ampacity_a=ampacity_a,
        basis=Basis.PUBLISHED,
        source="wire table: single wire, chassis wiring",
    )
    yield from _short(section, part, design)


def _hold(
    brief: Brief, part: FusePart, design: PackDesign, loading: Loading, outcome: DischargeOutcome
) -> FuseHold | None:
    demand = loading.demand
    uses = max(outcome.summary.run_time_s / demand.period_s, 1.0) if demand.repeats else 1.0
    try:
        return fuse_hold(
            part,
            duration_s=demand.duration_s,
            current_a=np.maximum(demand.current_at_a(voltage_v=design.nominal_v), 0.0),
            missions=uses * _CHARGES_IN_A_LIFE,
            ambient_degc=ambient_degc(brief) + hottest_day_k(brief),
        )
    except OutOfRangeError:
        return None


def _held(part: FusePart, found: FuseHold) -> Iterator[Verdict]:
    """Turn three margins into verdicts; overloads only where something is above the rating."""
    steady = Check(
        id="fuse_holds",
        what=f"the steady current through the {part.name} fuse",
        value=found.rms_a,
        against="what it carries for good on the hottest day",
        limit=found.allowed_a,
        unit="A",
        fix="Use the next larger fuse, if the wire still carries more than it.",
        find_out="Say which fuse is fitted.",
        basis=part.basis,
        source=part.source,
    )
    yield at_most(steady)
    if found.overload_margin_fraction < 1:
        yield _overload(part, steady, found)
    pulse = found.pulse_margin_fraction
    if pulse is None or pulse < 1:
        yield _pulses(part, steady, pulse)


def _overload(part: FusePart, steady: Check, found: FuseHold) -> Verdict:
    """Time above the rating against the shortest in which the fuse may open."""
    used = 1 - found.overload_margin_fraction
    verdict = at_most(
        replace(
            steady,
            id="fuse_overload",
            what="the time above the rating of the fuse",
            value=used if math.isfinite(used) else None,
            against="the shortest in which it may open",
            limit=1.0,
            unit="",
            fix="Use a larger or a slower fuse, or soften the start.",
            find_out="The sheet promises no time at that current: try the start many times, or use "
            "a larger fuse.",
        )
    )
    if not math.isfinite(used):
        return verdict
    return replace(
        verdict,
        reason=f"The work takes the {part.name} fuse above its rating for {_percent(used)} of "
        "the shortest time in which it may open.",
    )


def _pulses(part: FusePart, steady: Check, margin: float | None) -> Verdict:
    """Heating of the starts over a life against what the fuse bears so often."""
    verdict = at_most(
        replace(
            steady,
            id="fuse_pulses",
            what="the heating of one start in the fuse",
            value=None if margin is None else 1 - margin,
            against="what it bears so often",
            limit=1.0,
            unit="",
            fix="Use a larger or a slower fuse, or soften the start.",
            find_out="Find the melting I2t of the fuse on its sheet.",
            may_stop=False,
        )
    )
    if margin is None:
        return verdict
    return replace(
        verdict,
        reason=f"One start heats the {part.name} fuse to {_percent(1 - margin)} of what it bears "
        "over and over through the life of a pack.",
    )


def _percent(share: float) -> str:
    return "under 1 %" if share < _ONE_PERCENT else f"{share * 100:.0f} %"


def _short(section: Fuse, part: FusePart | None, design: PackDesign) -> Iterator[Verdict]:
    model, capacity_ah = design.model, design.capacity_ah
    shortest_ohm = model.instant_ohm(
        soc=1.0, temperature_degc=25.0, current_a=_SHORT_CRATE * capacity_ah
    )
    weak_ohm = model.instant_ohm(soc=0.1, temperature_degc=0.0, current_a=_WEAK_CRATE * capacity_ah)
    weak_v = design.series * model.cell.ocv_at(0.1)
    basis = Basis.MEASURED if part is None else part.basis
    source = _TOLD if part is None else part.source
    yield fuse.fuse_blows(short_a=weak_v / weak_ohm, fuse_a=section.rating_a)
    yield fuse.fuse_interrupts(
        short_a=design.full_v / shortest_ohm,
        interrupt_a=section.breaking_capacity_a,
        basis=basis,
        source=source,
    )
    yield fuse.fuse_voltage(
        full_v=design.full_v, rated_dc_v=section.rated_v, basis=basis, source=source
    )


def judge_board(
    brief: Brief, design: PackDesign, outcome: DischargeOutcome, *, peak_a: float, peak_s: float
) -> Iterator[Verdict]:
    """Judge the protection board, where there is one.

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
    peak_s : float
        How long it lasts. [s]

    Yields
    ------
    Verdict
        "board_series", "board_current", "board_peak", "board_overcharge", "board_undervoltage",
        "board_after_device".
    """
    section = board_of(brief.pack)
    if section is None or section.kind != "board":
        return
    row = board_part(brief.pack)
    basis = Basis.MEASURED if row is None else row.basis
    source = _TOLD if row is None else f"{_TOLD}, and for what it leaves out: {row.source}"
    yield board.board_series(board_series=section.series, series=design.series)
    yield board.board_current(
        load_a=outcome.summary.rms_current_a,
        rated_a=section.continuous_a,
        basis=basis,
        source=source,
    )
    yield _peak(brief, section, peak_a=peak_a, peak_s=peak_s, basis=basis, source=source)
    over, under = _trips(brief, section)
    yield board.board_overcharge(trip_v=over, cell_full_v=design.cell.full_v)
    yield board.board_undervoltage(
        trip_v=under, cell_cutoff_v=design.cell.cutoff_v, basis=basis, source=source
    )
    stop_v = brief.monitor.stop_per_cell_v if brief.monitor is not None else None
    if stop_v is not None and under is not None:
        yield board.board_after_device(trip_v=under, stop_v=stop_v, basis=basis, source=source)


def _trips(brief: Brief, section: Protection) -> tuple[Band | None, Band | None]:
    """Over-charge and over-discharge trips with the tolerance of the row, where it has one. [V]"""
    row = board_part(brief.pack)
    bands = []
    for volts, spread in (
        (section.overcharge_trip_v, None if row is None else row.overcharge_tolerance_v),
        (section.undervoltage_trip_v, None if row is None else row.overdischarge_tolerance_v),
    ):
        reach = spread or 0.0
        bands.append(None if volts is None else Band(volts - reach, volts, volts + reach))
    return bands[0], bands[1]


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
