"""What is known of a family of cells beyond the sheet of any one of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from packdesign.data.cells import Family
from packdesign.data.ocv import OcvCurve
from packdesign.foundation.basis import Band, Basis

__all__ = ["CapacityAtRate", "Chemistry", "FamilyLimits", "PulseRatios", "RatioTable", "SheetRatio"]

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RatioTable:
    """A ratio against one quantity, with its low and high; held constant outside the table."""

    at: FloatArray
    """The quantity, rising: temperature [degC] or state of charge [-]."""
    low: FloatArray
    mid: FloatArray
    high: FloatArray
    basis: Basis
    source: str

    def band(self, value: float) -> Band:
        """Ratio at one value of the quantity, by straight lines between the rows. [-]"""
        low, mid, high = (
            float(np.interp(value, self.at, y)) for y in (self.low, self.mid, self.high)
        )
        return Band(low, mid, high)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PulseRatios:
    """Resistance against the length of the pulse, as a ratio to its value at 10 s."""

    pulse_s: FloatArray
    """Pulse lengths, rising. [s]"""
    temperature_degc: FloatArray
    """Temperatures, rising. [degC]"""
    ratio: FloatArray
    """Shape (temperatures, pulses). [-]"""
    basis: Basis
    source: str

    def at(self, *, pulse_s: float, temperature_degc: float) -> float:
        """Ratio at one length and temperature; straight in the logarithm of the length. [-]

        Parameters
        ----------
        pulse_s : float
            Length, held within the table. [s]
        temperature_degc : float
            Temperature, held within the table. [degC]
        """
        along = [np.interp(np.log(pulse_s), np.log(self.pulse_s), row) for row in self.ratio]
        return float(np.interp(temperature_degc, self.temperature_degc, along))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CapacityAtRate:
    """Share of the 25 degC capacity that one rate gets out, against temperature."""

    c_rate: float
    """Current as a multiple of the capacity per hour. [1/h]"""
    temperature_degc: FloatArray
    fraction: FloatArray
    basis: Basis
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetRatio:
    """DC resistance over 1 kHz impedance, both of one sheet."""

    ratio: float
    """DC over AC, as printed. [-]"""
    ac_is_maximum: bool
    """True where the impedance is printed as a maximum."""
    dc_pulse_s: float | None
    """Length of the DC pulse; ``None`` where not printed. [s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class FamilyLimits:
    """Usual window of a family, and the limits outside it. A cell's own sheet comes first."""

    full_v: float
    nominal_v: float
    cutoff_v: float
    floor_v: float | None
    """Below this a cell is never charged again; ``None`` where no figure was found. [V]"""
    storage_low_soc: float
    storage_high_soc: float
    basis: Basis
    source: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Chemistry:
    """All tables of one family."""

    family: Family
    ocv: OcvCurve
    """The family's curve; :func:`packdesign.data.ocv.ocv_for` gives the one of a cell."""
    resistance_temperature: RatioTable
    """Ratio of resistance to its value at 25 degC. [-]"""
    resistance_soc: RatioTable
    """Ratio of resistance to its value at half charge. [-]"""
    resistance_pulse: PulseRatios
    """Ratio of resistance to its value at 10 s. [-]"""
    ac_to_dc_ratio: Band
    """DC resistance over a typical 1 kHz impedance of the same sheet. [-]"""
    ac_maximum_to_dc_ratio: Band
    """DC resistance over a 1 kHz impedance printed as a maximum. [-]"""
    entropic_soc: FloatArray
    entropic_v_per_k: FloatArray
    """Change of open-circuit voltage with temperature at each ``entropic_soc``. [V/K]"""
    entropic_spread_v_per_k: FloatArray
    entropic_basis: Basis
    entropic_source: str
    specific_heat_j_per_kg_k: Band
    specific_heat_basis: Basis
    specific_heat_source: str
    capacity: tuple[CapacityAtRate, ...]
    """Capacity against temperature, lowest rate first."""
    limits: FamilyLimits

    @property
    def ocv_soc(self) -> FloatArray:
        """State of charge of the family's curve. [-]"""
        return self.ocv.soc

    @property
    def ocv_v(self) -> FloatArray:
        """Open-circuit voltage at each ``ocv_soc``. [V]"""
        return self.ocv.voltage_v

    @property
    def ocv_spread_v(self) -> FloatArray:
        """How far the curve may be off at each ``ocv_soc``. [V]"""
        return self.ocv.spread_v

    @property
    def resistance_temperature_degc(self) -> FloatArray:
        """Temperatures of ``resistance_temperature_ratio``. [degC]"""
        return self.resistance_temperature.at

    @property
    def resistance_temperature_ratio(self) -> FloatArray:
        """Ratio of resistance to 25 degC. [-]"""
        return self.resistance_temperature.mid

    @property
    def resistance_soc_fraction(self) -> FloatArray:
        """States of charge of ``resistance_soc_ratio``. [-]"""
        return self.resistance_soc.at

    @property
    def resistance_soc_ratio(self) -> FloatArray:
        """Ratio of resistance to half charge. [-]"""
        return self.resistance_soc.mid

    def capacity_fraction(self, *, temperature_degc: float, c_rate: float) -> float:
        """Share of the 25 degC capacity at one temperature and rate, within the tables. [-]

        Parameters
        ----------
        temperature_degc : float
            Cell temperature. [degC]
        c_rate : float
            Current as a multiple of the capacity per hour. [1/h]
        """
        rates = [each.c_rate for each in self.capacity]
        shares = [
            float(np.interp(temperature_degc, each.temperature_degc, each.fraction))
            for each in self.capacity
        ]
        return float(np.interp(c_rate, rates, shares))
