"""How the rise of the resistance toward empty follows temperature, in readings of whole cells.

The rise at a charge is the resistance there less the resistance at half charge, at one temperature.
The rule was fixed before any figure was computed. Under pulses of 10 to 30 s the lag of the surface
is part of what rises, so both are given the one energy, though they are not the same: at the knee
of the open-circuit curve the rise grows faster than the lag, and a table that counts charge from
the capacity at each temperature hides part of it.
"""

from __future__ import annotations

import functools
import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy import constants

from packdesign.data.cells import Family
from packdesign.data.resistance_rise import (
    ResistancePart,
    RiseReading,
    SourceGrade,
    load_rise_readings,
)
from packdesign.engineering.demand.profile import FloatArray
from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "RISE_SOC",
    "CellGrid",
    "TemperatureFit",
    "cell_grids",
    "level_fits",
    "pooled_j_per_mol",
    "rise_fits",
    "rise_j_per_mol",
    "rise_spread_j_per_mol",
]

RISE_SOC: Final = (0.0, 0.15)
"""Least and greatest charge at which a rise counts; own choice. [-]"""
_COUNTED_DEGC: Final = (-20.0, 60.0)
_HALF: Final = 0.5
_QUARTILES_SD: Final = 1.349
"""Distance of the quartiles of a normal distribution, in standard deviations. [-]"""
_ABOUT_HALF: Final = (0.35, 0.65)
"""Charges between which half charge may be drawn; own choice. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class CellGrid:
    """One part of the resistance of one cell, as a table."""

    cell: str
    family: Family
    part: ResistancePart
    source_grade: SourceGrade
    capacity_ah: float
    temperature_degc: FloatArray
    """Shape (n,). [degC]"""
    soc: FloatArray
    """Shape (m,). [-]"""
    resistance_ohm: FloatArray
    """Shape (m, n). [ohm]"""

    def level_ohm(self) -> FloatArray:
        """Resistance at half charge, drawn between its neighbours if not read. Shape (n,). [ohm]"""
        near = (self.soc >= _ABOUT_HALF[0]) & (self.soc <= _ABOUT_HALF[1])
        return np.array(
            [np.interp(_HALF, self.soc[near], at) for at in self.resistance_ohm[near].T]
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class TemperatureFit:
    """Activation energy of one part of one cell."""

    cell: str
    family: Family
    source_grade: SourceGrade
    j_per_mol: float
    standard_error_j_per_mol: float | None
    """``None`` where as many constants were fitted as there are readings. [J/mol]"""
    scatter: float
    """Root mean square distance of the logarithms from the fit. [-]"""
    soc: tuple[float, ...]
    """Charges that count. [-]"""
    dropped_soc: tuple[float, ...]
    """Charges whose rise is not positive at each temperature. [-]"""


@functools.cache
def cell_grids(
    part: ResistancePart, *, degc: tuple[float, float] = _COUNTED_DEGC
) -> tuple[CellGrid, ...]:
    """Give one part of each cell that was read for it, in the order of the table.

    Parameters
    ----------
    part : ResistancePart
        Which; the total of a cell read in parts is their sum.
    degc : tuple of float
        Least and greatest temperature counted. [degC]
    """
    grids = []
    readings = [
        each for each in load_rise_readings() if degc[0] <= each.temperature_degc <= degc[1]
    ]
    for cell in dict.fromkeys(each.cell for each in readings):
        own = [each for each in readings if each.cell == cell]
        counted = [each for each in own if part is ResistancePart.TOTAL or each.part is part]
        if counted:
            grids.append(_grid(counted, part))
    return tuple(grids)


def rise_fits(
    part: ResistancePart,
    *,
    soc: tuple[float, float] = RISE_SOC,
    degc: tuple[float, float] = _COUNTED_DEGC,
) -> tuple[TemperatureFit, ...]:
    r"""Fit the rise of each cell over temperature.

    Parameters
    ----------
    part : ResistancePart
        Which part.
    soc : tuple of float
        Least and greatest charge. [-]
    degc : tuple of float
        Least and greatest temperature counted. [degC]

    Returns
    -------
    tuple of TemperatureFit
        One for each cell that has a charge whose rise is positive at each temperature.

    Notes
    -----
    .. math:: \ln r(s, T) = a_s + E / (R T)

    Least squares, one constant for each charge and one energy for all.
    """
    fits = []
    for grid in cell_grids(part, degc=degc):
        rise_ohm = grid.resistance_ohm - grid.level_ohm()
        asked = (grid.soc >= soc[0]) & (grid.soc <= soc[1])
        positive = asked & np.all(rise_ohm > 0, axis=1)
        if positive.any() and len(grid.temperature_degc) > 1:
            dropped = grid.soc[asked & ~positive]
            fits.append(_fit(grid, rise_ohm[positive], soc=grid.soc[positive], dropped=dropped))
    return tuple(fits)


def level_fits(
    part: ResistancePart, *, degc: tuple[float, float] = _COUNTED_DEGC
) -> tuple[TemperatureFit, ...]:
    """Fit the resistance at half charge of each cell over temperature, as ``rise_fits`` does.

    Parameters
    ----------
    part : ResistancePart
        Which part.
    degc : tuple of float
        Least and greatest temperature counted. [degC]
    """
    half, none = np.array([_HALF]), np.array([])
    return tuple(
        _fit(grid, grid.level_ohm()[np.newaxis], soc=half, dropped=none)
        for grid in cell_grids(part, degc=degc)
        if len(grid.temperature_degc) > 1
    )


def pooled_j_per_mol(fits: Sequence[TemperatureFit]) -> float:
    """Median over cells, each counting once. [J/mol]

    Parameters
    ----------
    fits : sequence of TemperatureFit
        One for each cell.

    Raises
    ------
    OutOfRangeError
        If there is none.
    """
    if not fits:
        msg = (
            "a median over cells needs one fit at least; got none: ask for a wider range of charge"
        )
        raise OutOfRangeError(msg)
    return statistics.median(each.j_per_mol for each in fits)


@functools.cache
def rise_j_per_mol() -> float:
    """Activation energy of what rises toward empty: the median layered-oxide cell. [J/mol]

    Notes
    -----
    The one cell of LFP was read with a larger energy and a large scatter; it does not count.
    """
    return pooled_j_per_mol(_layered())


@functools.cache
def rise_spread_j_per_mol() -> float:
    """Standard deviation of that energy from cell to cell, from their quartiles. [J/mol]"""
    low, _, high = statistics.quantiles((each.j_per_mol for each in _layered()), n=4)
    return (high - low) / _QUARTILES_SD


def _layered() -> list[TemperatureFit]:
    fits = rise_fits(ResistancePart.TOTAL)
    return [each for each in fits if each.family is not Family.LFP]


def _grid(readings: Sequence[RiseReading], part: ResistancePart) -> CellGrid:
    first = readings[0]
    at = sorted({each.soc_fraction for each in readings})
    degc = sorted({each.temperature_degc for each in readings})
    ohm = np.zeros((len(at), len(degc)))
    for each in readings:
        ohm[at.index(each.soc_fraction), degc.index(each.temperature_degc)] += each.resistance_ohm
    return CellGrid(
        cell=first.cell,
        family=first.family,
        part=part,
        source_grade=first.source_grade,
        capacity_ah=first.capacity_ah,
        temperature_degc=np.array(degc),
        soc=np.array(at),
        resistance_ohm=ohm,
    )


def _fit(
    grid: CellGrid, ohm: FloatArray, *, soc: FloatArray, dropped: FloatArray
) -> TemperatureFit:
    per_rt = 1.0 / (constants.R * (grid.temperature_degc + constants.zero_Celsius))
    apart = per_rt - per_rt.mean()
    logarithm = np.log(ohm)
    apart_logarithm = logarithm - logarithm.mean(axis=1, keepdims=True)
    spread = len(soc) * float(apart @ apart)
    energy = float((apart_logarithm @ apart).sum()) / spread
    squares = float(((apart_logarithm - energy * apart) ** 2).sum())
    freedom = ohm.size - len(soc) - 1
    return TemperatureFit(
        cell=grid.cell,
        family=grid.family,
        source_grade=grid.source_grade,
        j_per_mol=energy,
        standard_error_j_per_mol=(squares / freedom / spread) ** 0.5 if freedom else None,
        scatter=(squares / ohm.size) ** 0.5,
        soc=tuple(float(each) for each in soc),
        dropped_soc=tuple(float(each) for each in dropped),
    )
