"""Factors on cycle life: how deep, to what voltage, how fast a charge; as published tables."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from packdesign.data.cells import Family
from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "COBALT_LIKE",
    "FASTEST_TABLED_CRATE",
    "SLOWEST_TABLED_CRATE",
    "VoltageTrade",
    "charge_rate_loss_factor",
    "charge_voltage_trade",
    "depth_loss_factor",
    "scaled_charge_voltage",
]

_DEPTH: Final = (0.10, 0.25, 0.50, 1.00)
_DEPTH_CYCLES: Final = (4225.0, 2250.0, 1350.0, 400.0)
# Middles of 3750-4700, 2000-2500, 1200-1500 and 300-500 cycles: Battery University, copy.
_VOLTS: Final = (3.92, 4.00, 4.10, 4.20, 4.25, 4.30)
_VOLT_CYCLES: Final = (3200.0, 1600.0, 800.0, 400.0, 275.0, 200.0)
_VOLT_CAPACITY: Final = (0.58, 0.72, 0.86, 1.00, 1.05, 1.10)
# Middles of Battery University BU-808 table 4, copies; 4.30 V: lower end of 110 to 115 %.
_NMC_RATE: Final = ((1.0, 1.2, 1.5), (7.0, 10.0, 23.0))
_LFP_RATE: Final = ((1.0, 4.0), (15.0, 17.0))
# Percent lost after 300 (NMC 18650) and 4000 (LFP) cycles at charge rates: Findings review table.
COBALT_LIKE: Final = frozenset({Family.NMC, Family.NCA, Family.LCO})
"""Families that take the tables of 4.2 V cobalt types."""
SLOWEST_TABLED_CRATE: Final = min(_NMC_RATE[0][0], _LFP_RATE[0][0])
"""First charge rate of the tables; below it no difference is known. [1/h]"""
FASTEST_TABLED_CRATE: Final = {Family.NMC: _NMC_RATE[0][-1], Family.LFP: _LFP_RATE[0][-1]}
"""Last charge rate of each table; beyond it a factor is surely too kind. [1/h]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class VoltageTrade:
    """What a lower or higher charge voltage gives and takes."""

    cycle_factor: float
    """Cycles over those at 4.20 V. [-]"""
    capacity_fraction: float
    """Capacity over that at 4.20 V. [-]"""


def scaled_charge_voltage(*, charge_v: float, full_v: float) -> float:
    """Charge voltage on the scale of the 4.20 V table, held at the ends of the table. [V]

    Parameters
    ----------
    charge_v : float
        Charge voltage per cell. [V]
    full_v : float
        Charge voltage of the cell's sheet. [V]

    Notes
    -----
    What lies below the voltage of the sheet counts as if below 4.20 V: our assumption for cells of
    4.35 or 4.40 V. A voltage beyond the table takes the table's end and is credited no more.

    Examples
    --------
    >>> scaled_charge_voltage(charge_v=4.25, full_v=4.35)
    4.1
    """
    return min(max(round(4.20 + charge_v - full_v, 6), _VOLTS[0]), _VOLTS[-1])


def charge_voltage_trade(*, charge_v: float) -> VoltageTrade:
    """Cycles and capacity against the charge voltage of a 4.20 V cell.

    Parameters
    ----------
    charge_v : float
        Charge voltage per cell. [V]

    Returns
    -------
    VoltageTrade
        Both relative to 4.20 V.

    Raises
    ------
    OutOfRangeError
        Outside 3.92 to 4.30 V.

    Notes
    -----
    Battery University BU-808 table 4 (copies read 2026-11-25): 4.30 V 150-250 cycles, 4.25 200-350,
    4.20 300-500, 4.10 600-1000, 4.00 1200-2000, 3.92 2400-4000. A rule of thumb for cobalt types.

    Examples
    --------
    >>> charge_voltage_trade(charge_v=4.10)
    VoltageTrade(cycle_factor=2.0, capacity_fraction=0.86)
    """
    if not _VOLTS[0] <= charge_v <= _VOLTS[-1]:
        msg = f"{charge_v} V is outside the published table, {_VOLTS[0]} to {_VOLTS[-1]} V"
        raise OutOfRangeError(msg)
    cycles = float(np.exp(np.interp(charge_v, _VOLTS, np.log(_VOLT_CYCLES))))
    return VoltageTrade(
        cycle_factor=round(cycles / 400.0, 6),
        capacity_fraction=float(np.interp(charge_v, _VOLTS, _VOLT_CAPACITY)),
    )


def depth_loss_factor(*, depth_fraction: float) -> float:
    """Loss of one cycle of a depth over that of a full cycle. [-]

    Parameters
    ----------
    depth_fraction : float
        Share of the capacity used. [-]

    Raises
    ------
    OutOfRangeError
        If the depth is not above 0 up to 1.

    Notes
    -----
    Battery University (copy read 2026-11-25): 300-500 cycles at 100 % depth, 1200-1500 at 50,
    2000-2500 at 25, 3750-4700 at 10; below 10 % in proportion.

    Examples
    --------
    >>> round(depth_loss_factor(depth_fraction=0.5), 3)
    0.296
    """
    if not 0 < depth_fraction <= 1:
        msg = f"the depth is {depth_fraction}; it must be above 0 up to 1"
        raise OutOfRangeError(msg)
    least = _DEPTH[0]
    inside = max(depth_fraction, least)
    cycles = float(np.exp(np.interp(np.log(inside), np.log(_DEPTH), np.log(_DEPTH_CYCLES))))
    return _DEPTH_CYCLES[-1] / cycles * min(1.0, depth_fraction / least)


def charge_rate_loss_factor(family: Family, *, charge_crate: float) -> float:
    """Loss at a charge rate over that at 1C or less. [-]

    Parameters
    ----------
    family : Family
        Chemistry family.
    charge_crate : float
        Charge current per capacity. [1/h]

    Notes
    -----
    NMC 18650: 7 % lost at 1C, 10 % at 1.2C, 23 % at 1.5C after 300 cycles; LFP: 15 % at 1C and
    17 % at 4C after 4000 (Findings review table, undated). Below 1C nothing is credited; above the
    last rate the last factor stays and is surely too kind. NCA and LCO are given the NMC row.

    Examples
    --------
    >>> round(charge_rate_loss_factor(Family.NMC, charge_crate=1.5), 2)
    3.29
    """
    if family in COBALT_LIKE:
        return float(np.interp(charge_crate, *_NMC_RATE)) / _NMC_RATE[1][0]
    if family is Family.LFP:
        return float(np.interp(charge_crate, *_LFP_RATE)) / _LFP_RATE[1][0]
    return 1.0
