"""The gate: every hazard held against one situation, run before anything else and shown first."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import fields
from typing import Final

from packdesign.foundation.basis import Basis
from packdesign.planning.hazards.assembly import ASSEMBLY_HAZARDS
from packdesign.planning.hazards.carrying import CARRYING_HAZARDS
from packdesign.planning.hazards.charging_limits import CHARGING_LIMIT_HAZARDS
from packdesign.planning.hazards.charging_place import CHARGING_PLACE_HAZARDS
from packdesign.planning.hazards.design_cells import DESIGN_CELL_HAZARDS
from packdesign.planning.hazards.design_pack import DESIGN_PACK_HAZARDS
from packdesign.planning.hazards.end_of_life import DISPOSAL_HAZARDS, REPAIR_HAZARDS
from packdesign.planning.hazards.hazard import Hazard, Stage
from packdesign.planning.hazards.response import RESPONSE_HAZARDS
from packdesign.planning.hazards.situation import Situation
from packdesign.planning.hazards.storage import STORAGE_HAZARDS
from packdesign.planning.hazards.use import USE_HAZARDS
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["HAZARDS", "gate"]

HAZARDS: Final[tuple[Hazard, ...]] = (
    *RESPONSE_HAZARDS,
    *DESIGN_CELL_HAZARDS,
    *DESIGN_PACK_HAZARDS,
    *ASSEMBLY_HAZARDS,
    *CHARGING_LIMIT_HAZARDS,
    *CHARGING_PLACE_HAZARDS,
    *USE_HAZARDS,
    *STORAGE_HAZARDS,
    *CARRYING_HAZARDS,
    *REPAIR_HAZARDS,
    *DISPOSAL_HAZARDS,
)
"""Every hazard known here."""

_WRITTEN: Final = {
    "li_ion": "common Li-ion", "nmc": "NMC", "nca": "NCA", "lco": "LCO", "lmo": "LMO",
    "lfp": "LFP", "lto": "LTO", "na_ion": "Na-ion", "lead_acid": "lead-acid", "nimh": "NiMH",
    "co2": "CO2",
}  # fmt: skip
"""How words of a situation are written, where an underline for a space is not enough."""
_GRAVEST_FIRST: Final = (Status.STOP, Status.CAUTION, Status.UNKNOWN)


def gate(
    situation: Situation,
    *,
    stages: Collection[Stage] | None = None,
) -> tuple[Verdict, ...]:
    """Hold the hazards against a situation, gravest first.

    Parameters
    ----------
    situation : Situation
        What is known; everything else None.
    stages : collection of Stage, optional
        Only hazards of these stages. Left out: all.

    Returns
    -------
    tuple of Verdict
        A stop or caution for each hazard that holds, and an unknown for each that matters at the
        design and whose facts are missing. A hazard that does not ask stays silent when its facts
        are missing: it is neither cleared nor flagged.

    Examples
    --------
    >>> [v.id for v in gate(Situation(has_fuse=False)) if v.status == "stop"]
    ['no_fuse']
    """
    chosen = [hazard for hazard in HAZARDS if stages is None or hazard.stage in stages]
    shown = _Shown(situation)
    found = [_verdict(hazard, situation, shown) for hazard in chosen]
    kept = [verdict for verdict in found if verdict is not None]
    return tuple(sorted(kept, key=lambda verdict: _GRAVEST_FIRST.index(verdict.status)))


def _verdict(hazard: Hazard, situation: Situation, shown: _Shown) -> Verdict | None:
    answer = hazard.holds(situation)
    if answer:
        status, reason, fix = hazard.severity, hazard.reason.format_map(shown), hazard.fix
    elif answer is None and hazard.unknown:
        status, reason, fix = Status.UNKNOWN, hazard.unknown, hazard.ask
    else:
        return None
    return Verdict(
        id=hazard.id,
        status=status,
        reason=reason,
        fix=fix,
        basis=Basis.ASSUMED if status is Status.UNKNOWN else hazard.basis,
        source=hazard.source,
    )


class _Shown(dict[str, str]):
    """The facts as text for the reasons: numbers short, the missing as "unknown"."""

    def __init__(self, situation: Situation) -> None:
        super().__init__()
        for field in fields(situation):
            value = getattr(situation, field.name)
            self[field.name] = _text(value)


def _text(value: object) -> str:
    if value is None:
        return "unknown"
    if isinstance(value, float):
        return f"{value:.4g}"
    words = str(value)
    return _WRITTEN.get(words, words.replace("_", " "))
