"""The open-circuit voltage of a cell as a log moved it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.nodes import OCV_NODES, SOC_GRID

__all__ = ["LARGEST_SHIFT_V", "LEFT_OVER_V", "nodes_of", "with_open_circuit_moved"]

_ENDS: Final = (0.0, 1.0)
LARGEST_SHIFT_V: Final = 0.4
"""Per cell, at any charge: no cell of the same family lies so far from its kind. The brief holds
its own key to the same figure. [V]"""

LEFT_OVER_V: Final = 0.01
"""How far the open-circuit voltage may still be off once a log has moved it: what the fit takes a
model to be off over stretches of a log. Own choice. [V]"""


def with_open_circuit_moved(model: CellModel, shift_v: Sequence[float]) -> CellModel:
    """Move the open-circuit voltage of a cell by straight lines over its charge.

    Parameters
    ----------
    model : CellModel
        The cell.
    shift_v : sequence of float
        By how much when empty and when full, or at each of ``OCV_NODES``. [V]

    Returns
    -------
    CellModel
        The cell, its curve kept from falling with charge, and its bases saying so.
    """
    moved_v = model.ocv_v + np.interp(SOC_GRID, nodes_of(shift_v), shift_v)
    return replace(
        model,
        ocv_v=np.maximum.accumulate(moved_v),
        spread=replace(model.spread, ocv_v=np.minimum(model.spread.ocv_v, LEFT_OVER_V)),
        bases=model.bases | {"open-circuit voltage": "measured, from the brief"},
    )


def nodes_of(shift_v: Sequence[float]) -> tuple[float, ...]:
    """States of charge that a list of moves belongs to: the two ends, or those of a re-fit. [-]

    Parameters
    ----------
    shift_v : sequence of float
        The moves: two, or as many as there are nodes. [V]
    """
    return _ENDS if len(shift_v) == len(_ENDS) else OCV_NODES
