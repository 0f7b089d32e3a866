"""The plan of the measured cells that a brief names, where they make its pack."""

from __future__ import annotations

from packdesign.data.cells import Cell
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.brief.upkeep_sections import Measured
from packdesign.planning.charge_plan.intake_file import read_intake
from packdesign.planning.charge_plan.intake_plan import IntakePlan, plan_intake

__all__ = ["lot_plan"]


def lot_plan(
    measured: Measured | None, cell: Cell, *, series: int, parallel: int
) -> IntakePlan | None:
    """Sort, group and check the measured cells of a pack.

    Parameters
    ----------
    measured : Measured or None
        The section that names their file.
    cell : Cell
        The model of the cells.
    series, parallel : int
        Counts of the pack. [-]

    Returns
    -------
    IntakePlan or None
        None where no file is named, or its cells make no such pack; a check of its own says why.

    Raises
    ------
    TableError
        If the file cannot be used.
    """
    if measured is None or measured.cells is None:
        return None
    try:
        return plan_intake(cell, read_intake(measured.cells), series=series, parallel=parallel)
    except OutOfRangeError:
        return None
