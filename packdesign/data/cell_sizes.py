"""Read a size code of the trade into outer dimensions: "18650" is 18 mm across and 65.0 mm long.

A code names a class, not a cell: real cells are up to 0.9 mm wider and 1.2 mm longer (table).
"""

from __future__ import annotations

import math
from typing import Final

from packdesign.data.cells import Cell, CellForm

__all__ = ["code_dimensions_m", "outer_volume_l"]

_SHORTEST_MM: Final = 20.0
"""No cylinder of the trade is shorter: "38120" must mean 120 mm, "18650" 65.0 mm."""

_TENTHS_FROM: Final = 20.0
"""A pouch code gives the thickness in tenths of a millimetre below 10 mm ("80" is 8.0 mm), in whole
millimetres from 10 on ("103450" is 10 x 34 x 50 mm); pouches under 2.0 mm are not expected."""


def code_dimensions_m(size_code: str, *, form: CellForm) -> tuple[float, ...] | None:
    """Dimensions that a size code stands for.

    Parameters
    ----------
    size_code : str
        "18650", "4680", "103450".
    form : CellForm
        What the code belongs to.

    Returns
    -------
    tuple of float or None
        Diameter and length of a cylinder; thickness, width and length of a pouch or prism.
        ``None`` where the code cannot be read with certainty. [m]

    Examples
    --------
    >>> code_dimensions_m("18650", form=CellForm.CYLINDER)
    (0.018, 0.065)
    >>> code_dimensions_m("38120", form=CellForm.CYLINDER)
    (0.038, 0.12)
    >>> code_dimensions_m("103450", form=CellForm.POUCH)
    (0.01, 0.034, 0.05)
    """
    if not size_code.isdecimal():
        return None
    if form is CellForm.CYLINDER and len(size_code) in (4, 5):
        tail = float(size_code[2:])
        tenths = len(size_code) == 5 and tail / 10 >= _SHORTEST_MM
        length_mm = tail / 10 if tenths else tail
        return (float(size_code[:2]) / 1000, length_mm / 1000)
    if form is not CellForm.CYLINDER and len(size_code) in (6, 7):
        thickness, width, length = (float(size_code[a:b]) for a, b in ((0, 2), (2, 4), (4, 7)))
        thickness_mm = thickness if thickness < _TENTHS_FROM else thickness / 10
        return (thickness_mm / 1000, width / 1000, length / 1000)
    return None


def outer_volume_l(cell: Cell, *, by_code: bool = True) -> float | None:
    """Outer volume by the dimensions given, else by the size code. [L]

    Parameters
    ----------
    cell : Cell
        The cell.
    by_code : bool
        Whether the size code may stand in for a dimension that the sheet does not give.

    Returns
    -------
    float or None
        ``None`` where neither tells it. [L]
    """
    code = code_dimensions_m(cell.size_code, form=cell.form) if by_code else None
    if cell.form is CellForm.CYLINDER:
        diameter = cell.diameter_m or (code[0] if code else None)
        length = cell.length_m or (code[1] if code else None)
        if diameter is None or length is None:
            return None
        return math.pi / 4 * diameter**2 * length * 1000
    sides = (cell.thickness_m, cell.width_m, cell.length_m)
    if all(sides):
        return math.prod(side for side in sides if side) * 1000
    return math.prod(code) * 1000 if code else None
