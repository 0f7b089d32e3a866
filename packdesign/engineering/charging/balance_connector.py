"""The balance connector: pin order, voltages on the pins, what the contacts carry, time lost.

Which wire goes where on the pack is the business of planning/wiring; here are pins and limits.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "CONTACT_LIMIT_A",
    "PIN_ORDER_CAUTION",
    "SMALLEST_WIRE_AWG",
    "BalancePin",
    "balance_lead_charge_limit",
    "balance_pins",
    "split_charge_hours_lost",
]

CONTACT_LIMIT_A: Final = 3.0
# JST XH, 2.5 mm pitch: 3 A per contact, 250 V, AWG 22 to 28; connector guide at keszoox.com (read
# 2026-11-25), which copies the maker's figures.
SMALLEST_WIRE_AWG: Final = 28
# same guide; another page there says 30
PIN_ORDER_CAUTION: Final = (
    "This order is the usual one (from memory, no standard); one-cell leads differ between "
    "sellers. Measure every pin against pin 1 before anything is plugged in."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BalancePin:
    """One pin of the balance connector."""

    number: int
    """Counted from 1 at the pack's minus."""
    joins: str
    """Where the wire goes."""
    full_v: float
    """Voltage against pin 1 when the pack is full. [V]"""
    wire_colour: str
    """Black for minus, red for plus, free in between."""


def balance_pins(*, series: int, full_v_per_cell: float) -> tuple[BalancePin, ...]:
    """Give the pins of the balance connector in order: one more than groups in series.

    Parameters
    ----------
    series : int
        Groups in series. [-]
    full_v_per_cell : float
        Charge voltage per group. [V]

    Returns
    -------
    tuple of BalancePin
        From pack minus to pack plus.

    Raises
    ------
    OutOfRangeError
        If there is no group.

    Examples
    --------
    >>> [round(pin.full_v, 1) for pin in balance_pins(series=3, full_v_per_cell=4.2)]
    [0.0, 4.2, 8.4, 12.6]
    """
    if series < 1:
        msg = f"series is {series}; at least 1 group is needed"
        raise OutOfRangeError(msg)

    def joins(index: int) -> str:
        if index == 0:
            return "minus of group 1 (pack minus)"
        if index == series:
            return f"plus of group {series} (pack plus)"
        return f"plus of group {index}, minus of group {index + 1}"

    def colour(index: int) -> str:
        return {0: "black", series: "red"}.get(index, "any other, each different")

    return tuple(
        BalancePin(
            number=index + 1,
            joins=joins(index),
            full_v=index * full_v_per_cell,
            wire_colour=colour(index),
        )
        for index in range(series + 1)
    )


def balance_lead_charge_limit(
    *, charge_a: float, contact_limit_a: float = CONTACT_LIMIT_A
) -> float:
    """Charge current left when the pack is charged through the balance lead alone. [A]

    Parameters
    ----------
    charge_a : float
        Charge current wanted. [A]
    contact_limit_a : float
        Current of one contact. [A]

    Notes
    -----
    The two outer pins carry the whole charge current, the inner ones only differences.

    Examples
    --------
    >>> balance_lead_charge_limit(charge_a=4.0)
    3.0
    """
    return min(charge_a, contact_limit_a)


def split_charge_hours_lost(
    *, capacity_ah: float, wanted_charge_a: float, per_cell_charge_a: float
) -> float:
    """Hours lost when a built-in charger per cell is slower than one for the pack. [h]

    Parameters
    ----------
    capacity_ah : float
        Capacity of one group. [A h]
    wanted_charge_a : float
        Current a charger for the whole pack would use. [A]
    per_cell_charge_a : float
        Current of each built-in single-cell charger; they work side by side, each on a supply of
        its own that is insulated from the others. [A]

    Notes
    -----
    Constant-current time only, capacity over current; the tail at constant voltage is alike.

    Examples
    --------
    >>> split_charge_hours_lost(capacity_ah=2.5, wanted_charge_a=2.5, per_cell_charge_a=1.0)
    1.5
    """
    return max(0.0, capacity_ah / per_cell_charge_a - capacity_ah / wanted_charge_a)
