"""Charge while running: forbidden, or through a power path; the interlock as a truth table."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from enum import StrEnum

__all__ = ["ChargePolicy", "InterlockRow", "interlock_row", "interlock_table"]


class ChargePolicy(StrEnum):
    """What happens when the charger is plugged in."""

    EXCLUSIVE = "load locked out"
    """Charging locks the load out. The plain and safe way for a motor."""
    POWER_PATH = "power path"
    """The charger feeds the load by a path of its own; the pack's charge current is known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InterlockRow:
    """One row of the table: three things seen, two things done."""

    charger_present: bool
    switch_on: bool
    cells_fit_to_charge: bool
    """Temperature and every group's voltage lie where charging is allowed."""
    charge_enabled: bool
    load_enabled: bool
    reason: str


def interlock_row(
    *, policy: ChargePolicy, charger_present: bool, switch_on: bool, cells_fit_to_charge: bool
) -> InterlockRow:
    """Decide one row.

    Parameters
    ----------
    policy : ChargePolicy
        Exclusive or power path.
    charger_present : bool
        The charger is plugged in and gives voltage.
    switch_on : bool
        The switch of the device is on.
    cells_fit_to_charge : bool
        Charging is allowed now.

    Examples
    --------
    >>> row = interlock_row(
    ...     policy=ChargePolicy.EXCLUSIVE,
    ...     charger_present=True,
    ...     switch_on=True,
    ...     cells_fit_to_charge=True,
    ... )
    >>> row.charge_enabled, row.load_enabled
    (True, False)
    """
    charge = charger_present and cells_fit_to_charge
    if policy is ChargePolicy.EXCLUSIVE:
        load = switch_on and not charger_present
        locked = switch_on and charger_present
        reason = "load locked out" if locked else ""
    else:
        load = switch_on
        reason = "charger feeds the load too" if charge and switch_on else ""
    if charger_present and not cells_fit_to_charge:
        reason = "cells not fit to charge" + (f"; {reason}" if reason else "")
    return InterlockRow(
        charger_present=charger_present,
        switch_on=switch_on,
        cells_fit_to_charge=cells_fit_to_charge,
        charge_enabled=charge,
        load_enabled=load,
        reason=reason or ("charging" if charge else "running" if load else "off"),
    )


def interlock_table(policy: ChargePolicy) -> tuple[InterlockRow, ...]:
    """Give all eight rows.

    Parameters
    ----------
    policy : ChargePolicy
        Exclusive or power path.

    Notes
    -----
    In a power path the end current is measured in the pack's own branch: a charger that sees load
    and pack together never sees the end of the charge, or ends it too early.

    Examples
    --------
    >>> any(row.charge_enabled and row.load_enabled
    ...     for row in interlock_table(ChargePolicy.EXCLUSIVE))
    False
    """
    return tuple(
        interlock_row(
            policy=policy, charger_present=plugged, switch_on=switch, cells_fit_to_charge=fit
        )
        for plugged, switch, fit in itertools.product((False, True), repeat=3)
    )
