"""A motor with a band for each of its constants, and the cases to compute with.

The formulas are in ``motor_case``; how a band is found from what a builder knows, in
``motor_sources``.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from packdesign.engineering.demand.motor_case import (
    COPPER_PER_K,
    FERRITE_MAGNET_PER_K,
    MotorCase,
)
from packdesign.foundation.basis import Band, Basis
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["NO_GEAR", "Motor"]

NO_GEAR: Final = Band(1.0, 1.0, 1.0)
"""Efficiency of a motor that drives its load directly."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Motor:
    """A motor with the range each of its constants may lie in, and where they come from."""

    name: str = "motor"
    resistance_ohm: Band
    """Terminal resistance, brushes included, cold. [ohm]"""
    torque_constant_nm_per_a: Band
    """Torque per ampere at the motor's own shaft. [N m/A]"""
    no_load_a: Band
    """No-load current, gear included. [A]"""
    gear_ratio: float = 1.0
    """Turns of the motor for one turn of the output. [-]"""
    gear_efficiency_fraction: Band = NO_GEAR
    """Output power over motor-side power of the gear. [-]"""
    inductance_h: float | None = None
    """Terminal inductance. [H]"""
    rotor_inertia_kg_m2: float | None = None
    """Inertia of the rotor at its own shaft. [kg m2]"""
    nominal_v: float | None = None
    """Voltage the figures were given at. [V]"""
    largest_a: float | None = None
    """Largest current the maker or the controller allows. [A]"""
    copper_per_k: float = COPPER_PER_K
    """Rise of the winding's resistance. [1/K]"""
    magnet_per_k: float = FERRITE_MAGNET_PER_K
    """Change of the torque constant with the magnet's temperature. [1/K]"""
    basis: Basis = Basis.ASSUMED
    narrowing_reading: str = ""
    """The one multimeter reading that would narrow the bands most, and how to take it safely."""
    notes: tuple[str, ...] = ()
    """What does not fit together in the figures given."""

    def __post_init__(self) -> None:
        lowest = {
            "resistance_ohm": self.resistance_ohm.low,
            "torque_constant_nm_per_a": self.torque_constant_nm_per_a.low,
            "gear_ratio": self.gear_ratio,
            "gear_efficiency_fraction": self.gear_efficiency_fraction.low,
        }
        for what, value in lowest.items():
            if not value > 0:
                msg = f"{self.name}: {what} is {value:g}; it must be above 0"
                raise OutOfRangeError(msg)
        if self.no_load_a.low < 0:
            msg = f"{self.name}: no_load_a is {self.no_load_a.low:g}; it must be 0 or more"
            raise OutOfRangeError(msg)
        if self.gear_efficiency_fraction.high > 1:
            msg = (
                f"{self.name}: gear efficiency is {self.gear_efficiency_fraction.high:g}; "
                "no gear gives more power than it takes, so it must be at most 1"
            )
            raise OutOfRangeError(msg)

    def _case(
        self, *, resistance: float, constant: float, no_load: float, gear: float
    ) -> MotorCase:
        return MotorCase(
            resistance_ohm=resistance,
            torque_constant_nm_per_a=constant,
            no_load_a=no_load,
            gear_ratio=self.gear_ratio,
            gear_efficiency_fraction=gear,
            inductance_h=self.inductance_h,
            rotor_inertia_kg_m2=self.rotor_inertia_kg_m2 or 0.0,
        )

    def typical(self) -> MotorCase:
        """Give the middle of every band."""
        return self._case(
            resistance=self.resistance_ohm.mid,
            constant=self.torque_constant_nm_per_a.mid,
            no_load=self.no_load_a.mid,
            gear=self.gear_efficiency_fraction.mid,
        )

    def hungriest(self) -> MotorCase:
        """Give the end of every band that draws the most current for the same work."""
        return self._case(
            resistance=self.resistance_ohm.low,
            constant=self.torque_constant_nm_per_a.low,
            no_load=self.no_load_a.high,
            gear=self.gear_efficiency_fraction.low,
        )

    def at_temperature(self, *, winding_rise_k: float, magnet_rise_k: float = 0.0) -> Motor:
        """Warm or cool the winding and the magnet, with this motor's own coefficients.

        Parameters
        ----------
        winding_rise_k : float
            Winding above the temperature of the figures; negative is colder. [K]
        magnet_rise_k : float
            Magnet above the temperature of the figures. [K]

        Returns
        -------
        Motor
            The same motor at that temperature.
        """
        unit = MotorCase(resistance_ohm=1.0, torque_constant_nm_per_a=1.0, no_load_a=0.0)
        factors = unit.at_temperature(
            winding_rise_k=winding_rise_k,
            magnet_rise_k=magnet_rise_k,
            copper_per_k=self.copper_per_k,
            magnet_per_k=self.magnet_per_k,
        )
        return replace(
            self,
            resistance_ohm=self.resistance_ohm.scaled(factors.resistance_ohm),
            torque_constant_nm_per_a=self.torque_constant_nm_per_a.scaled(
                factors.torque_constant_nm_per_a
            ),
        )

    def stall_a(self, *, voltage_v: float) -> Band:
        """Current with the shaft held, cold. [A]

        Parameters
        ----------
        voltage_v : float
            Voltage at the terminals. [V]
        """
        return Band(
            voltage_v / self.resistance_ohm.high,
            voltage_v / self.resistance_ohm.mid,
            voltage_v / self.resistance_ohm.low,
        )
