"""The records of the shortlist: a pack tried, one that stands, a cell that fell, and the list."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import IntEnum

from packdesign.data.cells import Cell
from packdesign.foundation.basis import Band
from packdesign.planning.assess.pack_figures import PackFigures
from packdesign.planning.shortlist.figures import RankFigures
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["Candidate", "CandidateRun", "Rejected", "Shortlist", "Stage", "Trial"]


class Stage(IntEnum):
    """How far a cell came before a limit fell, first to last."""

    PREFERENCE = 0
    VOLTAGE = 1
    PARTS = 2
    """Board, charger and hazards of the brief."""
    ROOM = 3
    ENERGY = 4
    RUN = 5
    """Run through the engine and judged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One pack that could be built: a cell with its counts."""

    cell: Cell
    series: int
    parallel: int

    @property
    def count(self) -> int:
        """Cells in it. [-]"""
        return self.series * self.parallel

    @property
    def name(self) -> str:
        """As the trade writes it: "3S1P of ..."."""
        return f"{self.series}S{self.parallel}P of {self.cell.name}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rejected:
    """A cell that no pack was found for, with the limit that fell first in its best try."""

    cell: Cell
    series: int | None
    parallel: int | None
    stage: Stage
    limit: str
    """Short name of the limit: "bore", "continuous_current"."""
    reason: str
    """In a builder's words, with by how much."""
    over_fraction: float | None = None
    """How far beyond the limit, as a fraction of it. [-]"""
    change: str = ""
    """The smallest change of the brief that moves this limit, in words; empty: none is known."""
    keys: Mapping[str, object] = field(default_factory=dict)
    """The same as keys of a brief, for a what-if."""
    admits: bool | None = None
    """Whether the change was tried and lets a pack of the cell pass; None: it moves this limit, and
    nobody has tried yet what falls next."""

    @property
    def pack(self) -> str:
        """Counts as the trade writes them, empty where none was tried."""
        return f"{self.series}S{self.parallel}P" if self.series and self.parallel else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CandidateRun:
    """The figures of one discharge, as the machine contract has them."""

    run_time_s: Band
    delivered_ah: float
    delivered_wh: float
    min_voltage_v: Band
    peak_current_a: float
    """Of any instant: the start of a motor is in it. [A]"""
    rms_current_a: float
    peak_cell_degc: Band
    peak_surface_degc: float
    ends_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One pack of the shortlist."""

    trial: Trial
    rank: int
    status: Status
    because: tuple[str, ...]
    """Why it stands where it stands, most important first."""
    pack: PackFigures
    run: CandidateRun
    figures: RankFigures
    verdicts: tuple[Verdict, ...]
    is_exact: bool
    """Whether it went the way of an assessment; else its demand is that of a pack much like it,
    its layout that of the fullest cavity, and its ranges have no width."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortlist:
    """The packs that fit and pass, best first, and why the other cells do not."""

    candidates: tuple[Candidate, ...]
    """One for each cell, the best of its counts; as many as were asked for."""
    others: tuple[Candidate, ...]
    """All other packs that were run, ranked after those; screened only."""
    rejected: tuple[Rejected, ...]
    """Cells without any pack that passes, those nearest to passing first."""
    considered: int
    """Packs looked at. [-]"""
    fit: int
    """Packs among them that go into the cavity and into every voltage window. [-]"""
    run: int
    """Packs among those that were run through the engine. [-]"""
    screened_s: float
    """Time for the whole table. [s]"""
    seconds: float
    """Time with the best ones assessed in full. [s]"""

    @property
    def best(self) -> Candidate | None:
        """The first candidate, None without one.

        Its status is a stop where something stops every pack: the device, the charger, the place.
        """
        return self.candidates[0] if self.candidates else None
