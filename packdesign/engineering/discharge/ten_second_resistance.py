"""The 10 s resistance of a cell at half charge and 25 degC, from whatever its sheet gives.

In order of trust: a DC figure of the sheet; a typical 1 kHz impedance times the published ratio; a
maximum 1 kHz impedance times the ratio for maxima; else what cells of the table with a like rating
have.
"""

from __future__ import annotations

import functools
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Cell, Family
from packdesign.data.chemistries import sheet_ratios
from packdesign.engineering.discharge.resistance_split import resistance_split
from packdesign.foundation.basis import Band, Basis

__all__ = ["TenSecondResistance", "ac_to_ten_seconds", "ten_second_resistance"]

_SHEET_SPREAD: Final = 0.15
"""Spread of a DC figure of the sheet: LG prints 23 +-6 and 48 +-6 milliohm, 8 to 16 % as standard
deviations."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TenSecondResistance:
    """The figure with its spread and where it comes from."""

    ohm: float
    spread_fraction: float
    """One standard deviation as a fraction. [-]"""
    ac_ohm: float | None
    """Typical 1 kHz impedance where the sheet prints one. [ohm]"""
    basis: Basis
    how: str


def ten_second_resistance(cell: Cell) -> TenSecondResistance:
    """Find the 10 s resistance of a cell, from its sheet or from cells of a like rating.

    Parameters
    ----------
    cell : Cell
        The cell.

    Returns
    -------
    TenSecondResistance
        At half charge and 25 degC.

    Examples
    --------
    >>> from packdesign.data.cell_table import load_cells
    >>> found = ten_second_resistance(load_cells().find("Molicel INR-21700-P42A"))
    >>> found.basis, 0.016 < found.ohm < 0.022
    (<Basis.DATASHEET: 'datasheet'>, True)
    """
    typical_ac = None if cell.ac_resistance_is_maximum else cell.ac_resistance_ohm
    if cell.dc_resistance_ohm is not None:
        pulse_s = cell.dc_resistance_pulse_s or 10.0
        return TenSecondResistance(
            ohm=cell.dc_resistance_ohm / resistance_split().at(pulse_s),
            spread_fraction=_SHEET_SPREAD,
            ac_ohm=typical_ac,
            basis=cell.basis_of("dc_resistance_ohm"),
            how=f"DC figure of the sheet, {pulse_s:g} s pulse",
        )
    if cell.ac_resistance_ohm is not None:
        return _from_ac(cell, typical_ac)
    return _from_peers(cell)


@functools.cache
def ac_to_ten_seconds(*, ac_is_maximum: bool) -> Band:
    """Lowest, median and highest 10 s resistance over 1 kHz impedance among the sheets. [-]

    Parameters
    ----------
    ac_is_maximum : bool
        Whether the impedance is one printed as a maximum.

    Notes
    -----
    A DC figure read on a shorter pulse is first brought to 10 s; where the sheet does not print the
    length, 10 s are taken.
    """
    ratios = [
        each.ratio / resistance_split().at(each.dc_pulse_s or 10.0)
        for each in sheet_ratios()
        if each.ac_is_maximum == ac_is_maximum
    ]
    return Band(min(ratios), float(np.median(ratios)), max(ratios))


def _from_ac(cell: Cell, typical_ac: float | None) -> TenSecondResistance:
    is_maximum = cell.ac_resistance_is_maximum
    ratio = ac_to_ten_seconds(ac_is_maximum=is_maximum)
    kind = "maximum" if is_maximum else "typical"
    factor = f"{ratio.mid:.2f} ({ratio.low:.2f} to {ratio.high:.2f})"
    return TenSecondResistance(
        ohm=(cell.ac_resistance_ohm or 0.0) * ratio.mid,
        spread_fraction=ratio.relative_deviation,
        ac_ohm=typical_ac,
        basis=Basis.PUBLISHED,
        how=f"{kind} 1 kHz impedance of the sheet times {factor}",
    )


def _from_peers(cell: Cell) -> TenSecondResistance:
    """Use the product of resistance and rating that cells of the table have in common."""
    if cell.continuous_a is not None:
        product = _peer_product("rating", cell.family in (Family.LFP, Family.LTO))
        return TenSecondResistance(
            ohm=product.mid / cell.continuous_a,
            spread_fraction=product.relative_deviation,
            ac_ohm=None,
            basis=Basis.ASSUMED,
            how="no resistance on the sheet: that of cells with a like continuous rating",
        )
    product = _peer_product("capacity", cell.family in (Family.LFP, Family.LTO))
    return TenSecondResistance(
        ohm=product.mid / cell.capacity_ah,
        spread_fraction=product.relative_deviation,
        ac_ohm=None,
        basis=Basis.ASSUMED,
        how="neither resistance nor rating on the sheet: that of cells of a like capacity",
    )


@functools.cache
def _peer_product(kind: str, low_voltage: bool) -> Band:
    """5 %, median and 95 % of resistance times rating (or capacity) over the shipped table."""
    size: Callable[[Cell], float | None] = (
        (lambda each: each.continuous_a) if kind == "rating" else (lambda each: each.capacity_ah)
    )
    products = [
        ten_second_resistance(each).ohm * (size(each) or 0.0)
        for each in load_cells()
        if (each.dc_resistance_ohm or each.ac_resistance_ohm)
        and size(each) is not None
        and (each.family in (Family.LFP, Family.LTO)) == low_voltage
    ]
    low, mid, high = np.quantile(products, [0.05, 0.5, 0.95])
    return Band(float(low), float(mid), float(high))
