"""The three tables behind the open-circuit voltage curves, as records."""

from __future__ import annotations

import functools
import itertools
from dataclasses import dataclass

from packdesign.data.cells import Family
from packdesign.data.csv_reader import Columns, Row, read_rows
from packdesign.data.folder import table_path
from packdesign.foundation.basis import Basis

__all__ = ["CurveTable", "FamilyRule", "curve_tables", "family_rules"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CurveTable:
    """One published curve, as it stands in the table."""

    curve: str
    cell: str
    family: Family
    method: str
    use: str
    """"family": counts in the family's mean; "own": only for its own cell; "comparison"."""
    basis: Basis
    part_numbers: tuple[str, ...]
    """Cells of the table whose own curve this is."""
    source: str
    soc: tuple[float, ...]
    """State of charge, rising. [-]"""
    voltage_v: tuple[float, ...]
    """Open-circuit voltage, rising. [V]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class FamilyRule:
    """Which curves stand for a family."""

    curves_of: tuple[Family, ...]
    least_spread_v: float
    """How far any curve may be off at the least. [V]"""
    basis: Basis
    source: str


_CURVES = Columns(("curve", "cell", "family", "method", "use", "basis", "part_numbers", "source"))
_POINTS = Columns(("curve", "soc_fraction", "ocv_v"))
_RULES = Columns(("family", "curves_of_families", "least_spread_v", "basis", "source"))


@functools.cache
def curve_tables() -> tuple[CurveTable, ...]:
    """Every published curve.

    Raises
    ------
    TableError
        If a curve has fewer than two points, or does not rise.
    """
    points: dict[str, list[tuple[float, float]]] = {}
    for row in read_rows(table_path("chemistries/ocv.csv"), _POINTS):
        point = (row.needed("soc_fraction", low=0, high=1), row.needed("ocv_v", low=0.5, high=5))
        points.setdefault(row.needed_text("curve"), []).append(point)
    rows = read_rows(table_path("chemistries/ocv_curves.csv"), _CURVES)
    return tuple(_curve(row, points.get(row.text("curve"), [])) for row in rows)


def _curve(row: Row, points: list[tuple[float, float]]) -> CurveTable:
    rises = all(a[0] < b[0] and a[1] <= b[1] for a, b in itertools.pairwise(points))
    if len(points) < 2 or not rises:
        problem = f"'{row.text('curve')}' needs two or more rising points in ocv.csv"
        raise row.error(column="curve", problem=problem)
    return CurveTable(
        curve=row.needed_text("curve"),
        cell=row.needed_text("cell"),
        family=row.choice("family", Family),
        method=row.needed_text("method"),
        use=row.needed_text("use"),
        basis=row.basis(),
        part_numbers=tuple(filter(None, row.text("part_numbers").split(";"))),
        source=row.needed_text("source"),
        soc=tuple(soc for soc, _ in points),
        voltage_v=tuple(voltage for _, voltage in points),
    )


@functools.cache
def family_rules() -> dict[Family, FamilyRule]:
    """Which curves stand for each family."""
    return {
        row.choice("family", Family): FamilyRule(
            curves_of=tuple(Family(each) for each in row.text("curves_of_families").split(";")),
            least_spread_v=row.needed("least_spread_v", low=0, high=0.5),
            basis=row.basis(),
            source=row.needed_text("source"),
        )
        for row in read_rows(table_path("chemistries/ocv_families.csv"), _RULES)
    }
