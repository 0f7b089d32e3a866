"""The room one wrapped cell takes: from the sheet, or from its designation where there is none."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from packdesign.data.cell_sizes import code_dimensions_m
from packdesign.data.cells import Cell, CellForm
from packdesign.engineering.geometry.allowances import Allowances
from packdesign.foundation.errors import InputError

__all__ = ["CellBody", "body_of", "designation_size"]

_ROUND: Final = re.compile(r"(?<!\d)\d{5}(?!\d)")
_FLAT: Final = re.compile(r"(?<!\d)\d{6,7}(?!\d)")

DESIGNATION_EXTRA_DIAMETER_M: Final = 0.0009
"""Most by which a sheet of the cell table exceeds the designated diameter (LR2170SA, 21.9 mm)."""
DESIGNATION_EXTRA_LENGTH_M: Final = 0.002
"""Most by which a sheet of the cell table exceeds the designated length (32700, 72.0 mm)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CellBody:
    """Outer size of one cell with its wrap; the thickness of a flat cell includes its growth."""

    form: CellForm
    across_m: float
    """Diameter of a cylinder, width of a flat cell. [m]"""
    thickness_m: float
    """Diameter of a cylinder, thickness of a flat cell once grown. [m]"""
    length_m: float
    """Along the axis; of a flat cell from the far edge to the end of the folded tabs. [m]"""
    new_thickness_m: float
    """Thickness of a flat cell as new; of a cylinder its diameter. [m]"""
    sheet_length_m: float
    """Length before any allowance. [m]"""
    note: str = ""
    """Where a size is not the sheet's, why."""

    @property
    def is_flat(self) -> bool:
        """Whether it is a pouch or a hard prismatic can."""
        return self.form is not CellForm.CYLINDER


def designation_size(size_code: str) -> tuple[float, ...]:
    """Read the size that a designation stands for.

    Parameters
    ----------
    size_code : str
        "18650" (round: diameter and length) or "103450" (flat: thickness, width and length).

    Returns
    -------
    tuple of float
        Diameter and length, or thickness, width and length. [m]

    Raises
    ------
    InputError
        If the code is neither.

    Notes
    -----
    Round codes have five digits, as IEC 61960 writes them (from memory), flat ones TTWWLL; what the
    digits stand for is read by :func:`~packdesign.data.cell_sizes.code_dimensions_m`.

    Examples
    --------
    >>> designation_size("21700")
    (0.021, 0.07)
    >>> designation_size("103450")
    (0.01, 0.034, 0.05)
    """
    code = size_code.strip()
    for pattern, form in ((_ROUND, CellForm.CYLINDER), (_FLAT, CellForm.POUCH)):
        sizes = code_dimensions_m(code, form=form) if pattern.fullmatch(code) else None
        if sizes is not None:
            return sizes
    msg = (
        f"size code '{size_code}' is neither round (five digits, '18650') nor flat (six or seven "
        "digits, '103450'); give the sizes of the cell instead"
    )
    raise InputError(msg)


def body_of(cell: Cell, allowances: Allowances) -> CellBody:
    """Work out the room one cell takes, wrap and growth included.

    Parameters
    ----------
    cell : Cell
        The cell.
    allowances : Allowances
        What is added to it.

    Returns
    -------
    CellBody
        Outer sizes. [m]

    Raises
    ------
    InputError
        If the table gives neither sizes nor a designation to take them from.

    Notes
    -----
    A cylinder without sizes gets its designated size plus the most that any sheet of the table
    exceeds it by. A protected cylinder whose sheet gives the bare length is lengthened.
    """
    try:
        return _round_body(cell, allowances) if _is_round(cell) else _flat_body(cell, allowances)
    except InputError as problem:
        msg = f"{cell.name}: the cell table has no complete size, and {problem}"
        raise InputError(msg) from None


def _is_round(cell: Cell) -> bool:
    return cell.form is CellForm.CYLINDER


def _round_body(cell: Cell, allowances: Allowances) -> CellBody:
    diameter_m, length_m, notes = cell.diameter_m, cell.length_m, []
    code = _ROUND.search(cell.size_code)
    if diameter_m is None or length_m is None:
        sizes = designation_size(code[0] if code else cell.size_code)
        if diameter_m is None:
            diameter_m = sizes[0] + DESIGNATION_EXTRA_DIAMETER_M
        if length_m is None:
            length_m = sizes[1] + DESIGNATION_EXTRA_LENGTH_M
        notes.append(f"size from the designation {cell.size_code}, not from a sheet")
    sheet_m = length_m
    is_bare = code is not None and length_m < designation_size(code[0])[1] + 0.0015
    if cell.has_protection and is_bare:
        length_m += allowances.protection_length_m
        notes.append(f"{allowances.protection_length_m * 1e3:g} mm added for its protection board")
    across_m = diameter_m + 2 * allowances.wrap_m
    return CellBody(
        form=cell.form,
        across_m=across_m,
        thickness_m=across_m,
        length_m=length_m,
        new_thickness_m=across_m,
        sheet_length_m=sheet_m,
        note="; ".join(notes),
    )


def _flat_body(cell: Cell, allowances: Allowances) -> CellBody:
    thickness_m, width_m, length_m, note = cell.thickness_m, cell.width_m, cell.length_m, ""
    if thickness_m is None or width_m is None or length_m is None:
        code = _FLAT.search(cell.size_code)
        sizes = designation_size(code[0] if code else cell.size_code)
        thickness_m, width_m, length_m = (
            given if given is not None else designated
            for given, designated in zip((thickness_m, width_m, length_m), sizes, strict=True)
        )
        note = f"size from the designation {cell.size_code}, without its tolerance"
    is_pouch = cell.form is CellForm.POUCH
    swelling = allowances.swelling
    growth = swelling.end_of_life_fraction if is_pouch else swelling.hard_can_fraction
    edge_m = allowances.pouch_edge_m if is_pouch else 0.0
    new_m = thickness_m + 2 * allowances.wrap_m
    return CellBody(
        form=cell.form,
        across_m=width_m + 2 * (allowances.wrap_m + edge_m),
        thickness_m=new_m + thickness_m * growth,
        length_m=length_m + edge_m + allowances.pouch_tab_m,
        new_thickness_m=new_m,
        sheet_length_m=length_m,
        note=note,
    )
