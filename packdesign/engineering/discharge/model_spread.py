"""How far a cell's model may be off, part by part."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.arrhenius import arrhenius_factor
from packdesign.engineering.discharge.nodes import TEMPERATURE_GRID_DEGC

__all__ = ["ModelSpread"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelSpread:
    """How far parts of a model may be off: one standard deviation, a share where no unit stands."""

    capacity_fraction: float
    resistance_fraction: float
    slow_resistance_fraction: float
    """RC elements and lag beyond what the instant resistance already shares with them."""
    cold_resistance_fraction: FloatArray
    """What the cold adds to that, on ``TEMPERATURE_GRID_DEGC``: how far published cells part."""
    warm_resistance_fraction: FloatArray
    """What warmth adds to it, likewise; none below 25 degC."""
    rise_j_per_mol: float
    """Activation energy of lag and rise toward empty. Bands move the lag by it, as at the start of
    the run, not the rise; nor do they move what the cold keeps out of reach. [J/mol]"""
    heat_capacity_fraction: float
    ocv_v: FloatArray
    """Open-circuit voltage on ``SOC_GRID``, no fraction. [V]"""
    entropic_v_per_k: float
    """Its change with temperature, no fraction. [V/K]"""

    def cold_fraction_at(self, temperature_degc: float) -> float:
        """Give what the cold adds to the doubt about a resistance, one standard deviation. [-]

        Parameters
        ----------
        temperature_degc : float
            Cell temperature; colder than the table it goes on growing as it did last. [degC]
        """
        grid, table = TEMPERATURE_GRID_DEGC, self.cold_resistance_fraction
        colder_k = max(float(grid[0]) - temperature_degc, 0.0)
        growth = float((table[0] - table[1]) / (grid[1] - grid[0]))
        return float(np.interp(temperature_degc, grid, table)) + growth * colder_k

    def warm_fraction_at(self, temperature_degc: float) -> float:
        """Give what warmth adds to the doubt about a resistance, one standard deviation. [-]

        Parameters
        ----------
        temperature_degc : float
            Cell temperature. [degC]
        """
        return float(
            np.interp(temperature_degc, TEMPERATURE_GRID_DEGC, self.warm_resistance_fraction)
        )

    def lag_factor_at(self, temperature_degc: float, *, draws: FloatArray) -> FloatArray:
        """Give the lag relative to the likely one where its activation energy is another. [-]

        Parameters
        ----------
        temperature_degc : float
            Cell temperature. [degC]
        draws : array
            The energy, in standard deviations from the likely one. Shape (n,). [-]

        Returns
        -------
        array
            Shape (n,); 1 at 25 degC, where the lag was read. [-]
        """
        return arrhenius_factor(draws * self.rise_j_per_mol, temperature_degc)

    def resistance_fraction_at(self, temperature_degc: float) -> float:
        """Give the doubt about a resistance, one standard deviation. [-]

        What a sheet says of a cell and how cells take cold and warmth have nothing to do with each
        other, so they add as squares, as they do where the bands draw each by itself.

        Parameters
        ----------
        temperature_degc : float
            Cell temperature. [degC]
        """
        return math.hypot(
            self.resistance_fraction,
            self.cold_fraction_at(temperature_degc),
            self.warm_fraction_at(temperature_degc),
        )
