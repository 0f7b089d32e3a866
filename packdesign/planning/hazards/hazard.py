"""The record of one hazard: when it holds, how grave it is, what to do, and who says so."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from packdesign.foundation.basis import Basis
from packdesign.planning.hazards.situation import Situation
from packdesign.planning.hazards.ternary import Ternary
from packdesign.planning.verdicts.verdict import Status

__all__ = ["Hazard", "Stage"]


class Stage(StrEnum):
    """The moment in a pack's life at which a hazard bites."""

    DESIGN = "design"
    ASSEMBLY = "assembly"
    CHARGING = "charging"
    USE = "use"
    STORAGE = "storage"
    CARRYING = "carrying"
    REPAIR = "repair"
    DISPOSAL = "disposal"
    RESPONSE = "response"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard:
    """One hazard. ``holds`` answers yes, no or not known."""

    id: str
    stage: Stage
    severity: Status
    holds: Callable[[Situation], Ternary]
    reason: str
    """One sentence; ``{field}`` is replaced by that fact of the situation."""
    fix: str
    source: str
    basis: Basis = Basis.PUBLISHED
    unknown: str = ""
    """One sentence where the answer is not known; empty: stay silent then."""
    ask: str = ""
    """What to find out then; goes with ``unknown``."""
