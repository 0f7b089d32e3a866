"""From a bench list of cells to groups and joints: who is in, who goes where, what flows."""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from packdesign.data.cells import Cell, Family
from packdesign.data.chemistries import ocv_for
from packdesign.engineering.charging.grouping import Grouping, best_groups
from packdesign.engineering.charging.intake import (
    CellReading,
    IntakeLimits,
    IntakeResult,
    take_in,
)
from packdesign.engineering.charging.paralleling import (
    JoinSide,
    Levelling,
    join_steps,
    joined,
    levelling,
    levelling_resistor,
    voltage_match,
)
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.charge_plan.go_no_go import OVER_FULL_V, recharge_floor_v

__all__ = ["IntakePlan", "Joint", "limits_of", "plan_intake"]

_LEVEL_WITHIN_V: Final = 0.05
# pack makers' matching limits (large-battery.com, undated); the figure from memory
_LEVEL_WITHIN_FLAT_V: Final = 0.01
# LFP: voltages tell little; 10 mV after a full charge and rest: common practice, no source
_SLOPE_STEP_SOC: Final = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """One cell about to join a group."""

    group: int
    """Counted from 1 at the pack's minus."""
    label: str
    """The cell that joins."""
    levelling: Levelling
    is_level: bool
    """Whether the voltages are near enough to join at once."""
    gap_v: float
    """Voltage between the cell and what it joins, before. [V]"""
    resistor_ohm: float
    """Resistor that keeps the levelling within the cell's charge current; 0: none needed. [ohm]"""
    resistor_w: float
    """Power in it at the first moment. [W]"""
    resistor_time_s: float
    """Time through it until 95 % has moved. [s]"""
    advice: str


@dataclass(frozen=True, slots=True, kw_only=True)
class IntakePlan:
    """The lot sorted, grouped, and every joint looked at before it is made."""

    intake: IntakeResult
    grouping: Grouping
    joints: tuple[Joint, ...]
    voltage_match_v: float
    """Largest difference at which cells may be joined. [V]"""


def plan_intake(
    cell: Cell, readings: Sequence[CellReading], *, series: int, parallel: int
) -> IntakePlan:
    """Sort, group and check the joints of a lot of measured cells.

    Parameters
    ----------
    cell : Cell
        The model of the cells.
    readings : sequence of CellReading
        What was measured on each.
    series, parallel : int
        Counts of the pack. [-]

    Returns
    -------
    IntakePlan
        Rejects, groups, and for each joint its current, heat and advice.

    Raises
    ------
    OutOfRangeError
        If too few cells are left, or one of them has no capacity or resistance.
    """
    return _planned(cell, tuple(readings), series, parallel)


@functools.lru_cache(maxsize=32)
def _planned(
    cell: Cell, readings: tuple[CellReading, ...], series: int, parallel: int
) -> IntakePlan:
    """Plan a lot once: the verdicts on it and the run of its weakest group ask for the same."""
    intake = take_in(readings, limits_of(cell))
    grouping = best_groups(intake.accepted, series=series, parallel=parallel)
    match_v = _match_v(cell, intake.accepted, parallel=parallel)
    by_label = {reading.label: reading for reading in intake.accepted}
    joints = [
        joint
        for number, labels in enumerate(grouping.groups, start=1)
        for joint in _joints(cell, [by_label[label] for label in labels], number, match_v)
    ]
    return IntakePlan(
        intake=intake, grouping=grouping, joints=tuple(joints), voltage_match_v=match_v
    )


def limits_of(cell: Cell) -> IntakeLimits:
    """Give what a cell of a model must be to be let in.

    Parameters
    ----------
    cell : Cell
        The model.
    """
    return IntakeLimits(
        rated_capacity_ah=cell.promised_capacity_ah,
        full_v=cell.full_v,
        over_full_v=OVER_FULL_V,
        floor_v=recharge_floor_v(cell),
    )


def _resistance(reading: CellReading) -> float:
    if reading.resistance_ohm is None:
        msg = f"cell {reading.label} has no resistance; measure it before cells are joined"
        raise OutOfRangeError(msg)
    return reading.resistance_ohm


def _match_v(cell: Cell, readings: Sequence[CellReading], *, parallel: int) -> float:
    """Voltage match: the makers' limit, or less where the charge current would be passed."""
    nearest_v = _LEVEL_WITHIN_FLAT_V if cell.family is Family.LFP else _LEVEL_WITHIN_V
    if parallel == 1:
        return nearest_v
    charge_a = cell.standard_charge_a or cell.capacity_ah / 3
    least_ohm = min(_resistance(reading) for reading in readings)
    return min(nearest_v, voltage_match(max_levelling_a=charge_a, total_ohm=2 * least_ohm))


def _slope_v_per_soc(cell: Cell, volts: float) -> float:
    """Slope of the open-circuit curve at a rested voltage, never below a tenth of a volt."""
    curve = ocv_for(cell)
    at_soc = [step / 200 for step in range(201)]
    found = min(at_soc, key=lambda soc: abs(float(curve.at(soc)) - volts))
    low, high = max(0.0, found - _SLOPE_STEP_SOC), min(1.0, found + _SLOPE_STEP_SOC)
    return max(0.1, (float(curve.at(high)) - float(curve.at(low))) / (high - low))


def _joints(
    cell: Cell, members: list[CellReading], group: int, match_v: float
) -> tuple[Joint, ...]:
    if len(members) == 1:
        return ()
    ordered = sorted(members, key=lambda reading: reading.rested_v)
    sides = [
        JoinSide(
            rested_v=reading.rested_v,
            resistance_ohm=_resistance(reading),
            capacity_ah=reading.capacity_ah or cell.capacity_ah,
        )
        for reading in ordered
    ]
    slope = _slope_v_per_soc(cell, sum(each.rested_v for each in ordered) / len(ordered))
    charge_a = cell.standard_charge_a or cell.capacity_ah / 3
    steps = join_steps(sides, slope_v_per_soc=slope)
    group_side = sides[0]
    joints = []
    for reading, side, step in zip(ordered[1:], sides[1:], steps, strict=True):
        gap_v = abs(side.rested_v - group_side.rested_v)
        is_level = gap_v <= match_v
        resistor_ohm = levelling_resistor(group_side, side, most_a=charge_a)
        through = levelling(group_side, side, slope_v_per_soc=slope, joint_ohm=resistor_ohm)
        joints.append(
            Joint(
                group=group,
                label=reading.label,
                levelling=step,
                is_level=is_level,
                gap_v=gap_v,
                resistor_ohm=resistor_ohm,
                resistor_w=charge_a**2 * resistor_ohm,
                resistor_time_s=through.time_s,
                advice="level: join it"
                if is_level
                else f"{step.peak_a:.1f} A would flow: bring it level through a resistor first",
            )
        )
        group_side = joined(group_side, side, step)
    return tuple(joints)
