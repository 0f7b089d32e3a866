"""How the resistance of a cell rises toward empty, and with what that rise goes.

Under a long load the charge at the surface of the particles runs ahead of their mean. What that
costs is the slope of the open-circuit voltage times the charge by which it runs ahead: little on a
plateau, much at the knee, where it ends a discharge early, the earlier the larger the current and
the colder the cell. The rest of the slow part (concentration in the electrolyte) does not follow
the slope. One published set of readings over charge says how the slow part divides. Whatever rises
toward empty, in the slow part and in the others, is taken to go with diffusion in the particles.
"""

from __future__ import annotations

import functools
from typing import Final

import numpy as np
from scipy import constants

from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Family
from packdesign.data.chemistries import load_chemistry, ocv_for
from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.cell_model import SOC_GRID, TEMPERATURE_GRID_DEGC

__all__ = [
    "half_charge_slope_v",
    "slope_share",
    "slope_v",
    "slow_rise",
    "solid_temperature_factor",
]

_WINDOW_SOC: Final = 0.05
"""Charge over which a slope is taken: about that by which the surface runs ahead at 1C. [-]"""
_READ_CELL: Final = "INR18650MJ1"
_READ_SLOW_OHM: Final = {0.0305: 0.0563, 0.0815: 0.0441, 0.1325: 0.0336, 0.5: 0.024}
"""Slow resistance over charge of that cell, pulses of 370 s at C/2 (public HPPC fit of LG
INR18650MJ1: the whole less the instant resistance). Below 5 % its curve is completed by that of its
family. [ohm]"""
_HALF: Final = 0.5
_SOLID_J_PER_MOL: Final = 27_650.0
"""Activation energy of diffusion in the particles: the mean of 30.3 kJ/mol for graphite and 25.0
for the layered oxide, both as in PyBaMM's parameter set OKane2022; also the median of what its sets
OKane2022, Ecker2015, Marquis2019 and ORegan2022 give (12 to 81). [J/mol]"""
_REFERENCE_DEGC: Final = 25.0


def slope_v(soc: FloatArray, ocv_v: FloatArray, *, at: FloatArray) -> FloatArray:
    """Slope of an open-circuit voltage, taken over 5 % of the charge. [V]

    Parameters
    ----------
    soc, ocv_v : array
        The curve, rising. Shape (n,). [-], [V]
    at : array
        Where; at the ends the window is cut. Shape (m,). [-]

    Returns
    -------
    array
        Change of the voltage with the whole charge. Shape (m,). [V]

    Examples
    --------
    >>> line = np.array([0.0, 1.0])
    >>> slope_v(line, 3.0 + line, at=np.array([0.0, 0.5])).round(6).tolist()
    [1.0, 1.0]
    """
    low = np.maximum(at - _WINDOW_SOC / 2, soc[0])
    high = np.minimum(at + _WINDOW_SOC / 2, soc[-1])
    rise = np.interp(high, soc, ocv_v) - np.interp(low, soc, ocv_v)
    return np.asarray(rise / (high - low))


@functools.cache
def half_charge_slope_v() -> float:
    """Slope at half charge of the cells whose resistance over time was read. [V]"""
    curve = load_chemistry(Family.NCA).ocv
    return float(slope_v(curve.soc, curve.voltage_v, at=np.array([_HALF]))[0])


@functools.cache
def slope_share() -> float:
    """Share of the slow resistance at half charge that follows the slope. [-]

    Notes
    -----
    Least squares of ``1 + share (slope / slope at half charge - 1)`` over the readings of one cell.
    """
    curve = ocv_for(load_cells().find(_READ_CELL))
    at = np.array(list(_READ_SLOW_OHM))
    slopes = slope_v(curve.soc, curve.voltage_v, at=at)
    half = list(at).index(_HALF)
    steeper = slopes / slopes[half] - 1.0
    more = np.array(list(_READ_SLOW_OHM.values())) / _READ_SLOW_OHM[_HALF] - 1.0
    return float(np.clip(np.dot(steeper, more) / np.dot(steeper, steeper), 0.0, 1.0))


@functools.cache
def solid_temperature_factor() -> FloatArray:
    """Time of diffusion in the particles over temperature, on ``TEMPERATURE_GRID_DEGC``. [-]"""
    kelvin = TEMPERATURE_GRID_DEGC + constants.zero_Celsius
    from_reference = 1.0 / kelvin - 1.0 / (_REFERENCE_DEGC + constants.zero_Celsius)
    return np.asarray(np.exp(_SOLID_J_PER_MOL / constants.R * from_reference))


def slow_rise(ocv_v: FloatArray, *, other_rise: FloatArray) -> FloatArray:
    """What the slow resistance has on top of the electrolyte's level, on ``SOC_GRID``. [-]

    Parameters
    ----------
    ocv_v : array
        Open-circuit voltage of the cell on ``SOC_GRID``. [V]
    other_rise : array
        What the part that does not follow the slope adds away from half charge, relative to itself,
        on ``SOC_GRID``. [-]

    Returns
    -------
    array
        Relative to the whole slow resistance of a layered-oxide cell at half charge.

    Notes
    -----
    The slope counts in volts, not relative to that of the same cell: a flat cell loses that part on
    its plateau.
    """
    share = slope_share()
    steep = slope_v(SOC_GRID, ocv_v, at=SOC_GRID) / half_charge_slope_v()
    return np.asarray((1.0 - share) * other_rise + share * steep)
