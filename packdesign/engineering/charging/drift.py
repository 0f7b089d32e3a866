"""What a charger that sees only the whole pack does to its groups over many cycles.

Slow charges and discharges of a string, cell by cell, on a measured open-circuit curve: no
resistance, because a charge that ends at a small current ends near rest. Faster charging is in
:mod:`packdesign.engineering.charging.cc_cv`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq

from packdesign.engineering.charging.balancing import Bleed
from packdesign.engineering.demand.profile import FloatArray
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["DriftCase", "DriftHistory", "OpenCircuitCurve", "simulate_drift"]


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenCircuitCurve:
    """Open-circuit voltage over state of charge; straight on beyond full, with the last slope."""

    soc: FloatArray
    """Rising from 0 to 1. Shape (n,). [-]"""
    voltage_v: FloatArray
    """Shape (n,). [V]"""

    def __post_init__(self) -> None:
        if len(self.soc) != len(self.voltage_v) or len(self.soc) < 2:
            msg = "a curve needs the same number of charges and voltages, at least 2"
            raise OutOfRangeError(msg)
        if np.any(np.diff(self.soc) <= 0):
            msg = "the states of charge of a curve must rise"
            raise OutOfRangeError(msg)

    def at(self, soc: FloatArray) -> FloatArray:
        """Voltage at states of charge; above 1 it goes on with the slope of the last piece. [V]

        Parameters
        ----------
        soc : array
            States of charge. [-]
        """
        slope = (self.voltage_v[-1] - self.voltage_v[-2]) / (self.soc[-1] - self.soc[-2])
        inside = np.interp(soc, self.soc, self.voltage_v)
        return np.asarray(inside + np.maximum(soc - self.soc[-1], 0.0) * slope)


@dataclass(frozen=True, slots=True, kw_only=True)
class DriftCase:
    """A string of groups, how it is used, and how unlike the groups are."""

    capacity_ah: tuple[float, ...]
    """Capacity of each group. [A h]"""
    behind_ah: tuple[float, ...]
    """Charge by which each group starts behind a full one. [A h]"""
    leak_a: tuple[float, ...]
    """Self-discharge and monitor drain of each group. [A]"""
    cycle_h: float
    """Time from one charge to the next. [h]"""
    used_ah: float
    """Charge taken out in each cycle, unless a group empties before. [A h]"""
    full_v: float
    """Charge voltage per cell. [V]"""
    group_cut_v: float | None = None
    """Voltage of any one group at which a protection board ends the charge; None: no board. [V]"""

    def __post_init__(self) -> None:
        sizes = {len(self.capacity_ah), len(self.behind_ah), len(self.leak_a)}
        if sizes != {len(self.capacity_ah)} or not self.capacity_ah:
            msg = f"capacity, start and leak are needed for each group; got lengths {sorted(sizes)}"
            raise OutOfRangeError(msg)
        if min(self.capacity_ah) <= 0 or min(self.leak_a) < 0 or self.cycle_h <= 0:
            msg = (
                "capacities and the time between charges must be above 0, leaks 0 or more; got "
                f"{self.capacity_ah} Ah, {self.cycle_h} h, {self.leak_a} A"
            )
            raise OutOfRangeError(msg)


@dataclass(frozen=True, slots=True, kw_only=True)
class DriftHistory:
    """The string cycle by cycle, at the end of each charge."""

    group_v: FloatArray
    """Voltage of each group. Shape (cycles, groups). [V]"""
    spread_ah: FloatArray
    """Charge between the highest and the lowest group. Shape (cycles,). [A h]"""
    delivered_ah: FloatArray
    """Charge taken out before a group was empty or the wanted use was reached. (cycles,). [A h]"""
    balance_h: FloatArray
    """Hours in which bleeds were active. Shape (cycles,). [h]"""

    @property
    def highest_v(self) -> float:
        """Highest voltage that any group saw. [V]"""
        return float(np.max(self.group_v))


def simulate_drift(
    case: DriftCase,
    *,
    curve: OpenCircuitCurve,
    cycles: int = 50,
    bleed: Bleed | None = None,
    bleed_hours_per_cycle: float = 2.0,
) -> DriftHistory:
    """Follow a string through charges and discharges, with or without balancing.

    Parameters
    ----------
    case : DriftCase
        The string and its use.
    curve : OpenCircuitCurve
        Open-circuit voltage of the cell.
    cycles : int
        How many. [-]
    bleed : Bleed or None
        The balancer; None: the charger looks at the whole pack only.
    bleed_hours_per_cycle : float
        Time at the end of each charge in which bleeding may go on. [h]

    Returns
    -------
    DriftHistory
        Voltages, spread, delivered charge, balance hours.

    Notes
    -----
    Each charge adds the same charge to every group until the sum of voltages is the number of
    groups times the full voltage, or a board cuts. Charge counts one to one; differences in
    coulombic efficiency can be put into the leaks. A group that leaks on when empty goes below 0.
    """
    capacity = np.asarray(case.capacity_ah, dtype=float)
    charge = capacity - np.asarray(case.behind_ah, dtype=float)
    leak_ah = np.asarray(case.leak_a, dtype=float) * case.cycle_h
    rows: list[tuple[FloatArray, float, float, float]] = []
    for _ in range(cycles):
        charge = charge + _charge_step(charge, capacity, case=case, curve=curve)
        hours = 0.0
        if bleed is not None:
            charge, hours = _bled(charge, capacity, bleed=bleed, hours=bleed_hours_per_cycle)
            charge = charge + _charge_step(charge, capacity, case=case, curve=curve)
        volts = curve.at(charge / capacity)
        given = float(min(case.used_ah, np.min(charge)))
        rows.append((volts, float(np.ptp(charge - capacity)), max(given, 0.0), hours))
        charge = charge - max(given, 0.0) - leak_ah
    return DriftHistory(
        group_v=np.stack([row[0] for row in rows]),
        spread_ah=np.array([row[1] for row in rows]),
        delivered_ah=np.array([row[2] for row in rows]),
        balance_h=np.array([row[3] for row in rows]),
    )


def _charge_step(
    charge: FloatArray, capacity: FloatArray, *, case: DriftCase, curve: OpenCircuitCurve
) -> float:
    """Charge that brings the sum of voltages to its target, or one group to the board's cut."""

    def short_of_full_v(added_ah: float) -> float:
        volts = curve.at((charge + added_ah) / capacity)
        return float(np.sum(volts)) - case.full_v * len(capacity)

    def short_of_cut_v(added_ah: float) -> float:
        volts = curve.at((charge + added_ah) / capacity)
        return float(np.max(volts)) - (case.group_cut_v or np.inf)

    most_ah = 2.0 * float(np.max(capacity))
    added = _root(short_of_full_v, most_ah)
    if case.group_cut_v is not None:
        added = min(added, _root(short_of_cut_v, most_ah))
    return added


def _root(function: Callable[[float], float], most_ah: float) -> float:
    if function(0.0) >= 0:
        return 0.0
    return float(brentq(function, 0.0, most_ah, xtol=1e-9))


def _bled(
    charge: FloatArray, capacity: FloatArray, *, bleed: Bleed, hours: float
) -> tuple[FloatArray, float]:
    """Lower the leading groups towards the lowest, as far as the time allows."""
    lead = (charge - capacity) - np.min(charge - capacity)
    turns = 2.0 if bleed.neighbours_take_turns else 1.0
    taken = np.minimum(lead, bleed.mean_a / turns * hours)
    return charge - taken, float(np.max(taken)) * turns / bleed.mean_a
