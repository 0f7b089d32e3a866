"""The equivalent circuit of one cell, as both discharge engines solve it.

An open-circuit voltage over state of charge, an instant resistance, two RC elements, entropic heat
and a heat capacity. The instant resistance has an ohmic part and a charge-transfer part; the latter
falls with current as the Butler-Volmer equation says. Every part but the ohmic one rises toward
empty. Its level follows temperature as it was read at half charge; the rise is that of particles
running empty at their surface, and follows temperature as diffusion in them does. Everything that
depends on state of charge or temperature is tabulated on one even grid, so that a look-up is an
index and not a search.

How the figures are found from a datasheet is in :mod:`.datasheet_model`.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np
from scipy import constants

from packdesign.engineering.demand.profile import FloatArray
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "LEAST_TRANSFER_OHM",
    "OCV_NODES",
    "SOC_GRID",
    "TEMPERATURE_GRID_DEGC",
    "TRANSFER_SCALE",
    "CellModel",
    "ModelSpread",
    "asinh_share",
    "thermal_voltage_v",
]

SOC_GRID: Final[FloatArray] = np.linspace(0.0, 1.0, 401)
"""States of charge at which every table of a model stands. [-]"""
TEMPERATURE_GRID_DEGC: Final[FloatArray] = np.linspace(-30.0, 120.0, 151)
"""Cell temperatures at which every table of a model stands. [degC]"""

OCV_NODES: Final = (0.0, 0.1, 0.2, 0.4, 0.7, 1.0)
"""States of charge at which a log moves the open-circuit voltage, straight lines between: close
where published curves differ most, so that each is held by what the curves differ by there. [-]"""

TRANSFER_SCALE: Final = 4.0
"""Scale of charge transfer in units of RT/F: 2 for each of the two electrodes in series. [-]"""
LEAST_TRANSFER_OHM: Final = 1e-12
"""Charge transfer is held at this: no resistance is negative, whatever the tables. [ohm]"""
_LAST_SOC: Final = 0.05
_THERMAL_V_PER_K: Final = TRANSFER_SCALE * constants.R / (constants.N_A * constants.e)


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelSpread:
    """How far the parts of a model may be off: one standard deviation, as a fraction. [-]"""

    capacity_fraction: float
    resistance_fraction: float
    slow_resistance_fraction: float
    """The RC elements beyond what the instant resistance already shares with them."""
    cold_resistance_fraction: float
    """Further, at 0 degC; none at 25 degC, in proportion between."""
    heat_capacity_fraction: float
    ocv_v: FloatArray
    """Open-circuit voltage on ``SOC_GRID``, no fraction. [V]"""
    entropic_v_per_k: float
    """Its change with temperature, no fraction. [V/K]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class CellModel:
    """Parameters of one cell's equivalent circuit, at 25 degC and 50 % charge unless said."""

    name: str
    capacity_ah: float
    """From full to empty at low rate. [A h]"""
    ocv_v: FloatArray
    """Open-circuit voltage on ``SOC_GRID``. [V]"""
    entropic_v_per_k: FloatArray
    """Change of that voltage with temperature on ``SOC_GRID``. [V/K]"""
    ohmic_ohm: float
    """Instant resistance of foils, tabs, electrolyte. [ohm]"""
    charge_transfer_ohm: float
    """Instant resistance of the electrode surfaces at small current. [ohm]"""
    rc_ohm: tuple[float, float]
    """Resistance of the faster and the slower RC element. [ohm]"""
    rc_time_s: tuple[float, float]
    """Their time constants. [s]"""
    transfer_rise: FloatArray
    """What charge transfer adds to its level away from 50 % charge, relative to it, on
    ``SOC_GRID``. [-]"""
    fast_rise: FloatArray
    """The same of the faster RC resistance. [-]"""
    slow_rise: FloatArray
    """The same of the slower one, on top of ``slow_level``. [-]"""
    slow_level: float = 1.0
    """Share of the slower resistance at 50 % charge that belongs to the electrolyte. [-]"""
    ohmic_temperature_factor: FloatArray
    """Ohmic and faster RC resistance relative to 25 degC, on ``TEMPERATURE_GRID_DEGC``. [-]"""
    transfer_temperature_factor: FloatArray
    """Charge-transfer resistance relative to 25 degC, on ``TEMPERATURE_GRID_DEGC``. [-]"""
    solid_temperature_factor: FloatArray
    """Time of diffusion in the particles relative to 25 degC, on ``TEMPERATURE_GRID_DEGC``: every
    rise goes with it. [-]"""
    empty_soc: FloatArray
    """State of charge out of reach in the cold, on ``TEMPERATURE_GRID_DEGC``. [-]"""
    heat_capacity_j_per_k: float
    cutoff_v: float
    full_v: float
    discharge_max_degc: float
    ocv_shift_v: float = 0.0
    """Added to the open-circuit voltage everywhere; for bands and fits. [V]"""
    spread: ModelSpread
    basis: Basis
    bases: dict[str, str] = field(default_factory=dict)
    """Where each part comes from, in words."""

    def __post_init__(self) -> None:
        positive = {
            "capacity_ah": self.capacity_ah,
            "ohmic_ohm": self.ohmic_ohm,
            "rc_time_s": min(self.rc_time_s),
            "heat_capacity_j_per_k": self.heat_capacity_j_per_k,
        }
        for what, value in positive.items():
            if not value > 0:
                msg = f"{self.name}: {what} is {value}; it must be above 0"
                raise OutOfRangeError(msg)
        for what in ("ocv_v", "entropic_v_per_k", "transfer_rise", "fast_rise", "slow_rise"):
            if getattr(self, what).shape != SOC_GRID.shape:
                msg = f"{self.name}: {what} must stand on the {SOC_GRID.size} points of SOC_GRID"
                raise OutOfRangeError(msg)

    @property
    def full_slope_v(self) -> float:
        """Slope with which the open-circuit voltage goes on beyond full charge. [V]

        That of its last 5 %. Full is where a cell is when its sheet ends the charge; a smaller end
        current puts in a little more.
        """
        first = SOC_GRID.size - 1 - round(_LAST_SOC * (SOC_GRID.size - 1))
        return float((self.ocv_v[-1] - self.ocv_v[first]) / (1.0 - SOC_GRID[first]))

    def reach(self, *, soc: float, temperature_degc: float) -> float:
        """Share of the charge within reach at this temperature that is left. [-]

        Tables over state of charge are read at this figure, so that the whole curve is run through
        even where the cold keeps the last charge out of reach.

        Parameters
        ----------
        soc : float
            State of charge, 0 to 1. [-]
        temperature_degc : float
            Cell temperature. [degC]
        """
        empty = float(np.interp(temperature_degc, TEMPERATURE_GRID_DEGC, self.empty_soc))
        return (soc - empty) / (1.0 - empty)

    def ocv_at(self, soc: float, *, temperature_degc: float = 25.0) -> float:
        """Open-circuit voltage at a state of charge. [V]

        Parameters
        ----------
        soc : float
            State of charge, 0 to 1. [-]
        temperature_degc : float
            Cell temperature. [degC]
        """
        reach = self.reach(soc=soc, temperature_degc=temperature_degc)
        beyond_v = self.full_slope_v * max(reach - 1.0, 0.0)
        return float(np.interp(reach, SOC_GRID, self.ocv_v)) + beyond_v + self.ocv_shift_v

    def soc_at(self, ocv_v: float) -> float:
        """State of charge at a rested voltage. [-]

        Parameters
        ----------
        ocv_v : float
            Rested voltage. [V]
        """
        return float(np.interp(ocv_v - self.ocv_shift_v, self.ocv_v, SOC_GRID))

    def instant_ohm(self, *, soc: float, temperature_degc: float, current_a: float) -> float:
        """Instant resistance at one state of charge, temperature and cell current. [ohm]

        Parameters
        ----------
        soc : float
            State of charge, 0 to 1. [-]
        temperature_degc : float
            Cell temperature. [degC]
        current_a : float
            Current of the cell. [A]
        """
        ohmic = self._at_degc(self.ohmic_temperature_factor, temperature_degc)
        transfer = self.charge_transfer_ohm * (
            self._at_degc(self.transfer_temperature_factor, temperature_degc)
            + self._rise(self.transfer_rise, soc=soc, temperature_degc=temperature_degc)
        )
        transfer = max(transfer, LEAST_TRANSFER_OHM)
        reduced = transfer * abs(current_a) / float(thermal_voltage_v(temperature_degc))
        return self.ohmic_ohm * ohmic + transfer * float(asinh_share(np.asarray(reduced)))

    def _rise(self, table: FloatArray, *, soc: float, temperature_degc: float) -> float:
        """What a part of the resistance adds to its level, relative to 50 % charge, 25 degC. [-]"""
        reach = self.reach(soc=soc, temperature_degc=temperature_degc)
        solid = self._at_degc(self.solid_temperature_factor, temperature_degc)
        return float(np.interp(reach, SOC_GRID, table)) * solid

    @staticmethod
    def _at_degc(table: FloatArray, temperature_degc: float) -> float:
        return float(np.interp(temperature_degc, TEMPERATURE_GRID_DEGC, table))

    def rc_ohm_at(self, *, soc: float, temperature_degc: float) -> tuple[float, float]:
        """Resistance of the two RC elements at one state of charge and temperature. [ohm]

        Parameters
        ----------
        soc : float
            State of charge, 0 to 1. [-]
        temperature_degc : float
            Cell temperature. [degC]
        """
        ohmic = self._at_degc(self.ohmic_temperature_factor, temperature_degc)
        fast = self._rise(self.fast_rise, soc=soc, temperature_degc=temperature_degc)
        slow = self._rise(self.slow_rise, soc=soc, temperature_degc=temperature_degc)
        return (
            self.rc_ohm[0] * (ohmic + fast),
            self.rc_ohm[1] * (self.slow_level * ohmic + slow),
        )

    def rc_time_at(self, temperature_degc: float) -> tuple[float, float]:
        """Time constants of the two RC elements. [s]

        Parameters
        ----------
        temperature_degc : float
            Cell temperature. [degC]
        """
        ohmic = self._at_degc(self.ohmic_temperature_factor, temperature_degc)
        solid = self._at_degc(self.solid_temperature_factor, temperature_degc)
        slow = self.slow_level * ohmic + (1.0 - self.slow_level) * solid
        return self.rc_time_s[0], self.rc_time_s[1] * slow

    def pulse_ohm(
        self, *, soc: float, temperature_degc: float, current_a: float, pulse_s: float
    ) -> float:
        """Resistance as a pulse of this length reads it, drift of charge left out. [ohm]

        Parameters
        ----------
        soc : float
            State of charge, 0 to 1. [-]
        temperature_degc : float
            Cell temperature. [degC]
        current_a : float
            Height of the pulse. [A]
        pulse_s : float
            Length of the pulse. [s]
        """
        total = self.instant_ohm(soc=soc, temperature_degc=temperature_degc, current_a=current_a)
        slow = self.rc_ohm_at(soc=soc, temperature_degc=temperature_degc)
        for ohm, time_s in zip(slow, self.rc_time_at(temperature_degc), strict=True):
            total += ohm * (1.0 - float(np.exp(-pulse_s / time_s)))
        return total

    def aged(self, *, capacity_fraction: float, resistance_factor: float) -> CellModel:
        """Make the same cell after use: less capacity, more resistance.

        Parameters
        ----------
        capacity_fraction : float
            Capacity left, relative to new. [-]
        resistance_factor : float
            Every resistance relative to new. [-]
        """
        return replace(
            self,
            capacity_ah=self.capacity_ah * capacity_fraction,
            ohmic_ohm=self.ohmic_ohm * resistance_factor,
            charge_transfer_ohm=self.charge_transfer_ohm * resistance_factor,
            rc_ohm=(self.rc_ohm[0] * resistance_factor, self.rc_ohm[1] * resistance_factor),
        )


def thermal_voltage_v(temperature_degc: FloatArray | float) -> FloatArray:
    r"""Scale on which charge transfer stops being linear, :math:`4RT/F`. [V]

    Parameters
    ----------
    temperature_degc : float or array
        Temperature of the electrode. [degC]

    Notes
    -----
    The symmetric Butler-Volmer equation, :math:`I = 2 I_0 \sinh(F\eta/2RT)`, any text on
    electrochemistry, holds at each of the two electrodes. Both carry the same current and, which of
    them resists more being unknown from a sheet, are taken to share the drop equally. Published
    physics sets stand between this and one electrode alone.

    Examples
    --------
    >>> round(float(thermal_voltage_v(25.0)) * 1000, 1)
    102.8
    """
    kelvin = np.asarray(temperature_degc, dtype=float) + constants.zero_Celsius
    return np.asarray(_THERMAL_V_PER_K * kelvin)


def asinh_share(reduced: FloatArray) -> FloatArray:
    r"""Share of the small-current resistance that is left at a larger current. [-]

    Parameters
    ----------
    reduced : array
        Small-current drop over ``thermal_voltage_v``, 0 or more. [-]

    Notes
    -----
    :math:`\operatorname{asinh}(x)/x`, the symmetric Butler-Volmer equation solved for the drop.

    Examples
    --------
    >>> asinh_share(np.array([0.0, 1.0])).round(4).tolist()
    [1.0, 0.8814]
    """
    safe = np.maximum(reduced, 1e-9)
    return np.asarray(np.arcsinh(safe) / safe)
