"""The records of a comparison: one column a brief, one row a figure or a verdict."""

from __future__ import annotations

from dataclasses import dataclass

from packdesign.planning.brief.schema import Brief
from packdesign.planning.shortlist.appraisal import Appraised
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["Compared", "Comparison", "FigureRow", "VerdictRow"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """One brief of a comparison."""

    name: str
    brief: Brief
    """With the pack that was judged written into it."""
    pack: Appraised | None
    """None where the shortlist found no pack that passes."""
    charge_time_s: float | None
    rank: int | None
    was_chosen: bool
    """Whether the shortlist chose the pack, because the brief names none."""
    problem: str = ""
    """Why there is no pack."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureRow:
    """One figure of every brief."""

    what: str
    unit: str
    values: tuple[float | None, ...]
    more_is_better: bool | None
    """None where neither is."""

    @property
    def changes(self) -> tuple[float | None, ...]:
        """Change of each against the first, as a fraction of the first. [-]"""
        first = self.values[0]
        return tuple(
            None if value is None or not first else value / first - 1.0 for value in self.values
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class VerdictRow:
    """One verdict of every brief; None where it was not made."""

    id: str
    verdicts: tuple[Verdict | None, ...]

    @property
    def statuses(self) -> tuple[Status | None, ...]:
        """Status in each brief."""
        return tuple(None if each is None else each.status for each in self.verdicts)

    @property
    def differs(self) -> bool:
        """Whether the status is not the same everywhere."""
        return len(set(self.statuses)) > 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Several briefs side by side, the first one being what the others are held against."""

    packs: tuple[Compared, ...]
    figures: tuple[FigureRow, ...]
    verdicts: tuple[VerdictRow, ...]

    @property
    def best(self) -> Compared | None:
        """The one ranked first, None without any pack."""
        return next((each for each in self.packs if each.rank == 1), None)
