"""How far the charge at the surface of the particles runs ahead of their mean.

Under a long load that costs the open-circuit voltage between the two: little on a plateau, much at
the knee, where it ends a discharge early, the earlier the larger the current and the colder the
cell. The rest of the slow part (concentration in the electrolyte) does not know the charge of the
electrodes. One published set of readings over charge says how the slow part divides. The lag, and
whatever else rises toward empty, follows temperature as the rise of ten whole cells does.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy import optimize

from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Family
from packdesign.data.chemistries import load_chemistry
from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.arrhenius import arrhenius_factor
from packdesign.engineering.discharge.nodes import TEMPERATURE_GRID_DEGC
from packdesign.engineering.discharge.open_circuit import extended_v
from packdesign.engineering.discharge.rise_temperature import rise_j_per_mol

__all__ = ["SlowDivision", "slow_division", "solid_temperature_factor"]

_READ_CELL: Final = "INR18650MJ1"
_READ_SLOW_OHM: Final = {0.0305: 0.0563, 0.0815: 0.0441, 0.1325: 0.0336, 0.5: 0.024}
"""Slow resistance over charge of that cell, pulses of 370 s at C/2 (public HPPC fit of LG
INR18650MJ1: the whole less the instant resistance). [ohm]"""
_READ_CRATE: Final = 0.5
_HALF: Final = 0.5
_FIRST_GUESS_PER_CRATE: Final = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class SlowDivision:
    """How the slow part of the resistance, as read at half charge, divides."""

    level: float
    """Share that belongs to the electrolyte. [-]"""
    lag_per_v: float
    """Charge by which the surface runs ahead for each volt that the whole slow part drops at half
    charge: a share of the whole charge. [1/V]"""


@functools.cache
def slow_division() -> SlowDivision:
    """Divide the slow part of the one cell that was read over charge.

    Notes
    -----
    Least squares of "electrolyte + open-circuit voltage between mean and surface, over the current"
    over the readings, the electrolyte being what is left at half charge. The curve is that of the
    family: the cell's own has a point every 5 %, and the surface runs ahead by 1 %.
    """
    cell = load_cells().find(_READ_CELL)
    curve = load_chemistry(Family.NCA).ocv
    at, read_ohm = np.array(list(_READ_SLOW_OHM)), np.array(list(_READ_SLOW_OHM.values()))
    current_a = _READ_CRATE * cell.capacity_ah
    half = list(_READ_SLOW_OHM).index(_HALF)

    def lag_ohm(per_crate: float) -> FloatArray:
        ahead = at - per_crate * _READ_CRATE
        apart_v = extended_v(curve.soc, curve.voltage_v, at=at) - extended_v(
            curve.soc, curve.voltage_v, at=ahead
        )
        return np.asarray(apart_v / current_a)

    def apart_ohm(x: FloatArray) -> FloatArray:
        found = lag_ohm(float(x[0]))
        return np.asarray(found - found[half] + read_ohm[half] - read_ohm)

    per_crate = float(optimize.least_squares(apart_ohm, [_FIRST_GUESS_PER_CRATE]).x[0])
    return SlowDivision(
        level=1.0 - float(lag_ohm(per_crate)[half]) / float(read_ohm[half]),
        lag_per_v=per_crate / (cell.capacity_ah * float(read_ohm[half])),
    )


@functools.cache
def solid_temperature_factor() -> FloatArray:
    """What rises toward empty over temperature, on ``TEMPERATURE_GRID_DEGC``. [-]"""
    return arrhenius_factor(rise_j_per_mol(), TEMPERATURE_GRID_DEGC)
