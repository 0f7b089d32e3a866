"""Judge a pack already owned: from its label, and better from a reading under two loads."""

from __future__ import annotations

from dataclasses import dataclass

from packdesign.data.cells import Cell
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.foundation.basis import Band
from packdesign.planning.assess.design import design_pack
from packdesign.planning.assess.judge_electrical import peak_current_a
from packdesign.planning.assess.record import Assessment
from packdesign.planning.assess.service import assess
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.cells import cell_table_of, named_cell
from packdesign.planning.owned.label import cell_from_label, label_verdicts
from packdesign.planning.owned.two_load import (
    PackReading,
    pack_reading,
    refuse_impossible,
    standard_cell_ohm,
)
from packdesign.planning.verdicts.verdict import Status, Verdict, overall_status

__all__ = ["OwnedPack", "owned_cell", "owned_pack", "reading_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnedPack:
    """A pack already owned, judged for a device."""

    assessment: Assessment
    cell: Cell
    reading: PackReading | None
    """None without a two-load reading: then the label is all there is."""
    cell_ohm: Band | None
    """Of one cell, half charged, 20 degC, 10 s, from the reading. [ohm]"""
    claims: tuple[Verdict, ...]
    """Verdicts on what the label says."""

    @property
    def verdicts(self) -> tuple[Verdict, ...]:
        """Verdicts on the label, then all of the assessment."""
        return (*self.claims, *self.assessment.verdicts)

    @property
    def overall(self) -> Status:
        """Status of the whole."""
        return overall_status(self.verdicts)


def owned_cell(brief: Brief) -> Cell:
    """Give the cell of a pack: the one named, else one made from the label.

    Parameters
    ----------
    brief : Brief
        The brief.

    Raises
    ------
    BriefError
        If neither tells enough.
    UnknownNameError
        If no cell has the name given.
    """
    named = named_cell(brief, cell_table_of(brief))
    return cell_from_label(brief.pack or Pack()) if named is None else named


def reading_of(brief: Brief, cell: Cell) -> tuple[PackReading | None, Band | None]:
    """Give what a two-load reading says of a pack and of one of its cells.

    Parameters
    ----------
    brief : Brief
        The brief; the assessment itself puts the reading into its model.
    cell : Cell
        The cell.

    Returns
    -------
    tuple
        The reading and the resistance of one cell [ohm]; without a reading twice None.

    Raises
    ------
    BriefError
        If the reading cannot be of so many cells.
    """
    measured = brief.measured
    if measured is None or measured.two_load is None:
        return None, None
    pack = brief.pack or Pack()
    series, parallel = pack.series or 1, pack.parallel or 1
    found = pack_reading(measured.two_load)
    refuse_impossible(measured.two_load, cell, series=series, parallel=parallel)
    design = design_pack(brief, cell, series=series, parallel=parallel)
    ohm = standard_cell_ohm(
        found,
        model_from_datasheet(cell),
        series=series,
        parallel=parallel,
        path_ohm=design.path.ohm.mid,
    )
    return found, ohm


def owned_pack(brief: Brief) -> OwnedPack:
    """Judge a pack already owned.

    Parameters
    ----------
    brief : Brief
        A brief whose ``[pack]`` names the cell, or the label's capacity, and the counts; with
        ``[measured.two_load]`` where it was read.

    Returns
    -------
    OwnedPack
        Claims of the label, the reading, and the assessment that follows from both.

    Raises
    ------
    InputError
        If the brief cannot be used as written.
    """
    cell = owned_cell(brief)
    pack = brief.pack or Pack()
    named = brief.model_copy(
        update={"pack": pack.model_copy(update={"cell": cell.name, "parallel": pack.parallel or 1})}
    )
    reading, ohm = reading_of(named, cell)
    assessment = assess(named, cell=cell)
    peak_a = peak_current_a(assessment.loading, assessment.discharge)
    return OwnedPack(
        assessment=assessment,
        cell=cell,
        reading=reading,
        cell_ohm=ohm,
        claims=tuple(label_verdicts(pack, peak_a=peak_a)),
    )
