"""Ageing at rest for a family: its law or its table, its band, and where that leaves the data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from packdesign.data.cells import Family
from packdesign.engineering.ageing.calendar_laws import (
    LONGEST_DAYS,
    capacity_nca_keil,
    capacity_nmc_schmalstieg,
    open_circuit_nmc_schmalstieg,
    resistance_nmc_schmalstieg,
)
from packdesign.engineering.ageing.estimate import AgeingEstimate
from packdesign.engineering.ageing.resistance_growth import resistance_from_capacity
from packdesign.foundation.basis import Band, Basis
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["Rest", "calendar_ageing"]

_LOSS_SPREAD: Final = (0.8, 1.6)
# Five published cell models at 25 degC, 50 %, 5 years lose 0.080 (NMC111), 0.082 (LFP), 0.087
# (NCA), 0.117 (NMC811) and 0.133 (NCA, silicon) of capacity: 0.8 to 1.6 times their family's law.
# Sources: runs of blast-lite 1.1.1 (BSD-3, PyPI 2026-06) on 2026-11-25.
_YEAR_DAYS: Final = 365.25
_LIMIT_DEGC: Final = (0.0, 50.0)

_LFP_DEGC: Final = (10.0, 25.0, 40.0)
_LFP_SOC: Final = (0.20, 0.50, 1.00)
_LFP_ONE_YEAR: Final = (
    (0.9914, 0.9825, 0.9683),
    (0.9771, 0.9617, 0.9400),
    (0.9618, 0.9401, 0.9110),
)
_LFP_FIVE_YEARS: Final = (
    (0.9768, 0.9607, 0.9396),
    (0.9428, 0.9180, 0.8893),
    (0.8949, 0.8629, 0.8282),
)
_LFP_SOURCE: Final = (
    "Murata 26650 3 Ah model of blast-lite 1.1.1 (BSD-3), storage runs of 2026-11-25; tested from "
    "20 to 40 degC"
)
_LCO_DEGC: Final = (0.0, 25.0, 40.0)
_LCO_40_PERCENT: Final = (0.98, 0.96, 0.85)
_LCO_FULL: Final = (0.94, 0.80, 0.65)
_LCO_SOURCE: Final = (
    "Battery University storage table, copies read 2026-11-25 (rule of thumb, pessimistic today); "
    "square root of time from Wang et al., J. Power Sources 269 (2014) 937"
)
_LTO_SOURCE: Final = (
    "H2020 GHOST project 2019-21 reports little effect of storage on LTO; runs of the LTO model of "
    "blast-lite 1.1.1 show none up to 40 degC in five years"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """How a pack lies when it is not used."""

    temperature_degc: float
    """Cell temperature. [degC]"""
    soc: float
    """State of charge. [-]"""
    days: float
    """How long. [day]"""

    def __post_init__(self) -> None:
        if not 0 <= self.soc <= 1:
            msg = f"the state of charge at rest is {self.soc}; it must lie from 0 to 1"
            raise OutOfRangeError(msg)
        if not _LIMIT_DEGC[0] <= self.temperature_degc <= _LIMIT_DEGC[1]:
            msg = (
                f"the storage temperature is {self.temperature_degc} degC; ageing at rest is known "
                f"from {_LIMIT_DEGC[0]:g} to {_LIMIT_DEGC[1]:g} degC only"
            )
            raise OutOfRangeError(msg)
        if not 0 <= self.days <= LONGEST_DAYS:
            msg = f"the time at rest is {self.days} days; 0 to {LONGEST_DAYS:.0f} can be estimated"
            raise OutOfRangeError(msg)


def calendar_ageing(family: Family, rest: Rest) -> AgeingEstimate:
    """Estimate what rest alone takes from a cell of a family.

    Parameters
    ----------
    family : Family
        Chemistry family.
    rest : Rest
        Temperature, charge and time.

    Returns
    -------
    AgeingEstimate
        Unknown (None) for LMO and Na-ion, for which nothing usable was found.

    Notes
    -----
    NMC: Schmalstieg 2014. NCA: fit to Keil 2016. LFP, LCO, LTO: tables. The band is the spread
    between published models of different cells, not the scatter of one law.

    Examples
    --------
    >>> rest = Rest(temperature_degc=25, soc=0.5, days=1825)
    >>> round(calendar_ageing(Family.NCA, rest).capacity_fraction.mid, 3)
    0.913
    """
    estimator = {
        Family.NMC: _nmc,
        Family.NCA: _nca,
        Family.LFP: _lfp,
        Family.LCO: _lco,
        Family.LTO: _lto,
    }.get(family)
    if estimator is None:
        return AgeingEstimate(
            capacity_fraction=None,
            resistance_ratio=None,
            basis=Basis.ASSUMED,
            source="",
            cautions=(f"no published ageing at rest was found for {family.value}",),
        )
    return estimator(rest)


def _banded(capacity: float) -> Band:
    loss = 1.0 - capacity
    return Band(max(0.0, 1.0 - loss * _LOSS_SPREAD[1]), capacity, 1.0 - loss * _LOSS_SPREAD[0])


def _cautions(rest: Rest, *, tested_degc: tuple[float, float]) -> tuple[str, ...]:
    found = []
    if not tested_degc[0] <= rest.temperature_degc <= tested_degc[1]:
        found.append(
            f"{rest.temperature_degc:g} degC is outside the tests behind the estimate "
            f"({tested_degc[0]:g} to {tested_degc[1]:g} degC)"
        )
    if rest.days > 3 * _YEAR_DAYS:
        found.append("beyond three years the estimate runs ahead of its data")
    return tuple(found)


def _nmc(rest: Rest) -> AgeingEstimate:
    volts = open_circuit_nmc_schmalstieg(soc=rest.soc)
    capacity = capacity_nmc_schmalstieg(
        temperature_degc=rest.temperature_degc, open_circuit_v=volts, days=rest.days
    )
    ratio = resistance_nmc_schmalstieg(
        temperature_degc=rest.temperature_degc, open_circuit_v=volts, days=rest.days
    )
    growth = ratio - 1.0
    return AgeingEstimate(
        capacity_fraction=_banded(capacity),
        resistance_ratio=Band(
            1 + growth * _LOSS_SPREAD[0], 1 + growth, 1 + growth * _LOSS_SPREAD[1]
        ),
        basis=Basis.PUBLISHED,
        source="Schmalstieg et al., J. Power Sources 257 (2014) 325, NMC111 18650",
        cautions=_cautions(rest, tested_degc=(20, 40)),
    )


def _nca(rest: Rest) -> AgeingEstimate:
    capacity = capacity_nca_keil(
        temperature_degc=rest.temperature_degc, soc=rest.soc, days=rest.days
    )
    return _with_growth(
        capacity,
        family=Family.NCA,
        source="fit to Keil et al., J. Electrochem. Soc. 163 (2016) A1872, NCA 18650",
        cautions=_cautions(rest, tested_degc=(15, 35)),
    )


def _with_growth(
    capacity: float, *, family: Family, source: str, cautions: tuple[str, ...]
) -> AgeingEstimate:
    band = _banded(capacity)
    growth = resistance_from_capacity(family, band)
    return AgeingEstimate(
        capacity_fraction=band,
        resistance_ratio=growth,
        basis=Basis.PUBLISHED,
        source=source,
        cautions=cautions,
    )


def _lfp(rest: Rest) -> AgeingEstimate:
    """Table of one and five years, a power of time between and beyond them."""
    one = _on_grid(_LFP_ONE_YEAR, rest)
    five = _on_grid(_LFP_FIVE_YEARS, rest)
    power = np.log(five / one) / np.log(5.0)
    years = rest.days / _YEAR_DAYS
    loss = float(one * years**power) if years > 0 else 0.0
    return _with_growth(
        max(0.0, 1.0 - loss),
        family=Family.LFP,
        source=_LFP_SOURCE,
        cautions=_cautions(rest, tested_degc=(20, 40)),
    )


def _on_grid(table: tuple[tuple[float, ...], ...], rest: Rest) -> float:
    """Loss at a charge and temperature; beyond the grid the temperature at its edge is taken."""
    by_degc = [float(np.interp(rest.soc, _LFP_SOC, row)) for row in table]
    return 1.0 - float(np.interp(rest.temperature_degc, _LFP_DEGC, by_degc))


def _lco(rest: Rest) -> AgeingEstimate:
    stored = float(np.interp(rest.temperature_degc, _LCO_DEGC, _LCO_40_PERCENT))
    full = float(np.interp(rest.temperature_degc, _LCO_DEGC, _LCO_FULL))
    one_year = 1.0 - float(np.interp(rest.soc, (0.40, 1.00), (stored, full)))
    loss = one_year * float(np.sqrt(rest.days / _YEAR_DAYS))
    return _with_growth(
        max(0.0, 1.0 - loss),
        family=Family.LCO,
        source=_LCO_SOURCE,
        cautions=_cautions(rest, tested_degc=(0, 40)),
    )


def _lto(rest: Rest) -> AgeingEstimate:
    return AgeingEstimate(
        capacity_fraction=Band(0.97, 1.0, 1.0),  # 3 % for want of a figure: assumed
        resistance_ratio=None,
        basis=Basis.ASSUMED,
        source=_LTO_SOURCE,
        cautions=_cautions(rest, tested_degc=(10, 40)),
    )
