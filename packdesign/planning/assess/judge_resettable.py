"""Verdicts on a resettable fuse (PTC): it holds less when warm, and breaks little."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from packdesign.data.fuses import ResettableFuse
from packdesign.engineering.electrical.conductors import wire_area_m2
from packdesign.engineering.electrical.fusing import time_melting_wire_onderdonk
from packdesign.engineering.electrical.resettable import (
    HOLD_SOURCE,
    held_fraction,
    trip_i2t_a2s,
    warms_up_s,
)
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.assess.beside_cells import beside_cells_degc, lead_before_short_degc
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.hardest_stretch import CONTACT_SETTLES_S
from packdesign.planning.assess.lead_ampacity import fuse_spares_lead
from packdesign.planning.assess.short_circuit import PackShort
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.fuse_parts import fuse_of, resettable_part
from packdesign.planning.needs.wiring import lead_awg_of
from packdesign.planning.verdicts import fuse
from packdesign.planning.verdicts.judge import Check, at_most, spoken
from packdesign.planning.verdicts.verdict import Verdict

__all__ = ["judge_resettable", "settles_s"]

_TOLD: Final = "stated in the brief"
_TRIP_MULTIPLE: Final = 2.0
"""Trip over hold current where the table does not know the part; most rows of it have this. [-]"""
_MELTING: Final = "Use a melting fuse instead."


def judge_resettable(
    brief: Brief,
    design: PackDesign,
    outcome: DischargeOutcome,
    short: PackShort,
    *,
    peak_a: float,
    load_a: float,
) -> Iterator[Verdict]:
    """Judge a resettable fuse against the work in the heat, the wire and a short circuit.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    outcome : DischargeOutcome
        What it does.
    short : PackShort
        What the pack drives into a short circuit.
    peak_a : float
        Largest current of the pack at any instant. [A]
    load_a : float
        Rms current of the hardest stretch in which the fuse warms up. [A]

    Yields
    ------
    Verdict
        The ids of a melting fuse, as far as they make sense: "fuse_holds", "fuse_overload",
        "fuse_spares_wire", "fuse_before_wire", "fuse_blows", "fuse_interrupts", "fuse_voltage".
    """
    pack = brief.pack or Pack()
    section, part = fuse_of(pack), resettable_part(pack)
    if section is None:
        return
    basis = Basis.MEASURED if part is None else part.basis
    source = _TOLD if part is None else part.source
    hold_a = section.rating_a
    trip_a = _trip_a(part, hold_a)
    air_degc = beside_cells_degc(brief, outcome)
    yield from _in_the_heat(air_degc, load_a, hold_a=hold_a, trip_a=trip_a, peak_a=peak_a)
    yield fuse_spares_lead(
        brief,
        fuse_a=trip_a,
        about=f"the fuse need not trip below its trip current; {source}",
    )
    yield from _before_wire(brief, part, short, lead_degc=lead_before_short_degc(brief, outcome))
    blows = fuse.fuse_blows(short_a=short.current.least_a, fuse_a=hold_a, note=short.weakest)
    yield replace(blows, basis=basis, source=f"a resettable fuse trips at twice its hold; {source}")
    breaks = fuse.fuse_interrupts(
        short_a=short.current.most_a,
        interrupt_a=section.breaking_capacity_a,
        basis=basis,
        source=source,
        note=short.hardest,
    )
    yield replace(breaks, fix=f"{breaks.fix} {_MELTING}" if breaks.fix else "")
    holds_off = fuse.fuse_voltage(
        full_v=design.full_v, rated_dc_v=section.rated_v, basis=basis, source=source
    )
    yield replace(holds_off, fix=f"{holds_off.fix} {_MELTING}" if holds_off.fix else "")


def settles_s(part: ResettableFuse | None) -> float:
    """Give the time in which a resettable fuse warms up; a short one where it is not known. [s]

    Parameters
    ----------
    part : ResettableFuse or None
        Its row in the table.
    """
    found_s = None if part is None else warms_up_s(part)
    return CONTACT_SETTLES_S if found_s is None else found_s


def _trip_a(part: ResettableFuse | None, hold_a: float | None) -> float | None:
    if part is not None:
        return part.trip_a
    return None if hold_a is None else _TRIP_MULTIPLE * hold_a


def _in_the_heat(
    air_degc: float,
    load_a: float,
    *,
    hold_a: float | None,
    trip_a: float | None,
    peak_a: float,
) -> Iterator[Verdict]:
    """Steady current against what it holds on the hottest day, and the peak against its trip."""
    try:
        kept = held_fraction(ambient_degc=air_degc)
    except OutOfRangeError:
        kept = None
    steady = Check(
        id="fuse_holds",
        what="the steady current through the resettable fuse",
        value=load_a,
        against=f"what it holds in air of {spoken(air_degc, 'degC')}",
        limit=None if kept is None or hold_a is None else hold_a * kept,
        unit="A",
        fix="Use a resettable fuse with a higher hold current, or keep it cooler.",
        find_out="Find the hold current of the fuse at the hottest air around it.",
        basis=Basis.ASSUMED,
        source=HOLD_SOURCE,
    )
    yield at_most(steady)
    yield at_most(
        replace(
            steady,
            id="fuse_overload",
            what="the peak current through the resettable fuse",
            value=peak_a,
            against=f"its trip current in air of {spoken(air_degc, 'degC')}",
            limit=None if kept is None or trip_a is None else trip_a * kept,
            fix="Soften the peak, or try many of them in a row in the heat: it trips with its own "
            "warmth, so a short peak may pass and the tenth may not.",
            may_stop=False,
        )
    )


def _before_wire(
    brief: Brief, part: ResettableFuse | None, short: PackShort, *, lead_degc: float
) -> Iterator[Verdict]:
    """Longest heating until it trips against that which melts the lead."""
    if brief.pack is None or brief.pack.lead is None:
        return
    used = None if part is None else _melting_share(brief, part, short, lead_degc=lead_degc)
    found = fuse.fuse_before_wire(
        used=used,
        basis=Basis.ASSUMED if part is None else part.basis,
        source="no time to trip known" if part is None else part.source,
    )
    fix = "Find the longest time to trip at the current of a short circuit."
    yield found if used is not None else replace(found, fix=fix)


def _melting_share(
    brief: Brief, part: ResettableFuse, short: PackShort, *, lead_degc: float
) -> float | None:
    """Heating until it trips over that which melts the lead, at the worst current.

    None where a current is too small for its sheet and the lead lives through the others.
    """
    area_m2 = wire_area_m2(awg=lead_awg_of(brief))
    shares: list[float | None] = []
    for current_a in (short.current.least_a, short.current.most_a):
        let_through = trip_i2t_a2s(part, current_a=current_a)
        melts_s = time_melting_wire_onderdonk(
            area_m2=area_m2, current_a=current_a, ambient_degc=lead_degc
        )
        shares.append(None if let_through is None else let_through / (melts_s * current_a**2))
    worst = max((each for each in shares if each is not None), default=None)
    return None if worst is None or (None in shares and worst <= 1.0) else worst
