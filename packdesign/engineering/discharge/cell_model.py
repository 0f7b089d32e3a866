"""The equivalent circuit of one cell, as both discharge engines solve it.

An open-circuit voltage over the charge at the surface of the particles, an instant resistance, two
RC elements, entropic heat and a heat capacity. Under load the charge at the surface runs ahead of
its mean, by an amount that settles as an RC element does: the circuit with diffusion of Fan et al.
(Applied Energy 2022), reduced to one time constant. So a discharge ends when the surface is empty,
the earlier the larger the current and the colder the cell.

The instant resistance has an ohmic part and a charge-transfer part; the latter falls with current
as the Butler-Volmer equation says. Every part but the ohmic one rises as the surface runs empty.
Levels follow temperature as they were read at half charge; rise and lag follow it as the rise of
whole cells was read. Everything that depends on state of charge or temperature is tabulated on one
even grid, so that a look-up is an index and not a search.

How the figures are found from a datasheet is in :mod:`.datasheet_model`.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.charge_transfer import (
    LEAST_TRANSFER_OHM,
    asinh_share,
    thermal_voltage_v,
)
from packdesign.engineering.discharge.model_spread import ModelSpread
from packdesign.engineering.discharge.nodes import SOC_GRID, TEMPERATURE_GRID_DEGC
from packdesign.engineering.discharge.open_circuit import extended_v
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["CellModel"]

_SLOPE_SOC: Final = 0.01
"""Charge over which the slope for a small load is taken. [-]"""
_CHORD_SOC: Final = 0.02
"""To either side of a charge, over which a meter's reading is turned into charge. [-]"""
_LEAST_PULSE_A: Final = 1e-3
"""A smaller pulse reads what this one does. [A]"""


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
    rc_rise: FloatArray
    """The same of both RC resistances. [-]"""
    lag_per_a: float
    """Charge by which the surface of the particles runs ahead of the mean in the end, for each
    ampere of a cell: a share of the whole. [1/A]"""
    lag_time_s: float
    """Time constant with which it does. [s]"""
    ohmic_temperature_factor: FloatArray
    """Ohmic resistance relative to 25 degC, on ``TEMPERATURE_GRID_DEGC``. [-]"""
    rc_temperature_factor: FloatArray
    """RC resistances and the slower time constant relative to 25 degC, on
    ``TEMPERATURE_GRID_DEGC``. [-]"""
    transfer_temperature_factor: FloatArray
    """Charge-transfer resistance relative to 25 degC, on ``TEMPERATURE_GRID_DEGC``. [-]"""
    solid_temperature_factor: FloatArray
    """Lag, its time constant and every rise relative to 25 degC, on ``TEMPERATURE_GRID_DEGC``.
    [-]"""
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
            "lag_time_s": self.lag_time_s,
            "heat_capacity_j_per_k": self.heat_capacity_j_per_k,
        }
        for what, value in positive.items():
            if not value > 0:
                msg = f"{self.name}: {what} is {value}; it must be above 0"
                raise OutOfRangeError(msg)
        for what in ("ocv_v", "entropic_v_per_k", "transfer_rise", "rc_rise"):
            if getattr(self, what).shape != SOC_GRID.shape:
                msg = f"{self.name}: {what} must stand on the {SOC_GRID.size} points of SOC_GRID"
                raise OutOfRangeError(msg)

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
        empty = self._at_degc(self.empty_soc, temperature_degc)
        return (soc - empty) / (1.0 - empty)

    def ocv_at(self, soc: float, *, temperature_degc: float = 25.0) -> float:
        """Open-circuit voltage at a state of charge. [V]

        Parameters
        ----------
        soc : float
            State of charge, 0 to 1. Beyond full the curve goes on with its slope; below what the
            cold leaves within reach it stays at its end. [-]
        temperature_degc : float
            Cell temperature. [degC]
        """
        reach = max(self.reach(soc=soc, temperature_degc=temperature_degc), 0.0)
        return self._open_v(reach)

    def _open_v(self, reach: float) -> float:
        open_v = extended_v(SOC_GRID, self.ocv_v, at=np.asarray(reach))
        return float(open_v) + self.ocv_shift_v

    def soc_within_reach(self, share: float, *, temperature_degc: float) -> float:
        """State of charge at which this share of the charge within reach is left. [-]

        Parameters
        ----------
        share : float
            Of what the cold leaves within reach. [-]
        temperature_degc : float
            Cell temperature. [degC]
        """
        empty = self._at_degc(self.empty_soc, temperature_degc)
        return empty + share * (1.0 - empty)

    def soc_at(self, ocv_v: float) -> float:
        """State of charge at a rested voltage. [-]

        Parameters
        ----------
        ocv_v : float
            Rested voltage. [V]
        """
        return float(np.interp(ocv_v - self.ocv_shift_v, self.ocv_v, SOC_GRID))

    def slope_v(self, soc: float) -> float:
        """Slope of the open-circuit voltage around a state of charge, over the whole charge. [V]

        Parameters
        ----------
        soc : float
            State of charge, 0 to 1, of what is within reach. [-]
        """
        low, high = max(soc - _CHORD_SOC, 0.0), min(soc + _CHORD_SOC, 1.0)
        low_v, high_v = np.interp([low, high], SOC_GRID, self.ocv_v)
        return float(high_v - low_v) / (high - low)

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

    def relaxing_at(
        self, *, soc: float, temperature_degc: float
    ) -> tuple[tuple[float, float], ...]:
        """What grows under a lasting small load: both RC elements, and the lag of the surface.

        Parameters
        ----------
        soc : float
            State of charge, 0 to 1. [-]
        temperature_degc : float
            Cell temperature. [degC]

        Returns
        -------
        tuple of tuple of float
            Resistance [ohm] and time constant [s] of each.
        """
        level = self._at_degc(self.rc_temperature_factor, temperature_degc)
        factor = level + self._rise(self.rc_rise, soc=soc, temperature_degc=temperature_degc)
        lag_per_a, lag_time_s = self._lag_at(temperature_degc)
        reach, share = self._held_reach(soc, temperature_degc)
        half = _SLOPE_SOC / 2 / share
        low_v, high_v = self._open_v(reach - half), self._open_v(reach + half)
        return (
            (self.rc_ohm[0] * factor, self.rc_time_s[0]),
            (self.rc_ohm[1] * factor, self.rc_time_s[1] * level),
            (lag_per_a * (high_v - low_v) / _SLOPE_SOC, lag_time_s),
        )

    def _held_reach(self, soc: float, temperature_degc: float) -> tuple[float, float]:
        """Reach, at least 0, and the share of the charge that is within reach. [-]"""
        empty = self._at_degc(self.empty_soc, temperature_degc)
        return max((soc - empty) / (1.0 - empty), 0.0), 1.0 - empty

    def _lag_at(self, temperature_degc: float) -> tuple[float, float]:
        """Lag of the surface [1/A] and its time constant [s] at a temperature."""
        solid = self._at_degc(self.solid_temperature_factor, temperature_degc)
        return self.lag_per_a * solid, self.lag_time_s * solid

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
        rc_elements = self.relaxing_at(soc=soc, temperature_degc=temperature_degc)[:2]
        for ohm, time_s in rc_elements:
            total += ohm * (1.0 - float(np.exp(-pulse_s / time_s)))
        lag_per_a, lag_time_s = self._lag_at(temperature_degc)
        height_a = max(abs(current_a), _LEAST_PULSE_A)
        lag = lag_per_a * height_a * (1.0 - float(np.exp(-pulse_s / lag_time_s)))
        reach, share = self._held_reach(soc, temperature_degc)
        return total + (self._open_v(reach) - self._open_v(reach - lag / share)) / height_a

    def slower(self, factor: float) -> CellModel:
        """Make the same cell with RC elements and lag so many times as large.

        Parameters
        ----------
        factor : float
            Relative to this one. [-]
        """
        return replace(
            self,
            rc_ohm=(self.rc_ohm[0] * factor, self.rc_ohm[1] * factor),
            lag_per_a=self.lag_per_a * factor,
        )

    def aged(self, *, capacity_fraction: float, resistance_factor: float) -> CellModel:
        """Make the same cell after use: less capacity, more resistance.

        The surface of the particles runs ahead by the same charge as before: films and joints that
        resist more do not slow diffusion, and how far that slows with use no sheet says.

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
            lag_per_a=self.lag_per_a / capacity_fraction,
        )
