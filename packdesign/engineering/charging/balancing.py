"""Balancing by bleeding: the bleed current, its heat, and the hours it takes.

How large the gap is, and at which end to level, is in
:mod:`packdesign.engineering.charging.mismatch`; what happens over many cycles with and without
balancing in :mod:`packdesign.engineering.charging.drift`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "Bleed",
    "balance_hours",
    "bleed_current",
    "bleed_current_two_resistors",
    "charges_to_balance",
    "simulated_balance_hours",
    "upkeep_hours_per_month",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bleed:
    """A resistive balancer as built: one resistor per group of cells."""

    current_a: float
    """Current through the resistor while it bleeds, at the full voltage. [A]"""
    duty_fraction: float = 1.0
    """Share of the time in which the bleed is really on; monitors pause to measure. [-]"""
    start_v: float | None = None
    """Voltage per cell above which bleeding is active; None: at any voltage. [V]"""
    neighbours_take_turns: bool = False
    """Whether two neighbouring groups may not bleed at the same moment, as in some monitors."""

    def __post_init__(self) -> None:
        if self.current_a <= 0 or not 0 < self.duty_fraction <= 1:
            msg = (
                "a bleed needs a current above 0 A and a duty above 0 up to 1; got "
                f"{self.current_a} A and {self.duty_fraction}"
            )
            raise OutOfRangeError(msg)

    @property
    def mean_a(self) -> float:
        """Current averaged over the duty. [A]"""
        return self.current_a * self.duty_fraction

    def heat_w(self, *, cell_v: float) -> float:
        """Heat in one bleed path while it is on, voltage times current. [W]

        Parameters
        ----------
        cell_v : float
            Voltage of the cell. [V]

        Examples
        --------
        100 ohm at 4.2 V:

        >>> round(Bleed(current_a=0.042).heat_w(cell_v=4.2), 3)
        0.176
        """
        return self.current_a * cell_v


def bleed_current(*, cell_v: float, path_ohm: float) -> float:
    """Bleed current of a cell through one resistor. [A]

    Parameters
    ----------
    cell_v : float
        Voltage of the cell. [V]
    path_ohm : float
        Everything in the path: resistor, switch, leads. [ohm]

    Raises
    ------
    OutOfRangeError
        If the path has no resistance.

    Notes
    -----
    Ohm's law. Size the resistor's power rating for the highest cell voltage.

    Examples
    --------
    >>> round(bleed_current(cell_v=4.2, path_ohm=47.0), 4)
    0.0894
    """
    if path_ohm <= 0:
        msg = f"the bleed path is {path_ohm} ohm; it must be above 0 ohm"
        raise OutOfRangeError(msg)
    return cell_v / path_ohm


def bleed_current_two_resistors(*, cell_v: float, resistor_ohm: float, switch_ohm: float) -> float:
    r"""Bleed current where both taps of a cell carry a resistor and the switch sits in the monitor.

    Parameters
    ----------
    cell_v : float
        Voltage of the cell. [V]
    resistor_ohm : float
        Resistor in each tap. [ohm]
    switch_ohm : float
        On-resistance of the switch in the monitor. [ohm]

    Returns
    -------
    float
        Bleed current. [A]

    Notes
    -----
    .. math:: I = V / (2 R + R_{on})

    Equation 2 of [1]_. Use the hottest switch resistance for the least current and the coldest
    for the resistor's heat.

    Examples
    --------
    >>> round(bleed_current_two_resistors(cell_v=4.0, resistor_ohm=30.0, switch_ohm=20.0), 3)
    0.05

    References
    ----------
    .. [1] Texas Instruments, application report SLVAE87A (2020, revised 2023), section 4.2
    """
    return bleed_current(cell_v=cell_v, path_ohm=2 * resistor_ohm + switch_ohm)


def balance_hours(*, gap_ah: float, bleed: Bleed) -> float:
    """Hours of bleeding that close a gap: charge over mean current. [h]

    Parameters
    ----------
    gap_ah : float
        Charge by which the lowest group is behind the highest. [A h]
    bleed : Bleed
        The balancer.

    Returns
    -------
    float
        Hours in which the bleed must be active; twice that where neighbours take turns. [h]

    Raises
    ------
    OutOfRangeError
        If the gap is negative.

    Notes
    -----
    Every group that is ahead has a resistor of its own, so they all bleed at once and only the
    largest gap counts.

    Examples
    --------
    Three cells of 2.5 Ah, one 120 mAh behind, a 60 mA bleed:

    >>> balance_hours(gap_ah=0.120, bleed=Bleed(current_a=0.060))
    2.0
    """
    if gap_ah < 0:
        msg = f"the gap is {gap_ah} Ah; it must be 0 Ah or more"
        raise OutOfRangeError(msg)
    turns = 2.0 if bleed.neighbours_take_turns else 1.0
    return gap_ah / bleed.mean_a * turns


def charges_to_balance(*, gap_ah: float, bleed: Bleed, active_h_per_charge: float) -> int | None:
    """Charges until a gap is closed, where bleeding is active only above its start voltage. [-]

    Parameters
    ----------
    gap_ah : float
        Charge by which the lowest group is behind the highest. [A h]
    bleed : Bleed
        The balancer.
    active_h_per_charge : float
        Time in each charge in which groups stand above the start voltage. [h]

    Returns
    -------
    int or None
        Charges needed; None if bleeding is never active. [-]

    Notes
    -----
    `balance_hours` over the active time, rounded up. A board that starts at 4.20 V bleeds only in
    the last minutes of each charge unless the charger stays on.

    Examples
    --------
    >>> charges_to_balance(gap_ah=0.120, bleed=Bleed(current_a=0.060), active_h_per_charge=0.3)
    7
    """
    hours = balance_hours(gap_ah=gap_ah, bleed=bleed)
    if hours == 0:
        return 0
    if active_h_per_charge <= 0:
        return None
    return math.ceil(hours / active_h_per_charge - 1e-9)


def simulated_balance_hours(
    behind_ah: Sequence[float],
    *,
    bleed: Bleed,
    tolerance_ah: float = 0.001,
    step_s: float = 1.0,
) -> float:
    """Hours until all groups are level, followed step by step with each bleed switched by itself.

    Parameters
    ----------
    behind_ah : sequence of float
        Charge by which each group is behind a full one, in pack order. [A h]
    bleed : Bleed
        The balancer.
    tolerance_ah : float
        Lead over the lowest group below which a bleed switches off. [A h]
    step_s : float
        Length of a step; in a step a neighbour may take its turn. [s]

    Returns
    -------
    float
        Hours until no group leads by more than the tolerance. [h]

    Notes
    -----
    The charger holds the pack at its full voltage meanwhile; what the bleeds take, the string
    current gives back, so leads shrink by the bleed current. Only differences are followed.

    Examples
    --------
    >>> round(simulated_balance_hours([0.0, 0.120, 0.0], bleed=Bleed(current_a=0.060)), 2)
    1.98
    """
    lead_ah = [max(behind_ah) - each for each in behind_ah]
    per_step_ah = bleed.mean_a * step_s / 3600.0
    steps = 0
    limit = math.ceil(4 * max(lead_ah) / per_step_ah) + 4
    while max(lead_ah) - min(lead_ah) > tolerance_ah and steps < limit:
        low = min(lead_ah)
        for index, lead in enumerate(lead_ah):
            resting = bleed.neighbours_take_turns and index % 2 != steps % 2
            if not resting and lead - low > tolerance_ah:
                lead_ah[index] = lead - per_step_ah
        steps += 1
    return steps * step_s / 3600.0


def upkeep_hours_per_month(
    *, capacity_ah: float, self_discharge_spread_per_month: float, bleed: Bleed
) -> float:
    """Hours of bleeding per month that keep a balanced pack balanced. [h]

    Parameters
    ----------
    capacity_ah : float
        Capacity of one group. [A h]
    self_discharge_spread_per_month : float
        Difference between the fastest and the slowest leaking group, as a share of capacity. [-]
    bleed : Bleed
        The balancer.

    Examples
    --------
    0.5 % of 2.5 Ah a month through 60 mA, about 12 minutes:

    >>> hours = upkeep_hours_per_month(
    ...     capacity_ah=2.5, self_discharge_spread_per_month=0.005, bleed=Bleed(current_a=0.06)
    ... )
    >>> round(hours * 60, 1)
    12.5
    """
    return balance_hours(gap_ah=capacity_ah * self_discharge_spread_per_month, bleed=bleed)
