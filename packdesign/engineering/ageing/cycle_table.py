"""Published cycle figures, as they were found: who, how hard, how many cycles, what was left.

Rules of thumb and maker's figures stand beside measurements; each row says which it is.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from packdesign.data.cells import Cell, Family
from packdesign.foundation.basis import Basis

__all__ = ["CYCLE_ROWS", "POWER_CELL_CRATE", "CycleRow", "row_of_cell"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CycleRow:
    """One published figure."""

    families: frozenset[Family]
    cell: str
    crate: float
    """Discharge current as a multiple of capacity per hour. [1/h]"""
    cycles: float
    left_fraction: float
    """Capacity left after them. [-]"""
    basis: Basis
    source: str

    @property
    def loss_per_cycle(self) -> float:
        """Capacity lost per full cycle, taken as even. [-]"""
        return (1.0 - self.left_fraction) / self.cycles


_LAYERED: Final = frozenset({Family.NMC, Family.NCA})
_COBALT: Final = frozenset({Family.LCO})
_LFP: Final = frozenset({Family.LFP})
_LTO: Final = frozenset({Family.LTO})
_SURVEY: Final = "survey of maker ratings, lygte-info.dk, undated"
_SHEET, _PUB, _ASSUMED = Basis.DATASHEET, Basis.PUBLISHED, Basis.ASSUMED


def _row(
    families: frozenset[Family],
    cell: str,
    figures: tuple[float, float, float],
    basis: Basis,
    source: str,
) -> CycleRow:
    crate, cycles, left = figures
    return CycleRow(
        families=families, cell=cell, crate=crate, cycles=cycles, left_fraction=left, basis=basis,
        source=source,
    )  # fmt: skip


CYCLE_ROWS: Final[tuple[CycleRow, ...]] = (
    # gentle use, NMC and NCA
    _row(_LAYERED, "LG M50T", (0.33, 300, 0.80), _SHEET, "LG M50T Rev 0 (2018-07-16), 0.33C"),
    _row(_LAYERED, "LG MH1", (0.5, 500, 0.70), _SHEET, "LG MH1 sheet (2021), 0.5C, 4.2 to 2.75 V"),
    _row(_LAYERED, "energy cell", (0.5, 1000, 0.80), _PUB, "batterydesign.net lifetime, undated"),
    # power use, NMC and NCA
    _row(_LAYERED, "Samsung 30Q, 15 A", (5.0, 250, 0.60), _SHEET, "Samsung 30Q v1.0, Feb 2015"),
    _row(_LAYERED, "Samsung 20R, 22 A", (11.0, 250, 0.60), _SHEET, "Samsung 20R, Dec 2011"),
    _row(_LAYERED, "Samsung 3000 mAh, 15 A", (5.0, 300, 0.73), _SHEET, _SURVEY),
    _row(_LAYERED, "LG 3000 mAh, 20 A", (6.7, 300, 0.70), _SHEET, _SURVEY),
    _row(_LAYERED, "Sony 3000 mAh, 15 A", (5.0, 300, 0.53), _SHEET, _SURVEY),
    _row(_LAYERED, "Panasonic 2600 mAh, 25 A", (9.6, 300, 0.60), _SHEET, _SURVEY),
    # between
    _row(_LAYERED, "Samsung 3500 mAh, 8 A", (2.3, 500, 0.60), _SHEET, _SURVEY),
    _row(_LAYERED, "Panasonic 3500 mAh, 10 A", (2.9, 500, 0.60), _SHEET, _SURVEY),
    _row(_LAYERED, "LG 3500 mAh, 10 A", (2.9, 400, 0.80), _SHEET, _SURVEY),
    # LCO: 300 to 500 cycles to an end point the copy does not state, taken as 75 %
    _row(_COBALT, "cobalt type", (0.5, 300, 0.75), _ASSUMED, "Battery University table, copy"),
    _row(_COBALT, "cobalt type", (0.5, 500, 0.75), _ASSUMED, "Battery University table, copy"),
    # LFP
    _row(_LFP, "EVE 304 Ah", (1.0, 3500, 0.80), _SHEET, "EVE LF304 sheet, 25 degC, clamped"),
    _row(_LFP, "three LFP cells, 1C", (1.0, 4000, 0.85), _PUB, "Findings review table, undated"),
    _row(_LFP, "three LFP cells, 4C", (4.0, 4000, 0.83), _PUB, "Findings review table, undated"),
    _row(_LFP, "A123 26650", (1.0, 1000, 0.80), _ASSUMED, "sheet says above 1000, end assumed"),
    # LTO
    _row(_LTO, "GHOST project cell", (1.0, 9000, 0.90), _PUB, "H2020 GHOST, 2019-21, 80 % depth"),
    _row(_LTO, "Toshiba SCiB", (1.0, 3000, 0.90), _SHEET, "maker's claim of 2010, fast use"),
)  # fmt: skip
"""Every row; 55C on LTO (73 % after 100 cycles, E3S 2021) is left out as no use of ours."""

_TEXT: Final = re.compile(r"(\d+)\s*cyc\D.*?(\d+)\s*%")
POWER_CELL_CRATE: Final = 3.0
"""From this continuous rating on, a sheet's cycle figure is read as one at that rating. Our choice,
after the sheets seen: power cells are cycled at their rating, energy cells gently."""


def row_of_cell(cell: Cell) -> CycleRow | None:
    """Read the cycle figure of a cell's own sheet, where it states what is left.

    Parameters
    ----------
    cell : Cell
        The cell.

    Returns
    -------
    CycleRow or None
        None where there is no figure, or one without an end point.

    Examples
    --------
    >>> bool(_TEXT.search("250 cyc 60%")), bool(_TEXT.search("500 cyc"))
    (True, False)
    """
    found = _TEXT.search(cell.cycle_life)
    if found is None:
        return None
    left = float(found.group(2)) / 100
    if not 0 < left < 1:
        return None
    rated = (cell.continuous_a or 0.0) / cell.capacity_ah
    return CycleRow(
        families=frozenset({cell.family}),
        cell=cell.name,
        crate=rated if rated >= POWER_CELL_CRATE else 0.5,
        cycles=float(found.group(1)),
        left_fraction=left,
        basis=cell.basis_of("cycle_life"),
        source=cell.source,
    )
