"""What the lead of a pack carries in its place: one figure for its load and for its fuse.

How warm it gets is for :mod:`packdesign.planning.assess.judge_wiring`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from packdesign.data.conductors import wire
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import UnknownNameError
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.wiring import lead_awg_of
from packdesign.planning.verdicts import fuse
from packdesign.planning.verdicts.judge import spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["LeadAmpacity", "fuse_spares_lead", "judged_on_lead", "lead_ampacity", "lead_is_bundled"]

_WHERE: Final = {
    True: "in a bundle or a closed tube",
    False: "alone in free air",
    None: "in a bundle, as nobody says that it runs alone",
}
"""Case that a figure is for, by ``pack.lead.bundled``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadAmpacity:
    """What the table lets a lead carry."""

    held_a: float | None = None
    """In the place it has; None: not known. [A]"""
    alone_a: float | None = None
    """Alone in free air. [A]"""
    where: str = ""
    """Which case ``held_a`` is for."""
    basis: Basis = Basis.ASSUMED
    source: str = ""


def lead_is_bundled(brief: Brief) -> bool:
    """Tell whether the lead counts as bundled: the careful case, unless the brief says otherwise.

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    lead = brief.pack.lead if brief.pack is not None else None
    return lead is None or lead.bundled is not False


def lead_ampacity(brief: Brief) -> LeadAmpacity:
    """Give what the lead of a brief carries; nothing known where there is none.

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    if brief.pack is None or brief.pack.lead is None:
        return LeadAmpacity()
    where = _WHERE[brief.pack.lead.bundled]
    try:
        row = wire(lead_awg_of(brief))
    except UnknownNameError:
        return LeadAmpacity(where=where)
    return LeadAmpacity(
        held_a=row.ampacity_bundled_a if lead_is_bundled(brief) else row.ampacity_single_a,
        alone_a=row.ampacity_single_a,
        where=where,
        basis=row.basis,
        source=f"{row.ampacity_condition}; {row.source}",
    )


def judged_on_lead(
    judge: Callable[[LeadAmpacity], Verdict], ampacity: LeadAmpacity, *, value_a: float | None
) -> Verdict:
    """Hold a current against a lead: above what it carries alone is a stop, between a caution.

    Parameters
    ----------
    judge : callable
        Makes the verdict of the case it is given.
    ampacity : LeadAmpacity
        What the lead carries.
    value_a : float or None
        The current that is judged. [A]
    """
    alone_a = ampacity.alone_a
    if value_a is None or alone_a is None:
        return judge(ampacity)
    if value_a > alone_a:
        return judge(replace(ampacity, held_a=alone_a, where="even alone in free air"))
    found = judge(ampacity)
    if found.status is not Status.STOP:
        return found
    return replace(
        found,
        status=Status.CAUTION,
        reason=f"{found.reason} Alone in free air it carries {spoken(alone_a, 'A')}.",
        fix=f"{found.fix} Or lead it apart from other loaded wires, and say so: "
        "pack.lead.bundled = false.",
    )


def fuse_spares_lead(brief: Brief, *, fuse_a: float | None, about: str = "") -> Verdict:
    """Say whether the fuse opens before the lead overheats, in the place that the lead has.

    Parameters
    ----------
    brief : Brief
        The brief.
    fuse_a : float or None
        Current at which the fuse opens at the latest, in the end. [A]
    about : str
        What is said of that current; empty for its rating.
    """

    def held_to(case: LeadAmpacity) -> Verdict:
        return fuse.fuse_spares_wire(
            fuse_a=fuse_a,
            ampacity_a=case.held_a,
            where=case.where,
            basis=case.basis,
            source="; ".join(each for each in (about, case.source) if each),
        )

    return judged_on_lead(held_to, lead_ampacity(brief), value_a=fuse_a)
