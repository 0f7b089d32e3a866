"""What the current of held shafts does to lead, strips, connector and switch until it ends."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from packdesign.engineering.electrical.adiabatic import wire_after_current_degc
from packdesign.engineering.electrical.conductors import wire_area_m2
from packdesign.foundation.basis import Band, Basis
from packdesign.foundation.errors import OutOfRangeError, OverloadError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.hardest_stretch import hardest_a
from packdesign.planning.assess.held_at_once import HeldAtOnce, gravest, held_at_once
from packdesign.planning.assess.insulation_check import held_to_insulation
from packdesign.planning.assess.lead_heat import insulation_limit, lead_time_s, settled_lead_degc
from packdesign.planning.assess.loading import Loading
from packdesign.planning.assess.strip_heat import (
    STRIP_RISE_K,
    STRIP_SOURCE,
    HardestStrip,
    hardest_strip,
)
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.contact_ratings import Contact, contacts_of
from packdesign.planning.needs.wiring import lead_awg_of
from packdesign.planning.verdicts.conductors import ContactRating, contact_peak
from packdesign.planning.verdicts.judge import Check, at_most, spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_stall_wiring"]

_SOURCE: Final = (
    "current of held shafts; wire: adiabatic equation of IEC 60364-5-54, from memory, or where it "
    "settles in still air, whichever is cooler"
)
_ANY_INSULATION_K: Final = 200.0
"""Rise of a strip that no wrap or insulation beside it bears, so that even a jam stops: as for a
lead that finds no balance; own choice. [K]"""


def judge_stall_wiring(
    brief: Brief, design: PackDesign, loading: Loading, outcome: DischargeOutcome
) -> Iterator[Verdict]:
    """Judge lead, strips, connector and switch while shafts are held.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.
    outcome : DischargeOutcome
        What it does; the lead is warm from its work when the shafts stick.

    Yields
    ------
    Verdict
        "stall_wire", "stall_strips", "stall_connector" and "stall_switch", each at the moment that
        is worst for it: less current may flow longer, until a fuse opens.
    """
    if loading.mission is None or not brief.all_motors:
        return
    try:
        moments = held_at_once(brief, design, loading)
    except OverloadError:
        return  # the stall verdict says that the pack collapses
    pack = brief.pack or Pack()
    if pack.lead is not None:
        working_a = hardest_a(design, loading, outcome, at_least_s=lead_time_s(brief))
        yield from _lead(brief, moments, working_a=working_a)
    strip = hardest_strip(brief, design)
    if strip is not None:
        strip_a = hardest_a(design, loading, outcome, at_least_s=strip.time_s)
        yield gravest([(_strip(strip, held, working_a=strip_a), held) for held in moments])
    for contact in contacts_of(pack):
        if contact.rated.value is not None:
            yield _contact(contact, moments, rated_a=contact.rated.value)


def _contact(contact: Contact, moments: Sequence[HeldAtOnce], *, rated_a: float) -> Verdict:
    """Judge a connector or switch at the moment that is worst for it."""
    rating = ContactRating(
        rated_a=rated_a,
        peak_a=contact.peak.value,
        is_timed=contact.peak.is_told,
        basis=contact.rated.basis,
        source=contact.rated.source,
        peak_basis=contact.peak.basis,
        peak_source=contact.peak.source,
    )
    return gravest(
        [
            (
                contact_peak(
                    part=contact.part,
                    load_a=held.found.pack_a,
                    lasts_s=held.lasts_s,
                    rating=rating,
                    may_stop=held.is_planned,
                    note=_until(held),
                ),
                held,
            )
            for held in moments
        ]
    )


def _strip(strip: HardestStrip, held: HeldAtOnce, *, working_a: float) -> Verdict:
    """Hold the hardest strip of one moment against the rise that it may have in the work."""
    rise_k = strip.rise_k(held.found.pack_a, after_s=held.lasts_s, before_a=working_a)
    return at_most(
        Check(
            id="stall_strips",
            what="the rise of the strip between cells while the shafts are held",
            value=rise_k,
            against="the rise allowed",
            limit=STRIP_RISE_K,
            unit="K",
            fix="Set a current limit and a stall timeout in the driver, or use a wider, thicker or "
            "second strip.",
            find_out="Find the material and size of the strip.",
            basis=Basis.ASSUMED,
            source=STRIP_SOURCE,
            may_stop=held.is_planned or rise_k > _ANY_INSULATION_K,
            note=_until(held),
        )
    )


def _lead(brief: Brief, moments: Sequence[HeldAtOnce], *, working_a: float) -> Iterator[Verdict]:
    """Judge the lead by how hot it gets; silent where its work alone already burns it."""
    working = settled_lead_degc(brief, current_a=working_a)
    if working is not None and not math.isfinite(working.high):
        return  # the verdict on its temperature at work says so
    try:
        reached = [] if working is None else [_reaches(brief, each, working) for each in moments]
    except OutOfRangeError:
        reached = []
    if not _has_gauge(brief) or not reached:
        yield _not_known(
            "what gauge the lead has, and so how hot it gets while the shafts are held",
            fix="Say it in the brief: pack.lead.awg or pack.lead.area.",
        )
        return
    yield gravest(
        [
            (_lead_verdict(brief, held, degc), held)
            for degc, held in zip(reached, moments, strict=True)
        ]
    )


def _has_gauge(brief: Brief) -> bool:
    """Whether the brief tells how thick the lead is."""
    lead = brief.pack.lead if brief.pack is not None else None
    return lead is not None and (lead.awg is not None or lead.area_m2 is not None)


def _not_known(what: str, *, fix: str) -> Verdict:
    return Verdict(
        id="stall_wire",
        status=Status.UNKNOWN,
        unit="degC",
        reason=f"Not known: {what}.",
        fix=fix,
        basis=Basis.ASSUMED,
        source=_SOURCE,
    )


def _lead_verdict(brief: Brief, held: HeldAtOnce, reached: Band) -> Verdict:
    """Hold the lead of one moment against its insulation; without a balance any is lost."""
    awg = lead_awg_of(brief)
    fix = "Set a current limit and a stall timeout in the driver, fit a smaller or faster fuse, or "
    fix += "use thicker wire."
    if not math.isfinite(reached.mid):
        return Verdict(
            id="stall_wire",
            status=Status.STOP,
            limit=insulation_limit(brief)[0],
            unit="degC",
            reason=f"The {awg} AWG lead finds no balance while the shafts are held: it passes 200 "
            f"K above the air and goes on. {_until(held)}",
            fix=fix,
            basis=Basis.PUBLISHED,
            source=_SOURCE,
        )
    return held_to_insulation(
        brief,
        id="stall_wire",
        when="while the shafts are held on the hottest day",
        reached=reached,
        fix=fix,
        source=f"{_SOURCE}; twice the rise in a bundle, from memory",
        note=_until(held),
    )


def _reaches(brief: Brief, held: HeldAtOnce, working: Band) -> Band:
    """Temperature of the lead when the current of held shafts ends. [degC]"""
    settled = settled_lead_degc(brief, current_a=held.found.pack_a) or Band.exact(math.inf)
    if not math.isfinite(held.lasts_s):
        return settled
    alone, crowded = (
        wire_after_current_degc(
            area_m2=wire_area_m2(awg=lead_awg_of(brief)),
            current_a=held.found.pack_a,
            time_s=held.lasts_s,
            start_degc=start_degc,
        )
        for start_degc in (working.mid, working.high)
    )
    mid = min(alone, max(settled.mid, working.mid))
    return Band(mid, mid, min(crowded, max(settled.high, working.high)))


def _until(held: HeldAtOnce) -> str:
    """Say what flows while shafts are held, and what ends it."""
    return f"{spoken(held.found.pack_a, 'A')} flow {held.ends}; the windings are {held.moment}."
