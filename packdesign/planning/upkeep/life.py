"""How long a pack lives in its mission: capacity, resistance, and what they do to the device."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from packdesign.data.cells import Cell
from packdesign.engineering.ageing.calendar import Rest, calendar_ageing
from packdesign.engineering.ageing.cycle_life import CycleUse, cycle_ageing
from packdesign.engineering.ageing.cycle_table import row_of_cell
from packdesign.engineering.ageing.estimate import AgeingEstimate, both
from packdesign.foundation.basis import Band
from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "END_OF_LIFE_CAPACITY",
    "END_OF_LIFE_RESISTANCE",
    "USUAL_YEARS",
    "LifeYear",
    "Mission",
    "life_years",
    "part_charge_words",
]

_YEAR_DAYS: Final = 365.25
END_OF_LIFE_CAPACITY: Final = 0.80
END_OF_LIFE_RESISTANCE: Final = 2.0
# 80 % of capacity or 200 % of resistance, whichever comes first: TWAICE encyclopedia, undated
USUAL_YEARS: Final = (1.0, 2.0, 3.0, 5.0)
"""When a pack is looked at, if nothing else is asked for. [a]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mission:
    """A year in the life of a pack."""

    cycles_per_week: float
    """Charges used in a week. [-]"""
    use: CycleUse
    storage_degc: float
    """Mean cell temperature between uses. [degC]"""
    storage_soc: float
    """State of charge between uses. [-]"""
    largest_resistance_ratio: float = END_OF_LIFE_RESISTANCE
    """Resistance over new at which the device fails its burst; see the burst check. [-]"""

    def __post_init__(self) -> None:
        if self.cycles_per_week < 0 or self.largest_resistance_ratio <= 1:
            msg = (
                "cycles per week must be 0 or more and the largest resistance ratio above 1; got "
                f"{self.cycles_per_week} and {self.largest_resistance_ratio}"
            )
            raise OutOfRangeError(msg)


@dataclass(frozen=True, slots=True, kw_only=True)
class LifeYear:
    """The pack after some years."""

    years: float
    cycles: float
    """Charges until then. [-]"""
    depth_fraction: float
    """What each of them fills back, as a share of the capacity. [-]"""
    estimate: AgeingEstimate
    ends_by: str
    """"capacity" or "resistance" where the middle has passed its end, empty before."""
    run_time_fraction: Band | None
    """Run time over that of the new pack, by capacity alone. [-]"""


def life_years(
    cell: Cell, mission: Mission, *, years: tuple[float, ...] = USUAL_YEARS
) -> tuple[LifeYear, ...]:
    """Follow a pack through years of its mission.

    Parameters
    ----------
    cell : Cell
        The cell.
    mission : Mission
        A year of use and rest.
    years : tuple of float
        When to look. [a]

    Returns
    -------
    tuple of LifeYear
        One for each; unknown parts stay None.

    Raises
    ------
    OutOfRangeError
        If the storage temperature or the time lies beyond what is published.

    Notes
    -----
    Rest and cycles are added. The cycle figure of the cell's own sheet is used where it states
    what is left.
    """
    return tuple(_after(cell, mission, years=each) for each in years)


def part_charge_words(year: LifeYear) -> str:
    """Say which charges are counted, beside the full cycles that a charge plan counts.

    Parameters
    ----------
    year : LifeYear
        Any of the years of a mission.
    """
    return (
        f"Each of these charges fills back {year.depth_fraction * 100:.0f} % of the capacity, what "
        "is used before it. They are not the full cycles by which a charge plan tells how long "
        "cells live: a full cycle wears more."
    )


def _after(cell: Cell, mission: Mission, *, years: float) -> LifeYear:
    cycles = mission.cycles_per_week * years * _YEAR_DAYS / 7
    rest = Rest(
        temperature_degc=mission.storage_degc,
        soc=mission.storage_soc,
        days=years * _YEAR_DAYS,
    )
    estimate = both(
        calendar_ageing(cell.family, rest),
        cycle_ageing(cell.family, mission.use, cycles=cycles, own=row_of_cell(cell)),
    )
    return LifeYear(
        years=years,
        cycles=cycles,
        depth_fraction=mission.use.depth_fraction,
        estimate=estimate,
        ends_by=_end(estimate, mission),
        run_time_fraction=estimate.capacity_fraction,
    )


def _end(estimate: AgeingEstimate, mission: Mission) -> str:
    ratio, left = estimate.resistance_ratio, estimate.capacity_fraction
    if ratio is not None and ratio.mid >= mission.largest_resistance_ratio:
        return "resistance"
    if left is not None and left.mid <= END_OF_LIFE_CAPACITY:
        return "capacity"
    return ""
