"""Verdicts on the fuse of a pack: over the whole mission, and in a short circuit."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np

from packdesign.data.fuses import Fuse as FusePart
from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.electrical.conductors import wire_area_m2
from packdesign.engineering.electrical.fuse import wire_margin_fraction
from packdesign.engineering.electrical.fuse_hold import FuseHold, fuse_hold
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.assess.beside_cells import beside_cells_degc, lead_before_short_degc
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.fuse_load import FuseLoad, fuse_load
from packdesign.planning.assess.judge_resettable import judge_resettable, settles_s
from packdesign.planning.assess.lead_ampacity import fuse_spares_lead
from packdesign.planning.assess.loading import Loading
from packdesign.planning.assess.short_circuit import PackShort, short_circuit_of
from packdesign.planning.brief.joint_sections import Fuse
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.fuse_parts import fuse_of, fuse_part, is_resettable, resettable_part
from packdesign.planning.needs.wiring import lead_awg_of
from packdesign.planning.verdicts import fuse
from packdesign.planning.verdicts.judge import Check, at_most, share_of, spoken
from packdesign.planning.verdicts.verdict import Verdict

__all__ = ["judge_fuse"]

_TOLD: Final = "stated in the brief"
_CHARGES_IN_A_LIFE: Final = 300.0
"""Charges after which a pack is taken as worn, for counting pulses: own choice."""
_LARGER: Final = "Use a larger or a slower fuse, or soften what takes it above its rating."
_WARM_GATES: Final = (
    "opening times printed for a room, moved with the rating to the air beside the cells: makers' "
    "guides, from memory"
)
_SHORTS_TRIED: Final = 9
"""Currents between the weakest and the hardest short circuit that are tried. [-]"""


def judge_fuse(
    brief: Brief,
    design: PackDesign,
    loading: Loading,
    outcome: DischargeOutcome,
    *,
    peak_a: float,
    own_stop_s: float | None = None,
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
    own_stop_s : float or None
        When the device stops by itself; None: not before the pack. [s]

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
    short = short_circuit_of(brief, design, loading, outcome, own_stop_s=own_stop_s)
    if is_resettable(pack):
        load = fuse_load(
            design,
            loading.demand,
            outcome,
            own_stop_s=own_stop_s,
            settles_s=settles_s(resettable_part(pack)),
        )
        yield from judge_resettable(
            brief, design, outcome, short, peak_a=peak_a, load_a=load.steady_a
        )
        return
    load = fuse_load(design, loading.demand, outcome, own_stop_s=own_stop_s)
    part = fuse_part(pack)
    found = None if part is None else _hold(brief, part, loading.demand, outcome, load)
    if part is None or found is None:
        yield fuse.fuse_holds(load_a=load.steady_a, fuse_a=section.rating_a)
        if section.rating_a is not None and load.largest_a > section.rating_a:
            yield fuse.fuse_overload_unknown(load_a=load.largest_a, fuse_a=section.rating_a)
    else:
        yield from _held(part, found, air_degc=beside_cells_degc(brief, outcome))
    yield fuse_spares_lead(brief, fuse_a=section.rating_a)
    yield from _before_wire(brief, part, short, lead_degc=lead_before_short_degc(brief, outcome))
    yield from _short(section, part, design, short)


def _hold(
    brief: Brief, part: FusePart, demand: Demand, outcome: DischargeOutcome, load: FuseLoad
) -> FuseHold | None:
    uses = max(outcome.summary.run_time_s / demand.period_s, 1.0) if demand.repeats else 1.0
    try:
        return fuse_hold(
            part,
            duration_s=load.duration_s,
            current_a=load.current_a,
            missions=uses * _CHARGES_IN_A_LIFE,
            ambient_degc=beside_cells_degc(brief, outcome),
            repeats=load.repeats,
            rms_a=load.steady_a,
        )
    except OutOfRangeError:
        return None


def _held(part: FusePart, found: FuseHold, *, air_degc: float) -> Iterator[Verdict]:
    """Turn three margins into verdicts; overloads only where something is above the rating."""
    steady = Check(
        id="fuse_holds",
        what=f"the steady current through the {part.name} fuse",
        value=found.rms_a,
        against=f"what it carries for good in air of {spoken(air_degc, 'degC')}",
        limit=found.allowed_a,
        unit="A",
        fix="Use the next larger fuse, if the wire still carries more than it.",
        find_out="Say which fuse is fitted.",
        basis=part.basis,
        source=part.source,
    )
    yield at_most(steady)
    if found.overload_margin_fraction < 1:
        yield _overload(part, replace(steady, source=f"{part.source}; {_WARM_GATES}"), found)
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
            fix=_LARGER,
            find_out="The sheet promises no time at that current: try that work many times, or use "
            "a larger fuse.",
        )
    )
    if not math.isfinite(used):
        return verdict
    return replace(
        verdict,
        reason=f"The work takes the {part.name} fuse above its rating for {share_of(used)} "
        "the shortest time in which it may open.",
    )


def _pulses(part: FusePart, steady: Check, margin: float | None) -> Verdict:
    """Heating of what goes above the rating over a life against what the fuse bears so often."""
    verdict = at_most(
        replace(
            steady,
            id="fuse_pulses",
            what="the heating of the fuse by its hardest stretch above its rating",
            value=None if margin is None else 1 - margin,
            against="what it bears so often",
            limit=1.0,
            unit="",
            fix=_LARGER,
            find_out="Find the melting I2t of the fuse on its sheet.",
            may_stop=False,
        )
    )
    if margin is None:
        return verdict
    return replace(
        verdict,
        reason=f"The hardest stretch above its rating heats the {part.name} fuse to "
        f"{share_of(1 - margin)} what it bears over and over through the life of a pack.",
    )


def _before_wire(
    brief: Brief, part: FusePart | None, short: PackShort, *, lead_degc: float
) -> Iterator[Verdict]:
    """Whether the fuse opens before the lead melts; silent where the brief tells of no lead."""
    if brief.pack is None or brief.pack.lead is None:
        return
    used = None
    if part is not None:
        tried_a = np.geomspace(short.current.least_a, short.current.most_a, _SHORTS_TRIED).tolist()
        area_m2 = wire_area_m2(awg=lead_awg_of(brief))
        used = 1 - wire_margin_fraction(
            part, area_m2=area_m2, currents_a=tried_a, wire_degc=lead_degc
        )
    yield fuse.fuse_before_wire(
        used=used,
        basis=Basis.ASSUMED if part is None else part.basis,
        source="no opening times known"
        if part is None
        else f"{part.source}, in a room: of a colder fuse no figure is known",
    )


def _short(
    section: Fuse, part: FusePart | None, design: PackDesign, short: PackShort
) -> Iterator[Verdict]:
    basis = Basis.MEASURED if part is None else part.basis
    source = _TOLD if part is None else part.source
    yield fuse.fuse_blows(
        short_a=short.current.least_a, fuse_a=section.rating_a, note=short.weakest
    )
    yield fuse.fuse_interrupts(
        short_a=short.current.most_a,
        note=short.hardest,
        interrupt_a=section.breaking_capacity_a,
        basis=basis,
        source=source,
    )
    yield fuse.fuse_voltage(
        full_v=design.full_v, rated_dc_v=section.rated_v, basis=basis, source=source
    )
