"""A lot of measured cells: who is in, who goes where, and what flows when they are joined."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from packdesign.data.cells import Cell
from packdesign.engineering.charging.intake import CellReading, IntakeResult, take_in
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import BriefError, OutOfRangeError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.judged import Judged
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.upkeep_sections import Measured
from packdesign.planning.charge_plan.intake_file import read_intake
from packdesign.planning.charge_plan.intake_plan import IntakePlan, limits_of, plan_intake
from packdesign.planning.hazards.gate import gate
from packdesign.planning.hazards.hazard import Stage
from packdesign.planning.needs.cells import cell_table_of, named_cell
from packdesign.planning.needs.situation import situation_of_brief
from packdesign.planning.verdicts.judge import spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["MeasuredLot", "judge_intake", "measured_lot"]

_NAMED: Final = 4
"""Cells or joints that a reason names before it counts the rest."""
_ABOUT_CELLS: Final = frozenset(
    {"salvaged_cells_in_pack", "mixed_cell_models", "cell_spread_too_wide"}
)
"""Hazards of the gate that a lot of cells decides."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredLot(Judged):
    """A lot of measured cells, sorted for one pack."""

    cell: Cell
    series: int
    parallel: int
    intake: IntakeResult
    plan: IntakePlan | None
    """Groups and joints; None: the lot makes no pack."""


def measured_lot(brief: Brief, *, cells: Path | None = None) -> MeasuredLot:
    """Sort the measured cells for the pack that a brief names.

    Parameters
    ----------
    brief : Brief
        The brief, with cell, series and parallel.
    cells : Path or None
        File of measured cells; None: the one that the brief names.

    Raises
    ------
    BriefError
        If the brief names no cell, no count or no file.
    TableError
        If the file cannot be used.
    """
    if cells is not None:
        measured = (brief.measured or Measured()).model_copy(update={"cells": cells})
        brief = brief.model_copy(update={"measured": measured})
    pack, cell = brief.pack or Pack(), named_cell(brief, cell_table_of(brief))
    if cell is None or pack.series is None:
        msg = "the brief must name cell and series in [pack], so that cells can be grouped for it"
        raise BriefError(msg)
    if brief.measured is None or brief.measured.cells is None:
        msg = (
            "no file of measured cells: give --cells FILE.csv, or name it in [measured] as "
            'cells = "FILE.csv"'
        )
        raise BriefError(msg)
    parallel = pack.parallel or 1
    path = brief.measured.cells
    readings = read_intake(path)
    lot = _Lot(cell=cell, series=pack.series, parallel=parallel, source=path.name)
    situation = situation_of_brief(brief, cell, series=pack.series, parallel=parallel)
    plan, judged = _planned(lot, readings)
    return MeasuredLot(
        cell=cell,
        series=pack.series,
        parallel=parallel,
        intake=take_in(readings, limits_of(cell)) if plan is None else plan.intake,
        plan=plan,
        hazards=tuple(
            each
            for each in gate(situation, stages=(Stage.DESIGN, Stage.ASSEMBLY))
            if each.id in _ABOUT_CELLS and each.status is not Status.UNKNOWN
        ),
        judged=judged,
    )


def judge_intake(brief: Brief, design: PackDesign) -> Iterator[Verdict]:
    """Judge the measured cells that a brief names, before any joint is made.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.

    Yields
    ------
    Verdict
        "intake_cells", "intake_joints", "intake_known". None where no file is named, or where the
        brief leaves the cell open.

    Raises
    ------
    TableError
        If the file cannot be used.
    """
    measured, pack = brief.measured, brief.pack
    if measured is None or measured.cells is None or pack is None or pack.cell is None:
        return
    lot = _Lot(
        cell=design.cell,
        series=design.series,
        parallel=design.parallel,
        source=measured.cells.name,
    )
    yield from _planned(lot, read_intake(measured.cells))[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Lot:
    """For which pack a lot is judged, and the file it is from."""

    cell: Cell
    series: int
    parallel: int
    source: str

    @property
    def needed(self) -> int:
        """Cells of the pack. [-]"""
        return self.series * self.parallel


def _planned(
    lot: _Lot, readings: Sequence[CellReading]
) -> tuple[IntakePlan | None, tuple[Verdict, ...]]:
    """Groups and joints with their verdicts; None where the lot makes no pack."""
    intake = take_in(readings, limits_of(lot.cell))
    try:
        plan = plan_intake(lot.cell, readings, series=lot.series, parallel=lot.parallel)
    except OutOfRangeError as error:
        return None, (_no_pack(lot, intake, count=len(readings), why=str(error)),)
    return plan, tuple(_verdicts(plan, lot))


def _no_pack(lot: _Lot, intake: IntakeResult, *, count: int, why: str) -> Verdict:
    more = "Measure more cells of the same model and batch, or build a smaller pack."
    return Verdict(
        id="intake_cells",
        status=Status.STOP,
        value=float(count),
        limit=float(lot.needed),
        reason=f"The {count} measured cells make no pack of {lot.needed}: {why}."
        f"{_turned_away(intake)}",
        fix=f"{_about_the_grave(intake)} {more}".strip(),
        basis=Basis.MEASURED,
        source=lot.source,
    )


def _turned_away(intake: IntakeResult) -> str:
    turned = tuple(f"{each.label} ({', '.join(each.reasons)})" for each in intake.rejected)
    return f" Turned away: {_listed(turned)}." if turned else ""


def _about_the_grave(intake: IntakeResult) -> str:
    """Say what to do first about a cell that is a danger, or a reading that cannot be."""
    steps = []
    if any(each.is_overcharged for each in intake.rejected):
        steps.append(
            "Check the meter on a cell you know; then take the overcharged cells outside, away "
            "from what burns, and recycle them."
        )
    if any(each.is_not_believed for each in intake.rejected):
        steps.append("Read the wrapper, and measure again what cannot be.")
    return " ".join(steps)


def _verdicts(plan: IntakePlan, lot: _Lot) -> Iterator[Verdict]:
    yield _cells(plan, needed=lot.needed, source=lot.source)
    if lot.parallel > 1:
        yield _joints(plan, source=lot.source)
    unknown = plan.intake.not_judged
    if unknown:
        yield Verdict(
            id="intake_known",
            status=Status.UNKNOWN,
            value=float(len(unknown)),
            reason=f"Not all is known of each cell: {_listed(unknown)}.",
            fix="Measure capacity, resistance and two voltages a week apart of every cell.",
            basis=Basis.MEASURED,
            source=lot.source,
        )


def _listed(texts: tuple[str, ...]) -> str:
    more = len(texts) - _NAMED
    return "; ".join(texts[:_NAMED]) + (f"; and {more} more" if more > 0 else "")


def _cells(plan: IntakePlan, *, needed: int, source: str) -> Verdict:
    accepted, rejected = plan.intake.accepted, plan.intake.rejected
    is_mixed = plan.intake.raises_gate
    grave = _about_the_grave(plan.intake)
    reason = f"{len(accepted)} of the measured cells are fit; the pack needs {needed}."
    reason = f"{reason}{_turned_away(plan.intake)}"
    if is_mixed:
        reason = f"{reason} Not all of them are new and of one batch."
    groups = tuple(
        f"group {number}: {', '.join(labels)}"
        for number, labels in enumerate(plan.grouping.groups, start=1)
    )
    return Verdict(
        id="intake_cells",
        status=Status.STOP if grave else (Status.CAUTION if rejected or is_mixed else Status.OK),
        value=float(len(accepted)),
        limit=float(needed),
        reason=f"{reason} Best grouping, from the minus: {'; '.join(groups)}.",
        fix=f"{grave} Never build in a cell turned away to make up the count."
        if grave
        else "Recycle the cells turned away; never build them in to make up the count."
        if rejected
        else ("Prefer new cells of one batch." if is_mixed else ""),
        basis=Basis.MEASURED,
        source=source,
    )


def _joints(plan: IntakePlan, *, source: str) -> Verdict:
    """Every joint in parallel: level enough to be made, or not."""
    uneven = [joint for joint in plan.joints if not joint.is_level]
    peak_a = max((joint.levelling.peak_a for joint in plan.joints), default=0.0)
    told = tuple(f"{joint.label} to group {joint.group}: {joint.advice}" for joint in uneven)
    return Verdict(
        id="intake_joints",
        status=Status.STOP if uneven else Status.OK,
        value=peak_a,
        unit="A",
        reason=(
            f"Not level yet: {_listed(told)}."
            if uneven
            else f"All cells of a group are within {spoken(plan.voltage_match_v * 1000, 'mV')}: at "
            f"most {spoken(peak_a, 'A')} flow when they are joined."
        ),
        fix="Bring them level through a resistor before any strip goes on." if uneven else "",
        basis=Basis.MEASURED,
        source=source,
    )
