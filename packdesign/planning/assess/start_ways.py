"""What would let a motor start where no ramp does: less duty, a current limit, more cells."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Final

from packdesign.engineering.demand.backwards import (
    StartLimits,
    highest_current_limit,
    highest_duty,
    lowest_current_limit,
    smallest_parallel_count,
)
from packdesign.engineering.demand.circuit import Circuit
from packdesign.engineering.demand.drive import Drive
from packdesign.engineering.demand.mission import Driven
from packdesign.engineering.demand.steady import steady_point
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.verdicts.judge import spoken

__all__ = ["ways_to_start"]

_WITHIN_S: Final = 3.0
"""Time after the ramp in which a limited motor must come up to speed: own choice. [s]"""
_MOST_PARALLEL: Final = 12
"""Wider packs are no advice for a small device: own choice. [-]"""
_HUNDREDTHS: Final = 100


def ways_to_start(
    corners: Mapping[str, Circuit],
    driven: Driven,
    limits: StartLimits,
    *,
    wider: Callable[[int], Mapping[str, Circuit]],
    parallel: int,
) -> tuple[str, ...]:
    """Look for what would let a motor start without breaking a limit, each change alone.

    Parameters
    ----------
    corners : mapping of str to Circuit
        The pack at its worst, by name.
    driven : Driven
        Motor with its hungriest figures, load and driver.
    limits : StartLimits
        What must hold.
    wider : callable
        Gives the corners of the same pack with so many cells in parallel.
    parallel : int
        Cells in parallel that the pack has. [-]

    Returns
    -------
    tuple of str
        A sentence for each change that would do; empty where none alone does.
    """
    return (
        *_duty(corners, driven, limits),
        *_current(corners, driven, limits),
        *_cells(driven, limits, wider=wider, parallel=parallel),
    )


def _duty(corners: Mapping[str, Circuit], driven: Driven, limits: StartLimits) -> Iterator[str]:
    """Less duty, if the load still turns at it."""
    try:
        found = highest_duty(
            corners=corners, machine=driven.machine, drive=driven.drive, limits=limits
        )
    except OutOfRangeError:
        return
    duty = math.floor(found.value * _HUNDREDTHS) / _HUNDREDTHS
    if 0 < duty < driven.drive.duty and _turns(corners, driven, replace(driven.drive, duty=duty)):
        yield f"A duty of {duty:.2f} or less would do, at less speed."


def _turns(corners: Mapping[str, Circuit], driven: Driven, drive: Drive) -> bool:
    """Whether the load turns in every corner."""
    try:
        points = [
            steady_point(circuit=each, machine=driven.machine, drive=drive)
            for each in corners.values()
        ]
    except OutOfRangeError:
        return False
    return not any(point.stalled for point in points)


def _current(corners: Mapping[str, Circuit], driven: Driven, limits: StartLimits) -> Iterator[str]:
    """A window of current limits: high enough to come up to speed, low enough for the pack."""
    machine, drive = driven.machine, driven.drive
    full_v = max(each.source.open_circuit_v for each in corners.values())
    stall_a = machine.motor.stall_a(voltage_v=full_v)
    try:
        low = lowest_current_limit(
            corners=corners, machine=machine, drive=drive, highest_a=stall_a, within_s=_WITHIN_S
        )
        high = highest_current_limit(
            corners=corners, machine=machine, drive=drive, limits=limits, lowest_a=low.value,
            highest_a=stall_a,
        )  # fmt: skip
    except OutOfRangeError:
        return
    own_a = drive.current_limit_a
    if own_a is not None and low.value <= own_a <= high.value:
        return
    if high.at_end:
        yield f"The driver's current limit must be {spoken(low.value, 'A')} or more to get going."
        return
    yield (
        f"A current limit of the driver of {spoken(high.value, 'A')} or less would do; from "
        f"{spoken(low.value, 'A')} on it still comes up to speed within {_WITHIN_S:g} s."
    )


def _cells(
    driven: Driven,
    limits: StartLimits,
    *,
    wider: Callable[[int], Mapping[str, Circuit]],
    parallel: int,
) -> Iterator[str]:
    """More cells in parallel; whether they fit is for the shortlist."""
    try:
        found = smallest_parallel_count(
            corners_of=wider,
            machine=driven.machine,
            drive=driven.drive,
            limits=limits,
            largest_count=_MOST_PARALLEL,
        )
    except OutOfRangeError:
        return
    count = int(found.value)
    if count > parallel and _turns(wider(count), driven, driven.drive):
        yield f"At least {count} of these cells in parallel would do, if they fit."
