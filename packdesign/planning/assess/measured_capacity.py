"""A capacity that was measured, brought into the model of the cells."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from packdesign.data.cells import Cell
from packdesign.engineering.charging.intake import take_in
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.planning.brief.upkeep_sections import Measured
from packdesign.planning.charge_plan.intake_file import read_intake
from packdesign.planning.charge_plan.intake_plan import limits_of

__all__ = ["measured_capacity_ah", "with_measured_capacity"]

_READ_SPREAD: Final = 0.02
"""Standard deviation of a capacity that a charger or a log has counted: own choice. [-]"""


def measured_capacity_ah(measured: Measured | None, cell: Cell) -> float | None:
    """Capacity of a cell as it was measured, from full to empty at low rate. [A h]

    Parameters
    ----------
    measured : Measured or None
        Says it itself, or names a file of measured cells: then it is the mean of those let in.
        Their test, like the one of the sheet, leaves a little in the cell.
    cell : Cell
        The cell.

    Returns
    -------
    float or None
        None where nobody measured it.

    Raises
    ------
    TableError
        If the file cannot be used.
    OutOfRangeError
        If it lists no cell, or one twice.
    """
    if measured is None:
        return None
    if measured.cell_capacity_ah is not None or measured.cells is None:
        return measured.cell_capacity_ah
    kept = take_in(read_intake(measured.cells), limits_of(cell)).accepted
    known = [each.capacity_ah for each in kept if each.capacity_ah is not None]
    whole_over_test = model_from_datasheet(cell).capacity_ah / cell.capacity_ah
    return whole_over_test * float(np.mean(known)) if known else None


def with_measured_capacity(model: CellModel, measured: Measured | None, cell: Cell) -> CellModel:
    """Give the cell the capacity that was measured, and the doubt that a measurement leaves.

    Parameters
    ----------
    model : CellModel
        The cell, as new or as worn.
    measured : Measured or None
        What was measured.
    cell : Cell
        Its row of the table.
    """
    capacity_ah = measured_capacity_ah(measured, cell)
    if capacity_ah is None:
        return model
    spread = model.spread
    return replace(
        model,
        capacity_ah=capacity_ah,
        spread=replace(spread, capacity_fraction=min(spread.capacity_fraction, _READ_SPREAD)),
        bases=model.bases | {"capacity": "measured, from the brief"},
    )
