"""Regulators: what they take from their input for what they give, and the input they need."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["Draw", "Regulator", "RegulatorKind"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """What is asked of a supply: a current whatever its voltage, and a power whatever it is."""

    current_a: float = 0.0
    """[A]"""
    power_w: float = 0.0
    """[W]"""

    def __add__(self, other: Draw) -> Draw:
        return Draw(
            current_a=self.current_a + other.current_a, power_w=self.power_w + other.power_w
        )

    def at_a(self, *, voltage_v: float) -> float:
        """Current at one voltage. [A]

        Parameters
        ----------
        voltage_v : float
            Voltage of the supply. [V]

        Examples
        --------
        >>> Draw(current_a=0.1, power_w=6.0).at_a(voltage_v=12.0)
        0.6
        """
        return self.current_a + self.power_w / voltage_v


class RegulatorKind(StrEnum):
    """How a regulator works."""

    BUCK = "buck"
    """Down only."""
    BOOST = "boost"
    """Up only."""
    BUCK_BOOST = "buck_boost"
    """Up and down."""
    LINEAR = "linear"
    """Down only; burns the difference."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Regulator:
    """One regulator with the figures of its sheet; leave out what the sheet does not say."""

    name: str
    kind: RegulatorKind
    output_v: float
    """Voltage it makes. [V]"""
    lowest_input_v: float | None = None
    """Least input it works from, as printed. [V]"""
    highest_input_v: float | None = None
    """Most input it survives. [V]"""
    dropout_v: float = 0.0
    """Input must be this far above the output (buck, linear). [V]"""
    efficiency_points: tuple[tuple[float, float], ...] = ()
    """Output current and efficiency there, rising; one point serves for a single printed figure.
    Not used by a linear regulator. [A, -]"""
    quiescent_a: float = 0.0
    """What it takes for itself while on. [A]"""
    basis: Basis = Basis.ASSUMED

    def __post_init__(self) -> None:
        if not self.output_v > 0:
            msg = f"{self.name}: output_v is {self.output_v}; it must be above 0"
            raise OutOfRangeError(msg)
        for current, efficiency in self.efficiency_points:
            if not (current > 0 and 0 < efficiency <= 1):
                msg = (
                    f"{self.name}: efficiency {efficiency} at {current} A; efficiency must be "
                    "above 0 and at most 1, at a current above 0 (85 % is written 0.85)"
                )
                raise OutOfRangeError(msg)
        if any(np.diff([current for current, _ in self.efficiency_points]) <= 0):
            msg = f"{self.name}: the currents of the efficiency points must rise"
            raise OutOfRangeError(msg)
        if self.kind is not RegulatorKind.LINEAR and not self.efficiency_points:
            msg = (
                f"{self.name}: a {self.kind} regulator needs its efficiency; small modules reach "
                "0.80 to 0.95 near half load (sheets of the regulators among the check values)"
            )
            raise OutOfRangeError(msg)

    @property
    def needed_input_v(self) -> float:
        """Least input at which the output still holds: printed minimum, or output plus dropout. [V]

        Notes
        -----
        A boost keeps working below its output down to its printed minimum.
        """
        printed = self.lowest_input_v or 0.0
        if self.kind in (RegulatorKind.BUCK, RegulatorKind.LINEAR):
            return max(printed, self.output_v + self.dropout_v)
        return printed

    @property
    def allowed_input_v(self) -> float:
        """Most input at which the output still holds; a boost cannot go below its input. [V]"""
        printed = self.highest_input_v or math.inf
        return min(printed, self.output_v) if self.kind is RegulatorKind.BOOST else printed

    def efficiency_fraction(self, *, output_a: float) -> float:
        """Efficiency at one load. [-]

        Parameters
        ----------
        output_a : float
            Output current, above zero. [A]

        Notes
        -----
        Straight lines over the logarithm of the current between the points printed. Below the
        lowest point the loss stays half fixed, half in proportion to the current; above the
        highest point the efficiency of that point holds (both chosen here, no source).

        Examples
        --------
        >>> buck = Regulator(name="5 V", kind=RegulatorKind.BUCK, output_v=5.0,
        ...                  efficiency_points=((0.1, 0.8), (1.0, 0.9)))
        >>> round(buck.efficiency_fraction(output_a=0.316228), 4)
        0.85
        >>> round(buck.efficiency_fraction(output_a=0.01), 3)
        0.421
        """
        currents = [current for current, _ in self.efficiency_points]
        values = [value for _, value in self.efficiency_points]
        if output_a >= currents[0]:
            return float(np.interp(math.log(output_a), np.log(currents), values))
        share: float = output_a / currents[0]
        loss: float = (1 / values[0] - 1) * (0.5 + 0.5 * share)
        return share / (share + loss)

    def draw(self, *, output_a: float, input_v: float) -> Draw:
        """What it takes from its input for an output current.

        Parameters
        ----------
        output_a : float
            Output current, zero or more. [A]
        input_v : float
            Voltage at its input. [V]

        Returns
        -------
        Draw
            A power for a switching regulator, a current for a linear one; both with the quiescent
            current.

        Raises
        ------
        OutOfRangeError
            If the input is below what it needs or above what it bears, or the current is beyond it.

        Examples
        --------
        >>> linear = Regulator(name="3.3 V", kind=RegulatorKind.LINEAR, output_v=3.3, dropout_v=1.1,
        ...                    quiescent_a=0.005)
        >>> linear.draw(output_a=0.1, input_v=5.0).current_a
        0.10500000000000001
        """
        self.check_input(input_v=input_v)
        if output_a < 0:
            msg = f"{self.name}: {output_a:g} A asked for; a regulator gives 0 A or more"
            raise OutOfRangeError(msg)
        if self.kind is RegulatorKind.LINEAR:
            return Draw(current_a=output_a + self.quiescent_a)
        if output_a == 0:
            return Draw(current_a=self.quiescent_a)
        efficiency = self.efficiency_fraction(output_a=output_a)
        return Draw(current_a=self.quiescent_a, power_w=self.output_v * output_a / efficiency)

    def check_input(self, *, input_v: float) -> None:
        """Refuse an input at which the output does not hold.

        Parameters
        ----------
        input_v : float
            Voltage at its input. [V]

        Raises
        ------
        OutOfRangeError
            If the input is below what it needs, or above what it bears.
        """
        if input_v < self.needed_input_v:
            msg = (
                f"{self.name}: {input_v:.2f} V in, but {self.output_v:g} V out needs "
                f"{self.needed_input_v:.2f} V (dropout {self.dropout_v:g} V); below that the "
                "output sags with the input: use more cells in series, a lower dropout, or a "
                "buck-boost"
            )
            raise OutOfRangeError(msg)
        if input_v > self.allowed_input_v:
            why = "a boost cannot lower its input" if self.kind is RegulatorKind.BOOST else "rated"
            msg = (
                f"{self.name}: {input_v:.2f} V in, at most {self.allowed_input_v:.2f} V allowed "
                f"({why}); use fewer cells in series or another regulator"
            )
            raise OutOfRangeError(msg)
