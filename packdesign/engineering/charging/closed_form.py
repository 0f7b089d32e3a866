"""CC-CV in closed form: a cell of one resistance on a straight open-circuit line.

For a first figure, for teaching, and to check the simulation against; the real curve is bent.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from packdesign.foundation.errors import OutOfRangeError

__all__ = ["ClosedFormCharge", "StraightCell", "charge_straight_cell", "constant_voltage_tail"]


@dataclass(frozen=True, slots=True, kw_only=True)
class StraightCell:
    """A cell with one resistance and an open-circuit voltage that rises evenly with charge."""

    capacity_ah: float
    """Charge from empty to full. [A h]"""
    empty_v: float
    """Open-circuit voltage when empty. [V]"""
    full_v: float
    """Open-circuit voltage when full, which is the charge voltage. [V]"""
    resistance_ohm: float
    """Resistance that has settled. [ohm]"""

    def __post_init__(self) -> None:
        if self.capacity_ah <= 0 or self.full_v <= self.empty_v or self.resistance_ohm < 0:
            msg = (
                "a straight cell needs capacity above 0 Ah, full above empty voltage and 0 ohm or "
                f"more; got {self.capacity_ah} Ah, {self.empty_v} to {self.full_v} V, "
                f"{self.resistance_ohm} ohm"
            )
            raise OutOfRangeError(msg)

    @property
    def slope_v_per_ah(self) -> float:
        """Slope of the open-circuit line. [V/(A h)]"""
        return (self.full_v - self.empty_v) / self.capacity_ah


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedFormCharge:
    """Times and charges of the two phases."""

    cc_time_h: float
    """Constant current. [h]"""
    cv_time_h: float
    """Constant voltage. [h]"""
    cc_ah: float
    """Charge in the first phase. [A h]"""
    cv_ah: float
    """Charge in the second phase. [A h]"""

    @property
    def time_h(self) -> float:
        """Both phases. [h]"""
        return self.cc_time_h + self.cv_time_h

    @property
    def charged_ah(self) -> float:
        """Both phases. [A h]"""
        return self.cc_ah + self.cv_ah


def constant_voltage_tail(
    *, start_a: float, end_a: float, rate_per_h: float
) -> tuple[float, float]:
    r"""Time and charge of a current that falls exponentially from start to end.

    Parameters
    ----------
    start_a : float
        Current when the voltage is reached. [A]
    end_a : float
        Current at which charging ends. [A]
    rate_per_h : float
        Rate of the decay, k. [1/h]

    Returns
    -------
    tuple of float
        Time [h] and charge [A h].

    Raises
    ------
    OutOfRangeError
        If the currents do not fall, or the rate is not above 0.

    Notes
    -----
    .. math:: t = \ln(I_0 / I_{end}) / k, \quad Q = (I_0 - I_{end}) / k

    Examples
    --------
    Exercise of a German school-leaving examination of 2018, as posted at mathelounge.de/915056:
    from 500 mA to 10 mA with k = 5 per hour.

    >>> time_h, charge_ah = constant_voltage_tail(start_a=0.5, end_a=0.01, rate_per_h=5.0)
    >>> round(time_h, 4), round(charge_ah, 3)
    (0.7824, 0.098)
    """
    if not 0 < end_a <= start_a or rate_per_h <= 0:
        msg = (
            "the tail needs a start current of at least the end current, both above 0 A, and a "
            f"rate above 0 per hour; got {start_a} A, {end_a} A, {rate_per_h}"
        )
        raise OutOfRangeError(msg)
    return math.log(start_a / end_a) / rate_per_h, (start_a - end_a) / rate_per_h


def charge_straight_cell(
    cell: StraightCell, *, charge_a: float, end_a: float, start_soc: float = 0.0
) -> ClosedFormCharge:
    r"""CC-CV times of a straight cell, exactly.

    Parameters
    ----------
    cell : StraightCell
        The cell.
    charge_a : float
        Constant current. [A]
    end_a : float
        Current at which the constant-voltage phase ends. [A]
    start_soc : float
        State of charge at the start. [-]

    Returns
    -------
    ClosedFormCharge
        Times and charges.

    Raises
    ------
    OutOfRangeError
        If the currents or the state of charge make no sense.

    Notes
    -----
    With slope s and resistance R the voltage reaches :math:`V_{full}` after
    :math:`Q_{cc} = (V_{full} - V_{start} - I R) / s`; then the current decays with
    :math:`k = s / R`. Derived from :math:`V = V_0 + s Q + I R`.

    Examples
    --------
    >>> cell = StraightCell(capacity_ah=2.5, empty_v=3.2, full_v=4.2, resistance_ohm=0.04)
    >>> charge = charge_straight_cell(cell, charge_a=2.5, end_a=0.125)
    >>> round(charge.cc_time_h, 3), round(charge.cv_time_h, 3)
    (0.9, 0.3)
    """
    if charge_a <= 0 or not 0 <= start_soc < 1:
        msg = (
            f"charge current {charge_a} A must be above 0, the start {start_soc} in 0 up to below 1"
        )
        raise OutOfRangeError(msg)
    missing_ah = cell.capacity_ah * (1 - start_soc)
    drop_v = charge_a * cell.resistance_ohm
    cc_ah = max(0.0, missing_ah - drop_v / cell.slope_v_per_ah)
    if cell.resistance_ohm == 0:
        return ClosedFormCharge(cc_time_h=cc_ah / charge_a, cv_time_h=0.0, cc_ah=cc_ah, cv_ah=0.0)
    tail_start_a = min(charge_a, missing_ah * cell.slope_v_per_ah / cell.resistance_ohm)
    if tail_start_a <= end_a:
        cv_time_h, cv_ah = 0.0, 0.0
    else:
        rate = cell.slope_v_per_ah / cell.resistance_ohm
        cv_time_h, cv_ah = constant_voltage_tail(start_a=tail_start_a, end_a=end_a, rate_per_h=rate)
    return ClosedFormCharge(
        cc_time_h=cc_ah / charge_a, cv_time_h=cv_time_h, cc_ah=cc_ah, cv_ah=cv_ah
    )
