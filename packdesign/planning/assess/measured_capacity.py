"""A capacity that was measured, brought into the model of the cells."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from packdesign.data.cells import Cell
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.planning.brief.upkeep_sections import Measured
from packdesign.planning.charge_plan.lot_plan import lot_plan

__all__ = ["has_measured_capacity", "with_lots_capacity", "with_measured_capacity"]

_READ_SPREAD: Final = 0.02
"""Standard deviation of a capacity that a charger or a log has counted: own choice. [-]"""
_MEASURED: Final = "measured, from the brief"


def with_measured_capacity(model: CellModel, capacity_ah: float) -> CellModel:
    """Give a cell the capacity that was measured, and the doubt that a measurement leaves.

    Parameters
    ----------
    model : CellModel
        The cell, as new or as worn.
    capacity_ah : float
        From full to empty at low rate. [A h]
    """
    return replace(
        model,
        capacity_ah=capacity_ah,
        spread=replace(model.spread, capacity_fraction=_READ_SPREAD),
        bases=model.bases | {"capacity": _MEASURED},
    )


def with_lots_capacity(
    model: CellModel, measured: Measured | None, cell: Cell, *, series: int, parallel: int
) -> CellModel:
    """Give the cells of a pack the mean capacity of the measured ones that it is built of.

    Parameters
    ----------
    model : CellModel
        The cell.
    measured : Measured or None
        What was measured; a capacity that it states itself was read later, and stays.
    cell : Cell
        Its row of the table.
    series, parallel : int
        Groups in series, and cells in each. [-]

    Returns
    -------
    CellModel
        The cell as it was where no lot makes this pack. A test of a cell, like the one of the
        sheet, leaves a little in it.

    Raises
    ------
    TableError
        If the file of the lot cannot be used.
    """
    if measured is None or measured.cell_capacity_ah is not None:
        return model
    plan = lot_plan(measured, cell, series=series, parallel=parallel)
    if plan is None:
        return model
    mean_ah = float(np.sum(plan.grouping.group_ah)) / (series * parallel)
    whole_over_test = model_from_datasheet(cell).capacity_ah / cell.capacity_ah
    return with_measured_capacity(model, whole_over_test * mean_ah)


def has_measured_capacity(model: CellModel) -> bool:
    """Whether the capacity of a cell was measured.

    Parameters
    ----------
    model : CellModel
        The cell.
    """
    return model.bases.get("capacity") == _MEASURED
