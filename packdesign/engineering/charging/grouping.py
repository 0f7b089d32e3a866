"""Which cells go side by side: groups of equal capacity, with like resistances inside.

A string is as good as its smallest group, and inside a group the current follows the resistances.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from packdesign.engineering.charging.intake import CellReading
from packdesign.engineering.demand.profile import FloatArray
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["Grouping", "best_groups"]

_EXACT_UP_TO_CELLS: Final = 12
# above this the integer search takes seconds and more; measured while writing this module
_RESISTANCE_WEIGHT: Final = 0.1
# a 1 % spread of resistance inside a group counts as much as 0.1 % of group capacity: our choice
_MOST_SWAPS: Final = 2000


@dataclass(frozen=True, slots=True, kw_only=True)
class Grouping:
    """Cells sorted into parallel groups."""

    groups: tuple[tuple[str, ...], ...]
    """Labels of the cells, group by group, from the pack's minus on."""
    group_ah: tuple[float, ...]
    """Capacity of each group. [A h]"""
    spare: tuple[str, ...]
    """Cells that are left over."""
    spread_fraction: float
    """Largest less smallest group over the mean. [-]"""
    resistance_spread_fraction: float
    """Largest spread of resistance inside any one group over its mean; 0 if unknown. [-]"""
    usable_ah: float
    """Capacity of the smallest group: what the pack gives. [A h]"""


def best_groups(cells: Sequence[CellReading], *, series: int, parallel: int) -> Grouping:
    """Sort cells into groups of nearly equal capacity.

    Parameters
    ----------
    cells : sequence of CellReading
        Accepted cells; each needs a capacity.
    series : int
        Groups. [-]
    parallel : int
        Cells in each group. [-]

    Returns
    -------
    Grouping
        The best that was found; for up to 12 cells the capacities are the best there is.

    Raises
    ------
    OutOfRangeError
        If there are too few cells, or one has no capacity.

    Notes
    -----
    Of too many cells the neighbours in capacity with the least range are taken. They are dealt
    out to and fro, then pairs are swapped while that helps. Up to 12 cells an integer programme
    (scipy ``milp``) looks for the least difference between largest and smallest group as well.

    Examples
    --------
    >>> lot = [
    ...     CellReading(label=str(each), rested_v=3.6, capacity_ah=each)
    ...     for each in (2.4, 2.5, 2.6, 2.7)
    ... ]
    >>> best_groups(lot, series=2, parallel=2).groups
    (('2.7', '2.4'), ('2.6', '2.5'))
    """
    needed = series * parallel
    if series < 1 or parallel < 1 or len(cells) < needed:
        msg = f"{series} in series and {parallel} in parallel need {needed} cells; got {len(cells)}"
        raise OutOfRangeError(msg)
    unknown = [cell.label for cell in cells if cell.capacity_ah is None]
    if unknown:
        msg = f"capacity is needed for grouping; it is not known for {', '.join(unknown)}"
        raise OutOfRangeError(msg)
    chosen, spare = _nearest_in_capacity(cells, needed=needed)
    capacity = np.array([cell.capacity_ah for cell in chosen], dtype=float)
    resistance = np.array([cell.resistance_ohm or np.nan for cell in chosen], dtype=float)
    assigned = _swapped(_dealt(needed, series), capacity=capacity, resistance=resistance)
    if parallel > 1 and needed <= _EXACT_UP_TO_CELLS:
        exact = _exact(capacity, series=series, parallel=parallel)
        options = [assigned, *([] if exact is None else [exact])]
        assigned = min(options, key=lambda each: _cost(each, capacity, resistance))
    return _as_grouping(assigned, chosen, spare=spare, series=series)


def _nearest_in_capacity(
    cells: Sequence[CellReading], *, needed: int
) -> tuple[list[CellReading], tuple[str, ...]]:
    ordered = sorted(cells, key=lambda cell: (-(cell.capacity_ah or 0.0), cell.label))
    ranges = [
        (ordered[start].capacity_ah or 0.0) - (ordered[start + needed - 1].capacity_ah or 0.0)
        for start in range(len(ordered) - needed + 1)
    ]
    start = int(np.argmin(np.round(ranges, 9)))
    chosen = ordered[start : start + needed]
    left = tuple(cell.label for cell in (*ordered[:start], *ordered[start + needed :]))
    return chosen, left


def _dealt(count: int, series: int) -> FloatArray:
    """Deal cells to groups to and fro: 0 1 2 2 1 0 0 1 2."""
    there = list(range(series))
    rounds = (there if turn % 2 == 0 else there[::-1] for turn in range(count // series))
    return np.array([group for one in rounds for group in one], dtype=float)


def _cost(assigned: FloatArray, capacity: FloatArray, resistance: FloatArray) -> float:
    groups = [assigned == group for group in np.unique(assigned)]
    sums = np.array([capacity[members].sum() for members in groups])
    cost = float(np.ptp(sums) / sums.mean())
    if np.all(np.isfinite(resistance)):
        spreads = [np.ptp(resistance[members]) / resistance[members].mean() for members in groups]
        cost += _RESISTANCE_WEIGHT * float(np.max(spreads))
    return cost


def _swapped(start: FloatArray, *, capacity: FloatArray, resistance: FloatArray) -> FloatArray:
    """Swap the pair that helps most, again and again, until none helps."""
    assigned = start.copy()
    cost = _cost(assigned, capacity, resistance)
    for _ in range(_MOST_SWAPS):
        best, best_cost = None, cost - 1e-12
        for first in range(len(assigned)):
            for second in range(first + 1, len(assigned)):
                if assigned[first] == assigned[second]:
                    continue
                assigned[[first, second]] = assigned[[second, first]]
                tried = _cost(assigned, capacity, resistance)
                assigned[[first, second]] = assigned[[second, first]]
                if tried < best_cost:
                    best, best_cost = (first, second), tried
        if best is None:
            break
        first, second = best
        assigned[[first, second]] = assigned[[second, first]]
        cost = best_cost
    return assigned


def _exact(capacity: FloatArray, *, series: int, parallel: int) -> FloatArray | None:
    """Least difference between largest and smallest group, by integer programme."""
    count = len(capacity)
    cells = count * series
    objective = np.zeros(cells + 2)
    objective[cells], objective[cells + 1] = 1.0, -1.0
    rows: list[FloatArray] = []
    low: list[float] = []
    high: list[float] = []

    def add(row: FloatArray, least: float, most: float) -> None:
        rows.append(row)
        low.append(least)
        high.append(most)

    for cell in range(count):
        row = np.zeros(cells + 2)
        row[cell * series : (cell + 1) * series] = 1.0
        add(row, 1.0, 1.0)
    for group in range(series):
        members = np.zeros(cells + 2)
        members[group:cells:series] = 1.0
        add(members, parallel, parallel)
        total = np.zeros(cells + 2)
        total[group:cells:series] = capacity
        total[cells] = -1.0
        add(total, -np.inf, 0.0)
        above = -total
        above[cells], above[cells + 1] = 0.0, 1.0
        add(above, -np.inf, 0.0)
    upper = np.ones(cells + 2)
    upper[cells:] = np.inf
    upper[1:series] = 0.0  # the first cell goes into the first group: groups have no names
    found = milp(
        objective,
        constraints=LinearConstraint(np.stack(rows), low, high),
        integrality=np.concatenate([np.ones(cells), np.zeros(2)]),
        bounds=Bounds(np.zeros(cells + 2), upper),
        options={"time_limit": 10.0},
    )
    if found.x is None:
        return None
    chosen = np.asarray(found.x[:cells]).reshape(count, series)
    return np.asarray(np.argmax(chosen, axis=1), dtype=np.float64)


def _as_grouping(
    assigned: FloatArray, cells: Sequence[CellReading], *, spare: tuple[str, ...], series: int
) -> Grouping:
    members = [
        [cell for cell, group in zip(cells, assigned, strict=True) if group == each]
        for each in range(series)
    ]
    sums = [sum(cell.capacity_ah or 0.0 for cell in group) for group in members]
    spreads = [0.0]
    for group in members:
        known = [cell.resistance_ohm for cell in group if cell.resistance_ohm is not None]
        if len(known) == len(group):
            spreads.append((max(known) - min(known)) / (sum(known) / len(known)))
    return Grouping(
        groups=tuple(tuple(cell.label for cell in group) for group in members),
        group_ah=tuple(sums),
        spare=spare,
        spread_fraction=(max(sums) - min(sums)) / (sum(sums) / len(sums)),
        resistance_spread_fraction=max(spreads),
        usable_ah=min(sums),
    )
