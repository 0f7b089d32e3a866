"""The lead of a pack held to what its insulation bears, known or not."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from packdesign.foundation.basis import Band, Basis
from packdesign.planning.assess.lead_heat import insulation_limit
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.wiring import lead_awg_of
from packdesign.planning.verdicts.judge import Check, at_most, spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["held_to_insulation"]

_ANY_WIRE_DEGC: Final = 60.0
"""What the insulation of any wire bears: the lowest class in which hook-up wire is sold, from
memory. [degC]"""
_SAY: Final = (
    "Say it in the brief: pack.lead.insulation_limit, its temperature limit, or "
    "pack.lead.insulation, by a name that the wire table has."
)


def held_to_insulation(
    brief: Brief, *, id: str, when: str, reached: Band, fix: str, source: str, note: str
) -> Verdict:
    """Hold a temperature of the lead to the limit of its insulation.

    Parameters
    ----------
    brief : Brief
        The brief; it has a lead.
    id : str
        Of the verdict.
    when : str
        When the lead is so warm, as words after its name.
    reached : Band
        Its temperature. [degC]
    fix : str
        What to do where it is too warm.
    source : str
        Where the temperature is from.
    note : str
        What else is to be said.

    Returns
    -------
    Verdict
        Where nobody knows the insulation: unknown, unless any wire bears the temperature.
    """
    limit_degc, limit_source = insulation_limit(brief)
    against = "the limit of its insulation"
    if limit_degc is None:
        limit_degc, limit_source = _ANY_WIRE_DEGC, "lowest class of hook-up wire, from memory"
        against = "what any insulation bears"
    lead = f"the {lead_awg_of(brief)} AWG lead"
    found = at_most(
        Check(
            id=id,
            what=f"{lead}, {when},",
            value=reached,
            against=against,
            limit=limit_degc,
            unit="degC",
            fix=fix,
            find_out="Find the insulation of the wire.",
            basis=Basis.ASSUMED,
            source=f"{source}; limit: {limit_source}",
            note=note,
        )
    )
    if insulation_limit(brief)[0] is not None or found.status is Status.OK:
        return found
    return replace(
        found,
        status=Status.UNKNOWN,
        limit=None,
        margin=None,
        reason=f"Not known: what the insulation of {lead} bears. It reaches "
        f"{spoken(reached.high, 'degC')} {when}. {note}".rstrip(),
        fix=_SAY,
    )
