"""The 10 s resistance of a cell at half charge and 25 degC, from whatever its sheet gives.

In order of trust: a DC figure of the sheet; a typical 1 kHz impedance times the published ratio; a
maximum 1 kHz impedance times the ratio for maxima; else what cells of the table have that are like
it in rating, or in purpose and capacity.
"""

from __future__ import annotations

import functools
import math
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
"""Spread of a DC figure that has no tolerance beside it: LG prints 23 +-6 and 48 +-6 milliohm, 7 to
15 % as standard deviations, and the higher is taken."""
_USUAL_PULSES_S: Final = (1.0, 30.0)
"""Between which a pulse that is not printed is taken to lie: sheets that print one have 1 or 10 s,
published tests 2 s to minutes; own choice. [s]"""
_FEWEST_PEERS: Final = 10
"""Cells of a purpose below which the purpose is left aside: own choice."""


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
        pulse_s = cell.dc_resistance_pulse_s
        return TenSecondResistance(
            ohm=cell.dc_resistance_ohm / resistance_split().at(pulse_s or 10.0),
            spread_fraction=_figure_spread(cell),
            ac_ohm=typical_ac,
            basis=cell.basis_of("dc_resistance_ohm"),
            how=_how(cell),
        )
    if cell.ac_resistance_ohm is not None:
        return _from_ac(cell, typical_ac)
    return _from_peers(cell)


def _how(cell: Cell) -> str:
    """Say what DC figure was taken."""
    whose = "of the sheet" if cell.basis_of("dc_resistance_ohm") is Basis.DATASHEET else "published"
    pulse_s = cell.dc_resistance_pulse_s
    if pulse_s is None:
        return f"DC figure {whose}, pulse not printed: taken as 10 s"
    return f"DC figure {whose}, {pulse_s:g} s pulse"


def _figure_spread(cell: Cell) -> float:
    """Standard deviation of a DC figure brought to 10 s, as a fraction of it.

    A printed limit a on either side, with nothing said of what lies between, is a rectangular
    distribution of standard deviation a / sqrt(3) (JCGM 100:2008, GUM, 4.3.7); so is the resistance
    between the shortest and the longest usual pulse where the sheet is silent about its own.
    """
    ohm, tolerance_ohm = cell.dc_resistance_ohm, cell.dc_resistance_tolerance_ohm
    figure = _SHEET_SPREAD
    if ohm is not None and tolerance_ohm is not None:
        figure = tolerance_ohm / math.sqrt(3.0) / ohm
    if cell.dc_resistance_pulse_s is not None:
        return figure
    shortest, longest = (resistance_split().at(each) for each in _USUAL_PULSES_S)
    return math.hypot(figure, (longest - shortest) / 2.0 / math.sqrt(3.0))


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
    """Use what the cells of the table have in common: by rating, by purpose, or by size alone."""
    if cell.continuous_a is not None:
        law = _rating_law()
        found, like = law.ohm(cell), "with a like continuous rating"
        spread_fraction = law.spread_fraction
    else:
        of_purpose = _ohm_ah(cell.purpose, _has_low_voltage(cell))
        found = of_purpose.mid / cell.capacity_ah
        spread_fraction = of_purpose.relative_deviation
        like = f"for {cell.purpose} of a like capacity" if cell.purpose else "of a like capacity"
    return TenSecondResistance(
        ohm=found,
        spread_fraction=spread_fraction,
        ac_ohm=None,
        basis=Basis.ASSUMED,
        how=f"no resistance on the sheet: that of cells {like}",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _RatingLaw:
    """Resistance times capacity as a power of the continuous rate, over the shipped table."""

    power: float
    """Resistance times capacity falls so with the rate. [-]"""
    ohm_ah: tuple[float, float]
    """At a rate of 1C: layered oxides and the like, and the flat families. [ohm A h]"""
    spread_fraction: float
    """What is left over, one standard deviation. [-]"""

    def ohm(self, cell: Cell) -> float:
        """Give the 10 s resistance of a cell that has a rating. [ohm]"""
        rate = (cell.continuous_a or 0.0) / cell.capacity_ah
        level = self.ohm_ah[_has_low_voltage(cell)]
        return float(level * rate**self.power / cell.capacity_ah)


@functools.cache
def _rating_law() -> _RatingLaw:
    """Fit the law to every cell whose sheet has both a resistance and a rating.

    Least squares of the logarithms, one power for all and a level each for the flat families and
    the others. Leaving one cell out at a time, the others miss it by 40 % (standard deviation of
    the logarithm); with resistance in inverse proportion to the rating it is 52 %.
    """
    peers = [each for each in _with_resistance() if each.continuous_a is not None]
    is_flat = np.array([float(_has_low_voltage(each)) for each in peers])
    rate = np.array([(each.continuous_a or 0.0) / each.capacity_ah for each in peers])
    wanted = np.log([ten_second_resistance(each).ohm * each.capacity_ah for each in peers])
    terms = np.column_stack([1.0 - is_flat, is_flat, np.log(rate)])
    found, *_ = np.linalg.lstsq(terms, wanted, rcond=None)
    left = wanted - terms @ found
    return _RatingLaw(
        power=float(found[2]),
        ohm_ah=(float(np.exp(found[0])), float(np.exp(found[1]))),
        spread_fraction=float(np.sqrt(np.sum(left**2) / (len(peers) - terms.shape[1]))),
    )


@functools.cache
def _ohm_ah(purpose: str, has_low_voltage: bool) -> Band:
    """5 %, median and 95 % of resistance times capacity over cells of one purpose. [ohm A h]

    Cells for power and for energy are a factor of 2.5 apart. Where the table does not say, or has
    too few of a kind, all cells of the voltage class count.
    """
    of_class = [each for each in _with_resistance() if _has_low_voltage(each) == has_low_voltage]
    alike = [each for each in of_class if each.purpose == purpose and purpose]
    peers = alike if len(alike) >= _FEWEST_PEERS else of_class
    products = [ten_second_resistance(each).ohm * each.capacity_ah for each in peers]
    low, mid, high = np.quantile(products, [0.05, 0.5, 0.95])
    return Band(float(low), float(mid), float(high))


def _with_resistance() -> list[Cell]:
    return [each for each in load_cells() if each.dc_resistance_ohm or each.ac_resistance_ohm]


def _has_low_voltage(cell: Cell) -> bool:
    return cell.family in (Family.LFP, Family.LTO)
