"""What is said against a pack: the dangers of the gate and the checks that were computed."""

from __future__ import annotations

from dataclasses import dataclass

from packdesign.planning.hazards.said_once import said_once
from packdesign.planning.verdicts.verdict import Verdict

__all__ = ["Judged"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """Verdicts from both, all of them for scripts, each danger once for people."""

    hazards: tuple[Verdict, ...]
    """Of the gate, gravest first; shown before anything else."""
    judged: tuple[Verdict, ...]
    """Of the checks."""

    @property
    def verdicts(self) -> tuple[Verdict, ...]:
        """All verdicts, hazards first."""
        return (*self.hazards, *self.judged)

    @property
    def dangers(self) -> tuple[Verdict, ...]:
        """Hazards that no check and no graver hazard says too."""
        return said_once(self.hazards, self.judged)

    @property
    def told(self) -> tuple[Verdict, ...]:
        """What people read: all verdicts, each danger once."""
        return (*self.dangers, *self.judged)
