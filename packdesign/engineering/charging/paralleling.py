"""Before two cells are joined in parallel: the levelling current, its heat, the match needed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "JoinSide",
    "Levelling",
    "join_steps",
    "joined",
    "levelling",
    "levelling_resistor",
    "voltage_match",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class JoinSide:
    """A cell, or a group already joined, about to be put in parallel."""

    rested_v: float
    """Rested voltage. [V]"""
    resistance_ohm: float
    """Resistance of this side. [ohm]"""
    capacity_ah: float
    """Capacity of this side. [A h]"""

    def __post_init__(self) -> None:
        if self.resistance_ohm <= 0 or self.capacity_ah <= 0:
            msg = (
                "a side needs resistance and capacity above 0; got "
                f"{self.resistance_ohm} ohm and {self.capacity_ah} Ah"
            )
            raise OutOfRangeError(msg)


@dataclass(frozen=True, slots=True, kw_only=True)
class Levelling:
    """What flows when two sides are joined."""

    peak_a: float
    """Current at the first moment. [A]"""
    moved_ah: float
    """Charge that moves until both are level. [A h]"""
    heat_j: float
    """Heat made in both sides and the joint. [J]"""
    joined_v: float
    """Voltage both settle at. [V]"""
    time_s: float
    """Time until 95 % has moved. [s]"""


def levelling(
    first: JoinSide, second: JoinSide, *, slope_v_per_soc: float, joint_ohm: float = 0.0
) -> Levelling:
    r"""Follow the levelling of two sides whose open-circuit line is straight there.

    Parameters
    ----------
    first, second : JoinSide
        The two sides.
    slope_v_per_soc : float
        Slope of the open-circuit voltage over state of charge there; about 1 V for a whole NMC
        curve, far less on the LFP plateau. [V]
    joint_ohm : float
        Resistance of the joint or of a resistor put in between. [ohm]

    Returns
    -------
    Levelling
        Peak current, charge, heat, time.

    Raises
    ------
    OutOfRangeError
        If the slope is not above 0 or the joint is below 0 ohm.

    Notes
    -----
    Each side is a capacitance :math:`C = 3600 Q / s` (farad). With the series capacitance
    :math:`C_s = C_1 C_2 / (C_1 + C_2)`: :math:`I_0 = \Delta V / R`, charge
    :math:`C_s \Delta V`, heat :math:`C_s \Delta V^2 / 2` whatever the resistance, and
    :math:`\tau = R C_s`. On a flat curve the charge is large although the voltages are close.

    Examples
    --------
    0.2 V apart, two cells of 2.5 Ah and 20 milliohm:

    >>> a = JoinSide(rested_v=3.9, resistance_ohm=0.020, capacity_ah=2.5)
    >>> b = JoinSide(rested_v=3.7, resistance_ohm=0.020, capacity_ah=2.5)
    >>> result = levelling(a, b, slope_v_per_soc=1.0)
    >>> round(result.peak_a, 1), round(result.moved_ah, 2), round(result.heat_j, 0)
    (5.0, 0.25, 90.0)
    """
    if slope_v_per_soc <= 0 or joint_ohm < 0:
        msg = (
            f"the slope must be above 0 V and the joint 0 ohm or more; got {slope_v_per_soc} V "
            f"and {joint_ohm} ohm"
        )
        raise OutOfRangeError(msg)
    gap_v = abs(first.rested_v - second.rested_v)
    total_ohm = first.resistance_ohm + second.resistance_ohm + joint_ohm
    farads = [3600.0 * side.capacity_ah / slope_v_per_soc for side in (first, second)]
    series_f = farads[0] * farads[1] / sum(farads)
    joined_v = (farads[0] * first.rested_v + farads[1] * second.rested_v) / sum(farads)
    return Levelling(
        peak_a=gap_v / total_ohm,
        moved_ah=series_f * gap_v / 3600.0,
        heat_j=series_f * gap_v**2 / 2,
        joined_v=joined_v,
        time_s=3.0 * total_ohm * series_f,
    )


def voltage_match(*, max_levelling_a: float, total_ohm: float) -> float:
    """Largest voltage difference at which a joint stays below a current. [V]

    Parameters
    ----------
    max_levelling_a : float
        Levelling current allowed: the charge limit of the cell that gets charged. [A]
    total_ohm : float
        Both sides and the joint. [ohm]

    Notes
    -----
    Ohm's law. Pack makers ask for 10 to 50 mV (large-battery.com notice, undated; the upper
    figure from memory); take the smaller of the two.

    Examples
    --------
    >>> round(voltage_match(max_levelling_a=1.25, total_ohm=0.04), 3)
    0.05
    """
    return max_levelling_a * total_ohm


def join_steps(
    sides: Sequence[JoinSide], *, slope_v_per_soc: float, joint_ohm: float = 0.0
) -> tuple[Levelling, ...]:
    """Follow each joint of a group made one cell after the other, in the order given.

    Parameters
    ----------
    sides : sequence of JoinSide
        The cells in the order in which they are joined.
    slope_v_per_soc : float
        Slope of open-circuit voltage over state of charge. [V]
    joint_ohm : float
        Resistance of each joint. [ohm]

    Returns
    -------
    tuple of Levelling
        One fewer than the cells; each from the settled group to the next cell.

    Examples
    --------
    >>> cells = [JoinSide(rested_v=v, resistance_ohm=0.02, capacity_ah=2.5) for v in (3.7, 3.7)]
    >>> join_steps(cells, slope_v_per_soc=1.0)[0].peak_a
    0.0
    """
    steps: list[Levelling] = []
    group = sides[0]
    for side in sides[1:]:
        step = levelling(group, side, slope_v_per_soc=slope_v_per_soc, joint_ohm=joint_ohm)
        steps.append(step)
        group = joined(group, side, step)
    return tuple(steps)


def joined(first: JoinSide, second: JoinSide, step: Levelling) -> JoinSide:
    """Give two sides as one after they are level.

    Parameters
    ----------
    first, second : JoinSide
        The two sides.
    step : Levelling
        What flowed between them.

    Examples
    --------
    >>> a = JoinSide(rested_v=3.7, resistance_ohm=0.02, capacity_ah=2.5)
    >>> joined(a, a, levelling(a, a, slope_v_per_soc=1.0)).capacity_ah
    5.0
    """
    return JoinSide(
        rested_v=step.joined_v,
        resistance_ohm=1 / (1 / first.resistance_ohm + 1 / second.resistance_ohm),
        capacity_ah=first.capacity_ah + second.capacity_ah,
    )


def levelling_resistor(first: JoinSide, second: JoinSide, *, most_a: float) -> float:
    """Resistor between two sides that keeps the current between them within a limit. [ohm]

    Parameters
    ----------
    first, second : JoinSide
        The two sides.
    most_a : float
        Current allowed: the charge limit of the cell that gets charged. [A]

    Returns
    -------
    float
        0 where none is needed. [ohm]

    Raises
    ------
    OutOfRangeError
        If the current is not above 0.

    Notes
    -----
    Ohm's law: the difference over the current, less what the sides have.

    Examples
    --------
    0.2 V apart, 20 milliohm each, 1.25 A: 160 milliohm in all.

    >>> a = JoinSide(rested_v=3.9, resistance_ohm=0.020, capacity_ah=2.5)
    >>> b = JoinSide(rested_v=3.7, resistance_ohm=0.020, capacity_ah=2.5)
    >>> round(levelling_resistor(a, b, most_a=1.25), 3)
    0.12
    """
    if most_a <= 0:
        msg = f"the levelling current allowed is {most_a} A; it must be above 0 A"
        raise OutOfRangeError(msg)
    needed_ohm = abs(first.rested_v - second.rested_v) / most_a
    return max(0.0, needed_ohm - first.resistance_ohm - second.resistance_ohm)
