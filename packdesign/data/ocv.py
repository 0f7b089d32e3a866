"""Open-circuit voltage against state of charge: a cell's own curve, or the one of its family.

Full is 1, empty is 0 at the cut-off of the curve's own cell. The tables are
``chemistries/ocv_curves.csv`` (what each curve is), ``ocv.csv`` (its points) and
``ocv_families.csv`` (which curves stand for a family, and how far they may be off).
"""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from packdesign.data.cells import Cell, Family
from packdesign.data.ocv_tables import CurveTable, FamilyRule, curve_tables, family_rules
from packdesign.foundation.basis import Basis, weakest

__all__ = ["OcvCurve", "family_ocv", "ocv_for"]

FloatArray = NDArray[np.float64]

_GRID: FloatArray = np.array(
    [0, 0.02, *np.round(np.arange(0.05, 0.951, 0.05), 2), 0.98, 1.0], dtype=np.float64
)
_SAME_END_V = 0.02
_BLEND = re.compile(r"LCO\s*/\s*NMC|NMC\s*/\s*LCO", re.IGNORECASE)
_EXTRA_CHARGE_PER_V = 1.0
"""Charge gained above 4.2 V as a share of the whole, per volt [1/V]: the UR18650ZTA sheet prints
2700 mAh at 4.25 V and 3000 mAh at 4.35 V, 10 % for 0.1 V."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OcvCurve:
    """A curve with how far it may be off, and where it comes from."""

    name: str
    """The cell measured, or the family and the curves averaged."""
    is_own: bool
    """True where the curve is of this very part number."""
    soc: FloatArray
    """State of charge, rising from 0 to 1. [-]"""
    voltage_v: FloatArray
    """Open-circuit voltage at each ``soc``, rising. [V]"""
    spread_v: FloatArray
    """How far the curve may be off, one standard deviation at each ``soc``. [V]"""
    basis: Basis
    source: str

    def at(self, soc: float | FloatArray) -> FloatArray:
        """Open-circuit voltage by straight lines between the points. [V]

        Parameters
        ----------
        soc : float or array
            State of charge; held at 0 and 1 outside. [-]
        """
        return np.asarray(np.interp(soc, self.soc, self.voltage_v), dtype=np.float64)


@functools.cache
def family_ocv(family: Family) -> OcvCurve:
    """Mean of the curves that stand for a family, each counted where it has points.

    Parameters
    ----------
    family : Family
        The family.

    Returns
    -------
    OcvCurve
        Its spread is the standard deviation among the curves.

    Notes
    -----
    Cells built for power and for energy are not told apart: each measured curve is predicted as
    well by the mean of all others (39 mV RMS over seven cells) as by those of its kind (42 mV).

    Examples
    --------
    >>> round(float(family_ocv(Family.LFP).at(0.5)), 2)
    3.3
    """
    rule = family_rules()[family]
    used = [t for t in curve_tables() if t.use == "family" and t.family in rule.curves_of]
    curves = np.array([_on_grid(table) for table in used])
    cells = ", ".join(table.cell for table in used)
    return OcvCurve(
        name=f"{family.value} family: {cells}",
        is_own=False,
        soc=_GRID,
        voltage_v=np.maximum.accumulate(np.nanmean(curves, axis=0)),
        spread_v=np.maximum(_deviation_v(curves), rule.least_spread_v),
        basis=weakest(rule.basis, *(table.basis for table in used)),
        source="; ".join([rule.source, *dict.fromkeys(table.source for table in used)]),
    )


@functools.lru_cache(maxsize=1024)
def ocv_for(cell: Cell) -> OcvCurve:
    """Curve to use for one cell, saying which it is.

    Its own measured curve where the tables hold one; for a blend of LCO and NMC the mean of the two
    families; else the family's. A cell charged above its curve's end (4.35 V cells) gets the curve
    squeezed to make room for a straight end.

    Parameters
    ----------
    cell : Cell
        The cell.

    Returns
    -------
    OcvCurve
        The curve.

    Examples
    --------
    >>> from packdesign.data.cell_table import load_cells
    >>> curve = ocv_for(load_cells().find("Molicel INR-21700-P42A"))
    >>> curve.is_own, round(float(curve.at(0.5)), 3)
    (True, 3.742)
    """
    own = next((t for t in curve_tables() if cell.part_number in t.part_numbers), None)
    if own is not None:
        return _own_curve(own, family_ocv(cell.family), family_rules()[cell.family])
    if _BLEND.search(cell.chemistry):
        curve = _blend(family_ocv(Family.LCO), family_ocv(Family.NMC))
    else:
        curve = family_ocv(cell.family)
    if cell.family not in (Family.LFP, Family.LTO, Family.NA_ION):
        curve = _stretched(curve, full_v=cell.full_v)
    return curve


def _on_grid(table: CurveTable) -> FloatArray:
    """Voltage on the grid; no number where the curve has no points."""
    points = np.interp(_GRID, table.soc, table.voltage_v, left=np.nan, right=np.nan)
    return np.asarray(points, dtype=np.float64)


def _deviation_v(curves: FloatArray) -> FloatArray:
    """Sample standard deviation at each point of the grid; 0 for a curve alone."""
    if len(curves) == 1:
        return np.zeros(_GRID.size)
    return np.asarray(np.nanstd(curves, axis=0, ddof=1), dtype=np.float64)


def _own_curve(table: CurveTable, family: OcvCurve, rule: FamilyRule) -> OcvCurve:
    soc, voltage = np.array(table.soc), np.array(table.voltage_v)
    below, above = family.soc < soc[0] - 1e-9, family.soc > soc[-1] + 1e-9
    completed = bool(np.any(below) or np.any(above))
    full_soc = np.concatenate([family.soc[below], soc, family.soc[above]])
    full_v = np.concatenate([family.voltage_v[below], voltage, family.voltage_v[above]])
    if table.method == "model":
        spread = np.interp(
            full_soc, family.soc, np.maximum(family.spread_v, 2 * rule.least_spread_v)
        )
    else:
        inside = (full_soc >= soc[0]) & (full_soc <= soc[-1])
        outside = np.interp(full_soc, family.soc, family.spread_v)
        spread = np.where(inside, rule.least_spread_v, outside)
    note = "; where the curve has no points, the mean of the family" if completed else ""
    return OcvCurve(
        name=table.cell,
        is_own=True,
        soc=full_soc,
        voltage_v=np.maximum.accumulate(full_v),
        spread_v=np.asarray(spread, dtype=np.float64),
        basis=table.basis,
        source=f"{table.source} ({table.method}){note}",
    )


def _blend(first: OcvCurve, second: OcvCurve) -> OcvCurve:
    half_apart = np.abs(first.voltage_v - second.voltage_v) / 2
    return OcvCurve(
        name=f"mean of {first.name} and {second.name}",
        is_own=False,
        soc=first.soc,
        voltage_v=(first.voltage_v + second.voltage_v) / 2,
        spread_v=half_apart + np.maximum(first.spread_v, second.spread_v) / 2,
        basis=Basis.ASSUMED,
        source="A blend of LCO and NMC in unknown shares: halfway between the two, own choice; "
        f"{first.source}; {second.source}",
    )


def _stretched(curve: OcvCurve, *, full_v: float) -> OcvCurve:
    above_v = full_v - float(curve.voltage_v[-1])
    if above_v <= _SAME_END_V:
        return curve
    share = 1.0 - _EXTRA_CHARGE_PER_V * above_v
    return replace(
        curve,
        name=f"{curve.name}, carried on to {full_v:g} V",
        soc=np.append(curve.soc * share, 1.0),
        voltage_v=np.append(curve.voltage_v, full_v),
        spread_v=np.append(curve.spread_v, curve.spread_v[-1]),
        basis=Basis.ASSUMED,
        source=f"{curve.source}; carried on above its end in the proportion printed for UR18650ZTA",
    )
