"""What the sections are written from: the judged pack, and the years after it is built."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.assess.keeping import KeptPack, kept_after
from packdesign.planning.assess.pack_figures import PackFigures, pack_figures
from packdesign.planning.assess.record import Assessment
from packdesign.planning.assess.start_report import StartReport
from packdesign.planning.verdicts.verdict import Status, Verdict, overall_status

__all__ = ["SheetFacts", "gather"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetFacts:
    """Everything that the sheet shows."""

    judged: Assessment
    starts: tuple[StartReport, ...]
    figures: PackFigures
    kept: KeptPack | None
    """None where use or storage lies beyond what is published."""
    not_kept_because: str
    """Why not; empty where ``kept`` is there."""
    made_on: datetime.date

    @property
    def verdicts(self) -> tuple[Verdict, ...]:
        """All verdicts: of the assessment, and those that only the years after the build bring."""
        return (*self.judged.verdicts, *self._later())

    @property
    def told(self) -> tuple[Verdict, ...]:
        """What people read: the same, each danger once."""
        return (*self.judged.told, *self._later())

    def _later(self) -> tuple[Verdict, ...]:
        known = {each.id for each in self.judged.verdicts}
        later = () if self.kept is None else self.kept.judged
        return tuple(each for each in later if each.id not in known)

    @property
    def overall(self) -> Status:
        """Status of the whole."""
        return overall_status(self.verdicts)


def gather(
    judged: Assessment, *, starts: tuple[StartReport, ...] = (), made_on: datetime.date
) -> SheetFacts:
    """Add to a judged pack what the sheet shows beside it.

    Parameters
    ----------
    judged : Assessment
        The judged pack.
    starts : tuple of StartReport
        What each motor takes.
    made_on : date
        Day of the sheet, from which the storage runs.
    """
    kept, because = None, ""
    try:
        kept = kept_after(judged, today=made_on)
    except OutOfRangeError as error:
        because = str(error)
    return SheetFacts(
        judged=judged,
        starts=starts,
        figures=pack_figures(judged.design),
        kept=kept,
        not_kept_because=because,
        made_on=made_on,
    )
