"""Many packs side by side: shared tables, and one row a pack of everything else.

What one step of all of them does is in :mod:`.step`; which steps are made is in
:mod:`.fast_engine`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray
from scipy import constants

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.nodes import SOC_GRID
from packdesign.engineering.discharge.open_circuit import end_slopes_v
from packdesign.engineering.discharge.run import PackModel

__all__ = ["Batch", "Tables", "concatenate", "stack"]

Rows = TypeVar("Rows")

_OVER_SOC = ("ocv_v", "transfer_rise", "rc_rise", "entropic_v_per_k")
_OVER_DEGC = (
    "empty_soc",
    "ohmic_temperature_factor",
    "rc_temperature_factor",
    "transfer_temperature_factor",
    "solid_temperature_factor",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tables:
    """Tables of the m different cells among the packs, laid end to end.

    Of each table the value at every grid point and, below it, the rise to the next point, so that a
    look-up is one reading and one product.
    """

    over_soc: FloatArray
    """Open-circuit voltage, what charge transfer and RC elements add to their level, entropic
    coefficient; then the rises of each. Shape (8, m x SOC_GRID)."""
    over_degc: FloatArray
    """Charge out of reach, ohmic, RC, transfer and solid factor; then their rises. Shape
    (10, m x TEMPERATURE_GRID_DEGC)."""

    @property
    def ocv(self) -> FloatArray:
        """Open-circuit voltage and its rises alone. Shape (2, m x SOC_GRID). [V]"""
        return self.over_soc[:: len(_OVER_SOC)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """Parameters of n packs. Every array but the tables has shape (n,)."""

    tables: Tables
    table_row: NDArray[np.intp]
    """Which cell of the tables belongs to each pack."""
    ocv_shift_v: FloatArray
    empty_slope_v: FloatArray
    full_slope_v: FloatArray
    entropic_shift_v_per_k: FloatArray
    capacity_as: FloatArray
    ohmic_ohm: FloatArray
    transfer_ohm: FloatArray
    fast_ohm: FloatArray
    slow_ohm: FloatArray
    fast_s: FloatArray
    slow_s: FloatArray
    lag_per_a: FloatArray
    lag_s: FloatArray
    series: FloatArray
    parallel: FloatArray
    path_ohm: FloatArray
    cell_j_per_k: FloatArray
    surface_j_per_k: FloatArray
    cell_to_surface_w_per_k: FloatArray
    surface_to_air_w_per_k: FloatArray
    buoyant_fraction: FloatArray
    ambient_degc: FloatArray

    @property
    def size(self) -> int:
        """How many packs."""
        return len(self.series)

    def rows(self, keep: NDArray[np.intp]) -> Batch:
        """Make a batch of some of the packs, or of one pack many times."""
        parts = {
            each.name: getattr(self, each.name)[keep]
            for each in fields(self)
            if each.name != "tables"
        }
        return Batch(tables=self.tables, **parts)


def stack(packs: Sequence[PackModel], *, ambient_degc: FloatArray) -> Batch:
    """Lay packs side by side.

    Parameters
    ----------
    packs : sequence of PackModel
        The n packs.
    ambient_degc : array
        Air around each. Shape (n,). [degC]
    """
    cells = [pack.cell for pack in packs]
    thermal = [pack.thermal for pack in packs]
    tables, table_row = _shared_tables(cells)
    below_v, above_v = np.array([end_slopes_v(SOC_GRID, cell.ocv_v) for cell in cells]).T
    return Batch(
        tables=tables,
        table_row=table_row,
        ocv_shift_v=np.array([cell.ocv_shift_v for cell in cells]),
        empty_slope_v=below_v,
        full_slope_v=above_v,
        entropic_shift_v_per_k=np.zeros(len(cells)),
        capacity_as=np.array([cell.capacity_ah * constants.hour for cell in cells]),
        ohmic_ohm=np.array([cell.ohmic_ohm for cell in cells]),
        transfer_ohm=np.array([cell.charge_transfer_ohm for cell in cells]),
        fast_ohm=np.array([cell.rc_ohm[0] for cell in cells]),
        slow_ohm=np.array([cell.rc_ohm[1] for cell in cells]),
        fast_s=np.array([cell.rc_time_s[0] for cell in cells]),
        slow_s=np.array([cell.rc_time_s[1] for cell in cells]),
        lag_per_a=np.array([cell.lag_per_a for cell in cells]),
        lag_s=np.array([cell.lag_time_s for cell in cells]),
        series=np.array([float(pack.series) for pack in packs]),
        parallel=np.array([float(pack.parallel) for pack in packs]),
        path_ohm=np.array([pack.path_ohm for pack in packs]),
        cell_j_per_k=np.array([cell.heat_capacity_j_per_k for cell in cells]),
        surface_j_per_k=np.array([path.surface_j_per_k for path in thermal]),
        cell_to_surface_w_per_k=np.array([path.cell_to_surface_w_per_k for path in thermal]),
        surface_to_air_w_per_k=np.array([path.surface_to_air_w_per_k for path in thermal]),
        buoyant_fraction=np.array([path.buoyant_fraction for path in thermal]),
        ambient_degc=np.broadcast_to(np.asarray(ambient_degc, dtype=float), len(packs)).copy(),
    )


def concatenate(parts: Sequence[Rows]) -> Rows:
    """Lay several records of rows, all of one kind and from one set of tables, under each other."""
    first: Any = parts[0]
    laid = {}
    for each in fields(first):
        values = [getattr(part, each.name) for part in parts]
        if each.name != "tables":
            laid[each.name] = (
                np.concatenate(values) if isinstance(values[0], np.ndarray) else concatenate(values)
            )
    if isinstance(first, Batch):
        return type(first)(tables=first.tables, **laid)  # type: ignore[return-value]
    return type(first)(**laid)  # type: ignore[no-any-return]


def _shared_tables(cells: Sequence[CellModel]) -> tuple[Tables, NDArray[np.intp]]:
    """Lay each different set of tables down once; packs that share a cell share its row."""
    rows: dict[tuple[int, ...], int] = {}
    first: list[CellModel] = []
    table_row = np.empty(len(cells), dtype=np.intp)
    for place, cell in enumerate(cells):
        key = tuple(id(getattr(cell, name)) for name in (*_OVER_SOC, *_OVER_DEGC))
        if key not in rows:
            rows[key] = len(first)
            first.append(cell)
        table_row[place] = rows[key]
    return Tables(over_soc=_laid(first, _OVER_SOC), over_degc=_laid(first, _OVER_DEGC)), table_row


def _laid(cells: Sequence[CellModel], names: Sequence[str]) -> FloatArray:
    """Values of some tables of all cells, end to end, and the rises from point to point."""
    values = [[np.asarray(getattr(cell, name), dtype=float) for cell in cells] for name in names]
    rises = [[np.append(np.diff(each), 0.0) for each in row] for row in values]
    return np.stack([np.concatenate(row) for row in (*values, *rises)])
