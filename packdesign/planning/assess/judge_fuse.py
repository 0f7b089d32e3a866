"""Verdicts on the fuse of a pack: over the whole mission, and in a short circuit."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np

from packdesign.data.fuses import Fuse as FusePart
from packdesign.engineering.electrical.conductors import wire_area_m2
from packdesign.engineering.electrical.fuse import (
    ShortCircuit,
    short_circuit_a,
    wire_margin_fraction,
)
from packdesign.engineering.electrical.fuse_hold import FuseHold, fuse_hold
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.judge_resettable import judge_resettable
from packdesign.planning.assess.lead_ampacity import fuse_spares_lead
from packdesign.planning.assess.loading import Loading
from packdesign.planning.brief.joint_sections import Fuse
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.fuse_parts import fuse_of, fuse_part, is_resettable
from packdesign.planning.needs.heat import ambient_degc, hottest_day_k
from packdesign.planning.needs.wiring import lead_awg_of
from packdesign.planning.verdicts import fuse
from packdesign.planning.verdicts.judge import Check, at_most
from packdesign.planning.verdicts.verdict import Verdict

__all__ = ["judge_fuse"]

_TOLD: Final = "stated in the brief"
_CHARGES_IN_A_LIFE: Final = 300.0
"""Charges after which a pack is taken as worn, for counting pulses: own choice."""
_ONE_PERCENT: Final = 0.01
_SHORT_CRATE: Final = 50.0
_WEAK_CRATE: Final = 10.0
_SHORTS_TRIED: Final = 9
"""Currents between the weakest and the hardest short circuit that are tried. [-]"""


def judge_fuse(
    brief: Brief,
    design: PackDesign,
    loading: Loading,
    outcome: DischargeOutcome,
    *,
    peak_a: float,
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
    peak_a : float
        Largest current of the pack at any instant. [A]

    Yields
    ------
    Verdict
        "fuse_holds", "fuse_overload", "fuse_pulses", "fuse_spares_wire",
        "fuse_before_wire", "fuse_blows", "fuse_interrupts", "fuse_voltage". None where there is no
        fuse.
    """
    pack = brief.pack or Pack()
    section = fuse_of(pack)
    if section is None:
        return
    short = _short_circuit(design)
    if is_resettable(pack):
        yield from judge_resettable(brief, design, outcome, short, peak_a=peak_a)
        return
    part = fuse_part(pack)
    found = None if part is None else _hold(brief, part, design, loading, outcome)
    if part is None or found is None:
        yield fuse.fuse_holds(load_a=outcome.summary.rms_current_a, fuse_a=section.rating_a)
        largest_a = loading.demand.peak_current_a(voltage_v=design.nominal_v)
        if section.rating_a is not None and largest_a > section.rating_a:
            yield fuse.fuse_overload_unknown(load_a=largest_a, fuse_a=section.rating_a)
    else:
        yield from _held(part, found)
    yield fuse_spares_lead(brief, fuse_a=section.rating_a)
    yield from _before_wire(brief, part, short)
    yield from _short(section, part, design, short)


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


def _short_circuit(design: PackDesign) -> ShortCircuit:
    """Weakest and hardest short circuit: cold and near empty, full and warm."""
    model, capacity_ah = design.model, design.capacity_ah
    shortest_ohm = model.instant_ohm(
        soc=1.0, temperature_degc=25.0, current_a=_SHORT_CRATE * capacity_ah
    )
    weak_ohm = model.instant_ohm(soc=0.1, temperature_degc=0.0, current_a=_WEAK_CRATE * capacity_ah)
    return short_circuit_a(
        lowest_v=design.series * model.cell.ocv_at(0.1),
        highest_v=design.full_v,
        highest_ohm=max(weak_ohm, shortest_ohm),
        lowest_ohm=shortest_ohm,
    )


def _before_wire(brief: Brief, part: FusePart | None, short: ShortCircuit) -> Iterator[Verdict]:
    """Whether the fuse opens before the lead melts; silent where the brief tells of no lead."""
    if brief.pack is None or brief.pack.lead is None:
        return
    used = None
    if part is not None:
        tried_a = np.geomspace(short.least_a, short.most_a, _SHORTS_TRIED).tolist()
        area_m2 = wire_area_m2(awg=lead_awg_of(brief))
        used = 1 - wire_margin_fraction(part, area_m2=area_m2, currents_a=tried_a)
    yield fuse.fuse_before_wire(
        used=used,
        basis=Basis.ASSUMED if part is None else part.basis,
        source="no opening times known" if part is None else part.source,
    )


def _short(
    section: Fuse, part: FusePart | None, design: PackDesign, short: ShortCircuit
) -> Iterator[Verdict]:
    basis = Basis.MEASURED if part is None else part.basis
    source = _TOLD if part is None else part.source
    yield fuse.fuse_blows(short_a=short.least_a, fuse_a=section.rating_a)
    yield fuse.fuse_interrupts(
        short_a=short.most_a,
        interrupt_a=section.breaking_capacity_a,
        basis=basis,
        source=source,
    )
    yield fuse.fuse_voltage(
        full_v=design.full_v, rated_dc_v=section.rated_v, basis=basis, source=source
    )
