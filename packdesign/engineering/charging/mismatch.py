"""Groups that are unlike: the gap in charge, how resistance feigns one, which end to level at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from packdesign.foundation.errors import OutOfRangeError

__all__ = ["BalanceEnd", "BalanceOutcome", "balance_at", "false_gap", "gap_from_voltage"]


def gap_from_voltage(*, voltage_spread_v: float, slope_v_per_ah: float) -> float:
    """Charge gap that a spread of rested voltages stands for. [A h]

    Parameters
    ----------
    voltage_spread_v : float
        Highest less lowest rested voltage. [V]
    slope_v_per_ah : float
        Slope of open-circuit voltage over charge at that place. On the flat part of an LFP curve
        it is nearly nothing, and voltage cannot tell the gap. [V/(A h)]

    Raises
    ------
    OutOfRangeError
        If the slope is 0 or less.

    Examples
    --------
    >>> round(gap_from_voltage(voltage_spread_v=0.030, slope_v_per_ah=0.3), 3)
    0.1
    """
    if slope_v_per_ah <= 0:
        msg = (
            f"the slope of the open-circuit voltage is {slope_v_per_ah} V/Ah; above 0 is needed "
            "to tell charge from voltage"
        )
        raise OutOfRangeError(msg)
    return abs(voltage_spread_v) / slope_v_per_ah


def false_gap(*, current_a: float, resistance_spread_ohm: float, slope_v_per_ah: float) -> float:
    """Gap that is not there: how unequal resistance deceives a balancer that acts under current.

    Parameters
    ----------
    current_a : float
        Charge current through the string while voltages are compared. [A]
    resistance_spread_ohm : float
        Highest less lowest resistance of the groups, joints included. [ohm]
    slope_v_per_ah : float
        Slope of open-circuit voltage over charge there. [V/(A h)]

    Returns
    -------
    float
        Charge the balancer would take out of a group that is not ahead at all. [A h]

    Notes
    -----
    The voltage error is current times resistance difference. It fades as the current of the CV
    phase falls, which is why bleeding belongs at the end of the charge.

    Examples
    --------
    5 milliohm at 1.5 A reads as 7.5 mV:

    >>> round(false_gap(current_a=1.5, resistance_spread_ohm=0.005, slope_v_per_ah=0.3), 3)
    0.025
    """
    return gap_from_voltage(
        voltage_spread_v=current_a * resistance_spread_ohm, slope_v_per_ah=slope_v_per_ah
    )


class BalanceEnd(StrEnum):
    """The end of the charge at which all groups are made level."""

    TOP = "top"
    """All full together: what balance chargers and boards do."""
    BOTTOM = "bottom"
    """All empty together: done by hand, with the cells apart."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BalanceOutcome:
    """What levelling at one end means for cells of unequal capacity."""

    usable_ah: float
    """Charge between the two ends, set by the smallest group. [A h]"""
    weakest_index: int
    """Which group is the smallest, counted from 0 at the pack's minus."""
    spread_at_other_end_fraction: float
    """How far the groups are apart at the other end, as a share of their charge. [-]"""
    watch: str
    """What has to be watched then, and where."""


def balance_at(capacities_ah: Sequence[float], *, end: BalanceEnd) -> BalanceOutcome:
    """Tell what top or bottom balancing does with groups of unequal capacity.

    Parameters
    ----------
    capacities_ah : sequence of float
        Capacity of each group. [A h]
    end : BalanceEnd
        Where they are level.

    Returns
    -------
    BalanceOutcome
        Usable charge is the same; the place of danger is not.

    Raises
    ------
    OutOfRangeError
        If there is no group, or one without capacity.

    Notes
    -----
    Arithmetic. Levelled at the top, the smallest group empties first; levelled at the bottom,
    it is full first, and a charger that sees only the whole pack overcharges it.

    Examples
    --------
    >>> balance_at([2.5, 2.4, 2.5], end=BalanceEnd.TOP).usable_ah
    2.4
    """
    if not capacities_ah or min(capacities_ah) <= 0:
        msg = f"each group needs a capacity above 0 Ah; got {list(capacities_ah)}"
        raise OutOfRangeError(msg)
    smallest = min(capacities_ah)
    weakest = list(capacities_ah).index(smallest)
    left = [1.0 - smallest / each for each in capacities_ah]
    watch = {
        BalanceEnd.TOP: f"the low voltage of group {weakest + 1}: it empties first",
        BalanceEnd.BOTTOM: (
            f"the high voltage of group {weakest + 1}: it is full first, and only a charger or "
            "board that reads each group stops in time"
        ),
    }[end]
    return BalanceOutcome(
        usable_ah=smallest,
        weakest_index=weakest,
        spread_at_other_end_fraction=max(left) - min(left),
        watch=watch,
    )
