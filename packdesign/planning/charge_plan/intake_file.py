"""Read a CSV of measured cells: one row a cell, as the bench notes it."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from packdesign.data.csv_reader import Columns, Row, read_rows
from packdesign.engineering.charging.intake import CellReading, Origin

__all__ = ["INTAKE_COLUMNS", "read_intake"]

INTAKE_COLUMNS: Final = Columns(
    ("cell", "rested_v"),
    ("capacity_ah", "resistance_milliohm", "rest_days", "start_v", "origin"),
)
"""Headings of the file; only the first two must be there."""


def read_intake(path: Path) -> tuple[CellReading, ...]:
    """Read the measured cells of a file.

    Parameters
    ----------
    path : Path
        CSV with the headings of ``INTAKE_COLUMNS``; blank cells mean not measured.

    Returns
    -------
    tuple of CellReading
        In the order of the file.

    Raises
    ------
    TableError
        If the file or a cell in it cannot be used.
    """
    return tuple(_reading(row) for row in read_rows(path, INTAKE_COLUMNS))


def _reading(row: Row) -> CellReading:
    milliohm = row.number("resistance_milliohm", low=0.01, high=100_000)
    return CellReading(
        label=row.needed_text("cell"),
        rested_v=row.needed("rested_v", low=-6, high=6),
        capacity_ah=row.number("capacity_ah", low=0.001, high=1000),
        resistance_ohm=None if milliohm is None else milliohm / 1000,
        rest_days=row.number("rest_days", low=0, high=20_000),
        start_v=row.number("start_v", low=-6, high=6),
        origin=row.choice("origin", Origin) if row.text("origin") else Origin.NEW,
    )
