"""The discharge at which a sheet rates a cell, at 25 degC and colder, held at its temperature.

What the circuit leaves behind at 25 degC makes the capacity of the model a little larger than that
of the sheet. What it leaves in the cold is less than published cells leave; the difference is
charge that the cold keeps out of reach.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from packdesign.data.chemistries import Chemistry
from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.charge_transfer import (
    LEAST_TRANSFER_OHM,
    asinh_share,
    thermal_voltage_v,
)
from packdesign.engineering.discharge.concentration import solid_temperature_factor
from packdesign.engineering.discharge.nodes import READ_AT_DEGC, SOC_GRID, TEMPERATURE_GRID_DEGC
from packdesign.engineering.discharge.open_circuit import extended_v
from packdesign.engineering.discharge.resistance_parts import ResistanceParts, ResistanceRises
from packdesign.engineering.discharge.resistance_split import TemperatureFactors

__all__ = ["STANDARD_CRATE", "StandardDischarge", "empty_soc"]

STANDARD_CRATE: Final = 0.2
"""Rate at which capacities are rated: IEC 61960-3 (from memory) and the makers' sheets. [1/h]"""
_COLD_DEGC: Final[FloatArray] = np.arange(-30.0, READ_AT_DEGC + 0.1, 2.5)
"""Temperatures at which the cold is worked out; straight lines between. [degC]"""
_MOST_LEFT: Final = 0.3
"""Most of the charge that may stay behind at the standard rate, or out of reach in the cold. [-]"""
_ROUNDS: Final = 6
"""Rounds until the charge out of reach and the lag, which it makes a larger share of the rest,
agree to 1e-4. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class StandardDischarge:
    """The circuit of a cell under its standard load, settled at every charge."""

    current_a: float
    """Of a cell. [A]"""
    cutoff_v: float
    """[V]"""
    ocv_v: FloatArray
    """Open-circuit voltage on ``SOC_GRID``. [V]"""
    parts: ResistanceParts
    rises: ResistanceRises
    factors: TemperatureFactors

    def voltage_v(self, degc: FloatArray, *, empty: FloatArray) -> FloatArray:
        """Voltage at every charge within reach.

        Parameters
        ----------
        degc : array
            Temperatures. Shape (n,). [degC]
        empty : array
            Charge out of reach at each. Shape (n,). [-]

        Returns
        -------
        array
            On ``SOC_GRID``, here the share of what is within reach. Shape (n, points). [V]
        """
        factors = self.factors
        ohmic, relaxing, transfer, solid = (
            np.interp(degc, TEMPERATURE_GRID_DEGC, table)[:, None]
            for table in (
                factors.ohmic,
                factors.relaxing,
                factors.transfer,
                solid_temperature_factor(),
            )
        )
        lag = self.parts.lag_per_a * self.current_a * solid
        surface = SOC_GRID - lag / (1.0 - empty)[:, None]
        rising = solid * np.interp(surface, SOC_GRID, self.rises.transfer)
        small_ohm = np.maximum(self.parts.transfer_ohm * (transfer + rising), LEAST_TRANSFER_OHM)
        scale_v = thermal_voltage_v(degc)[:, None]
        transfer_ohm = small_ohm * asinh_share(small_ohm * self.current_a / scale_v)
        rc_ohm = (self.parts.fast_ohm + self.parts.slow_ohm) * (
            relaxing + solid * np.interp(surface, SOC_GRID, self.rises.rc)
        )
        ohm = self.parts.ohmic_ohm * ohmic + transfer_ohm + rc_ohm
        return np.asarray(extended_v(SOC_GRID, self.ocv_v, at=surface) - ohm * self.current_a)

    def left(self, degc: FloatArray, *, empty: FloatArray) -> FloatArray:
        """Share of what is within reach that is left at the cut-off. Shape (n,). [-]

        Parameters
        ----------
        degc : array
            Temperatures. Shape (n,). [degC]
        empty : array
            Charge out of reach at each. Shape (n,). [-]
        """
        above_v = self.voltage_v(degc, empty=empty) - self.cutoff_v
        first = np.argmax(above_v >= 0, axis=1)
        row = np.arange(len(first))
        before = np.maximum(first - 1, 0)
        rise_v = above_v[row, first] - above_v[row, before]
        into = np.where(rise_v > 0, -above_v[row, before] / np.maximum(rise_v, 1e-12), 0.0)
        return np.asarray((before + np.clip(into, 0.0, 1.0)) / (SOC_GRID.size - 1))

    def left_warm(self) -> float:
        """Charge left at the cut-off at 25 degC. [-]"""
        found = self.left(np.array([READ_AT_DEGC]), empty=np.zeros(1))
        return float(min(found[0], _MOST_LEFT))

    def mean_v(self) -> float:
        """Mean voltage from full to the cut-off at 25 degC. [V]"""
        volts = self.voltage_v(np.array([READ_AT_DEGC]), empty=np.zeros(1))[0]
        return float(np.mean(volts[self.left_warm() <= SOC_GRID]))


def empty_soc(standard: StandardDischarge, chemistry: Chemistry) -> FloatArray:
    """Charge that the cold keeps out of reach, so that a cell held there gives what is published.

    Parameters
    ----------
    standard : StandardDischarge
        The cell under its standard load.
    chemistry : Chemistry
        Its table says what share of the charge cells give over temperature.

    Returns
    -------
    array
        On ``TEMPERATURE_GRID_DEGC``; none from 25 degC up, and where the circuit alone leaves more
        behind than is published; at most 0.3. [-]
    """
    published = np.array(
        [
            chemistry.capacity_fraction(temperature_degc=float(degc), c_rate=STANDARD_CRATE)
            for degc in _COLD_DEGC
        ]
    )
    wanted = published * (1.0 - standard.left_warm())
    empty = np.zeros(_COLD_DEGC.size)
    for _ in range(_ROUNDS):
        reachable = wanted / np.maximum(1.0 - standard.left(_COLD_DEGC, empty=empty), 1e-3)
        empty = np.clip(1.0 - reachable, 0.0, _MOST_LEFT)
    empty[-1] = 0.0
    found = np.interp(TEMPERATURE_GRID_DEGC, _COLD_DEGC, empty)
    return np.where(TEMPERATURE_GRID_DEGC < READ_AT_DEGC, found, 0.0)
