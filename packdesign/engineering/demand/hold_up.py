"""A capacitor behind a diode that carries a rail through a dip, or why none can."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from packdesign.foundation.errors import OutOfRangeError

__all__ = ["LARGEST_CAPACITOR_F", "HoldUp", "hold_up", "hold_up_s"]

LARGEST_CAPACITOR_F: Final = 0.01
"""Largest electrolytic that a small device holds: 10 000 uF (common practice, no source)."""
_NO_CAPACITOR: Final = (
    "no capacitor can do this: make the ramp longer, take cells with less resistance or more in "
    "parallel, or feed this rail from its own cell or ahead of the drop"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldUp:
    """Whether a capacitor carries a rail through a dip, and which."""

    feasible: bool
    capacitor_f: float | None
    """Capacitance needed; None where no size would do. [F]"""
    reason: str


def hold_up_s(
    *, capacitor_f: float, start_v: float, lowest_v: float, current_a: float = 0.0,
    power_w: float = 0.0,
) -> float:  # fmt: skip
    """Time that a capacitor carries a load. [s]

    Parameters
    ----------
    capacitor_f : float
        Capacitance. [F]
    start_v : float
        Voltage at the start of the dip, behind the diode. [V]
    lowest_v : float
        Voltage at which the load gives up. [V]
    current_a : float
        Constant current of the load. [A]
    power_w : float
        Constant power of the load instead. [W]

    Notes
    -----
    C (V0 - V1) / I for a current, C (V0^2 - V1^2) / (2 P) for a power.

    Examples
    --------
    1000 uF from 11.5 V to 7 V at 0.1 A (electronics.stackexchange question 146271):

    >>> round(1000 * hold_up_s(capacitor_f=1e-3, start_v=11.5, lowest_v=7.0, current_a=0.1), 6)
    45.0
    """
    if not 0 <= lowest_v < start_v:
        msg = f"a dip starts above where it ends; got {start_v} V down to {lowest_v} V"
        raise OutOfRangeError(msg)
    if (current_a > 0) == (power_w > 0):
        msg = f"give a current or a power above 0, not both; got {current_a} A and {power_w} W"
        raise OutOfRangeError(msg)
    if current_a > 0:
        return capacitor_f * (start_v - lowest_v) / current_a
    return capacitor_f * (start_v**2 - lowest_v**2) / (2 * power_w)


def hold_up(
    *,
    supply_v: float,
    lowest_v: float,
    dip_s: float,
    current_a: float = 0.0,
    power_w: float = 0.0,
    diode_v: float = 0.4,
    largest_f: float = LARGEST_CAPACITOR_F,
) -> HoldUp:
    """Size the capacitor that carries a rail through a dip, or say that none can.

    Parameters
    ----------
    supply_v : float
        Supply just before the dip. [V]
    lowest_v : float
        Voltage at which the rail gives up. [V]
    dip_s : float
        Time the supply is below ``lowest_v`` plus the diode's drop. [s]
    current_a : float
        Current of the rail at this point. [A]
    power_w : float
        Power of the rail instead. [W]
    diode_v : float
        Drop of the diode that keeps the capacitor from feeding the dip (0.4 V: a Schottky at a
        few hundred milliamperes, from memory). [V]
    largest_f : float
        Largest capacitor that may be used. [F]

    Returns
    -------
    HoldUp
        With the capacitance, or with what to change instead.

    Examples
    --------
    >>> hold_up(supply_v=11.9, lowest_v=7.0, dip_s=0.045, current_a=0.1).capacitor_f
    0.001
    >>> hold_up(supply_v=7.2, lowest_v=7.0, dip_s=0.045, current_a=0.1).feasible
    False
    """
    start_v = supply_v - diode_v
    if start_v <= lowest_v:
        return HoldUp(
            feasible=False,
            capacitor_f=None,
            reason=(
                f"behind the diode stand {start_v:.2f} V, the rail needs {lowest_v:.2f} V: there "
                f"is nothing to give; {_NO_CAPACITOR}"
            ),
        )
    one_farad_s = hold_up_s(
        capacitor_f=1.0, start_v=start_v, lowest_v=lowest_v, current_a=current_a, power_w=power_w
    )
    needed_f = dip_s / one_farad_s
    if needed_f > largest_f:
        return HoldUp(
            feasible=False,
            capacitor_f=needed_f,
            reason=(
                f"it would take {1e6 * needed_f:,.0f} uF, the most that fits is "
                f"{1e6 * largest_f:,.0f} uF; {_NO_CAPACITOR}"
            ),
        )
    return HoldUp(
        feasible=True,
        capacitor_f=needed_f,
        reason=f"{1e6 * needed_f:,.0f} uF or more, low in series resistance, behind a diode",
    )
