"""Intake of cells: what was measured on each, and which of them are turned away.

Grouping the rest is in :mod:`packdesign.engineering.charging.grouping`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from statistics import median

from packdesign.foundation.errors import OutOfRangeError

__all__ = ["CellReading", "IntakeLimits", "IntakeResult", "Origin", "Rejected", "take_in"]


class Origin(StrEnum):
    """Where a cell comes from."""

    NEW = "new"
    """Bought new from a seller that can be traced, of one batch."""
    MIXED = "mixed"
    """New but of several batches or models."""
    SALVAGED = "salvaged"
    """Taken out of another pack, or nobody knows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CellReading:
    """What was measured on one cell. None: not measured."""

    label: str
    """What is written on the cell with a pen."""
    rested_v: float
    """Voltage after the rest. [V]"""
    capacity_ah: float | None = None
    resistance_ohm: float | None = None
    rest_days: float | None = None
    """Days between the two voltages, or since the last charge. [day]"""
    start_v: float | None = None
    """Voltage at the start of the rest. [V]"""
    origin: Origin = Origin.NEW

    @property
    def drop_v_per_day(self) -> float | None:
        """Voltage lost per day of rest; None if it was not measured. [V/day]"""
        if self.start_v is None or not self.rest_days:
            return None
        return (self.start_v - self.rested_v) / self.rest_days


@dataclass(frozen=True, slots=True, kw_only=True)
class IntakeLimits:
    """What a cell must be to be let in."""

    rated_capacity_ah: float
    """Guaranteed capacity of the model. [A h]"""
    full_v: float | None = None
    """Charge voltage of the model; None: not known. [V]"""
    over_full_v: float = 0.05
    """Above full by more than this a cell was overcharged: Battery University BU-409, 2017. [V]"""
    most_capacity_fraction: float = 1.15
    """Of the rated capacity; above it the figure is not believed. Own choice, no source: a slow
    test of a good new cell reads a few percent over its sheet. [-]"""
    floor_v: float = 2.0
    """Below this a cell is not let in; Battery University storage notes discard there. [V]"""
    least_capacity_fraction: float = 0.90
    """Of the rated capacity. Common practice, no source. [-]"""
    most_resistance_ratio: float = 1.30
    """Against the median of the lot. Common practice, no source. [-]"""
    least_resistance_ratio: float = 0.25
    """Against the median of the lot; below it the figure is not believed. Own choice, no source:
    good cells of one model lie within a few percent of each other. [-]"""
    most_drop_v_per_day: float = 0.004
    """Lost per day of rest beyond the median of the lot. From memory, no source. [V/day]"""
    least_rest_days: float = 7.0
    """Rest that shows a leaking cell. Common practice, no source; two weeks are better. [day]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rejected:
    """A cell that is turned away, with every reason."""

    label: str
    reasons: tuple[str, ...]
    is_overcharged: bool = False
    """Whether it stood above full: a danger where it lies, built in or not."""
    is_not_believed: bool = False
    """Whether its capacity is more than the model can hold, or another figure cannot be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class IntakeResult:
    """The lot, sorted."""

    accepted: tuple[CellReading, ...]
    rejected: tuple[Rejected, ...]
    not_judged: tuple[str, ...]
    """What could not be judged, cell by cell."""
    raises_gate: bool
    """True if any cell is salvaged or the lot is mixed: the hazard gate must hear of it."""


def take_in(readings: Sequence[CellReading], limits: IntakeLimits) -> IntakeResult:
    """Sort a lot of cells into accepted and rejected.

    Parameters
    ----------
    readings : sequence of CellReading
        The lot.
    limits : IntakeLimits
        What a cell must be.

    Returns
    -------
    IntakeResult
        Accepted, rejected with reasons, and what could not be judged.

    Raises
    ------
    OutOfRangeError
        If the lot is empty, or a label comes twice.

    Notes
    -----
    Resistance and voltage drop are held against the median of the lot, because meters differ more
    than cells of one batch do.

    Examples
    --------
    >>> lot = [CellReading(label="a", rested_v=3.6), CellReading(label="b", rested_v=1.4)]
    >>> take_in(lot, IntakeLimits(rated_capacity_ah=2.5)).rejected[0].label
    'b'
    """
    labels = [reading.label for reading in readings]
    if not readings:
        msg = "no measured cell is in the list; write one row for each cell under the headings"
        raise OutOfRangeError(msg)
    twice = sorted({label for label in labels if labels.count(label) > 1})
    if twice:
        msg = (
            f"the list has {', '.join(twice)} more than once; each cell needs a name of its own, "
            "as it is written on the cell"
        )
        raise OutOfRangeError(msg)
    typical_ohm = _median([reading.resistance_ohm for reading in readings])
    typical_drop = _median([reading.drop_v_per_day for reading in readings])
    accepted: list[CellReading] = []
    rejected: list[Rejected] = []
    unknown: list[str] = []
    for reading in readings:
        reasons = (
            *_voltage_reasons(reading, limits),
            *_capacity_reasons(reading, limits),
            *_resistance_reasons(reading, limits, typical_ohm=typical_ohm),
            *_drop_reasons(reading, limits, typical_drop=typical_drop),
        )
        unknown.extend(_not_judged(reading, limits))
        if reasons:
            rejected.append(
                Rejected(
                    label=reading.label,
                    reasons=reasons,
                    is_overcharged=_is_overcharged(reading, limits),
                    is_not_believed=_is_not_believed(reading, limits)
                    or reading.rested_v < 0
                    or _has_too_little_ohm(reading, limits, typical_ohm),
                )
            )
        else:
            accepted.append(reading)
    return IntakeResult(
        accepted=tuple(accepted),
        rejected=tuple(rejected),
        not_judged=tuple(unknown),
        raises_gate=any(reading.origin is not Origin.NEW for reading in readings),
    )


def _median(values: Sequence[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return median(known) if known else None


def _highest_v(reading: CellReading) -> float:
    return reading.rested_v if reading.start_v is None else max(reading.rested_v, reading.start_v)


def _is_overcharged(reading: CellReading, limits: IntakeLimits) -> bool:
    return limits.full_v is not None and _highest_v(reading) > limits.full_v + limits.over_full_v


def _is_not_believed(reading: CellReading, limits: IntakeLimits) -> bool:
    most_ah = limits.most_capacity_fraction * limits.rated_capacity_ah
    return reading.capacity_ah is not None and reading.capacity_ah > most_ah


def _has_too_little_ohm(
    reading: CellReading, limits: IntakeLimits, typical_ohm: float | None
) -> bool:
    if reading.resistance_ohm is None or typical_ohm is None:
        return False
    return reading.resistance_ohm < limits.least_resistance_ratio * typical_ohm


def _voltage_reasons(reading: CellReading, limits: IntakeLimits) -> tuple[str, ...]:
    if _is_overcharged(reading, limits):
        return (
            f"{_highest_v(reading):.2f} V is above full ({limits.full_v:g} V): overcharged, take "
            "it outside, never use it",
        )
    if reading.rested_v < 0:
        return (
            f"{reading.rested_v:.2f} V is below zero: the probes were crossed, or the cell was "
            "driven backwards; read it again, and recycle it if it stays so",
        )
    if reading.rested_v >= limits.floor_v:
        return ()
    return (
        f"{reading.rested_v:.2f} V is below {limits.floor_v:.2f} V: never charge it, recycle it",
    )


def _capacity_reasons(reading: CellReading, limits: IntakeLimits) -> tuple[str, ...]:
    if _is_not_believed(reading, limits):
        return (
            f"{reading.capacity_ah:g} Ah is more than this model holds (sheet: "
            f"{limits.rated_capacity_ah:g} Ah): a slip, or another cell",
        )
    least = limits.least_capacity_fraction * limits.rated_capacity_ah
    if reading.capacity_ah is None or reading.capacity_ah >= least:
        return ()
    return (f"{reading.capacity_ah:.3f} Ah is below {least:.3f} Ah",)


def _resistance_reasons(
    reading: CellReading, limits: IntakeLimits, *, typical_ohm: float | None
) -> tuple[str, ...]:
    if reading.resistance_ohm is None or typical_ohm is None:
        return ()
    if _has_too_little_ohm(reading, limits, typical_ohm):
        return (
            f"{reading.resistance_ohm * 1000:.3g} milliohm is far below the "
            f"{typical_ohm * 1000:.3g} of the lot: a slip of the unit or of the meter",
        )
    most = limits.most_resistance_ratio * typical_ohm
    if reading.resistance_ohm <= most:
        return ()
    return (
        f"{reading.resistance_ohm * 1000:.1f} milliohm is above {most * 1000:.1f} "
        f"({limits.most_resistance_ratio:g} times the median of the lot)",
    )


def _drop_reasons(
    reading: CellReading, limits: IntakeLimits, *, typical_drop: float | None
) -> tuple[str, ...]:
    drop = reading.drop_v_per_day
    if drop is None or typical_drop is None or (reading.rest_days or 0) < limits.least_rest_days:
        return ()
    if drop - max(typical_drop, 0.0) <= limits.most_drop_v_per_day:
        return ()
    return (
        f"it lost {drop * 1000:.1f} mV a day, the lot {typical_drop * 1000:.1f}: it leaks inside",
    )


def _not_judged(reading: CellReading, limits: IntakeLimits) -> tuple[str, ...]:
    missing = []
    if reading.capacity_ah is None:
        missing.append("capacity")
    if reading.resistance_ohm is None:
        missing.append("resistance")
    if reading.drop_v_per_day is None or (reading.rest_days or 0) < limits.least_rest_days:
        missing.append(f"self-discharge (needs two voltages {limits.least_rest_days:g} days apart)")
    if not missing:
        return ()
    return (f"{reading.label}: {', '.join(missing)} not known",)
