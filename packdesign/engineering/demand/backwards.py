"""From the limits back to the setting: shortest ramp, highest duty, lowest current limit, cells.

Every search runs over all corners given (cold, near empty, aged, or whatever the caller makes) and
names the limit and the corner that it hinges on.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Final

from scipy.optimize import brentq

from packdesign.engineering.demand.circuit import Circuit, Machine
from packdesign.engineering.demand.drive import Drive
from packdesign.engineering.demand.steady import steady_point
from packdesign.engineering.demand.transient import simulate_start
from packdesign.engineering.demand.transient_result import TransientResult
from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "Found",
    "StartLimits",
    "highest_current_limit",
    "highest_duty",
    "lowest_current_limit",
    "shortest_ramp",
    "smallest_parallel_count",
]

_RELATIVE_STEP: Final = 2e-3
"""Searches end within this share of the answer, on the side that passes."""
_REACHED_SHARE: Final = 0.9
_GENTLEST_DUTY: Final = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class StartLimits:
    """What a start must not do; None is no limit."""

    lowest_bus_v: float | None = None
    """Supply at the driver never below this. [V]"""
    largest_pack_a: float | None = None
    """Fuse, protection board, wire. [A]"""
    largest_cell_a: float | None = None
    """One cell. [A]"""
    largest_motor_a: float | None = None
    """Motor or driver. [A]"""
    largest_hand_nm: float | None = None
    """Torque on the hand. [N m]"""

    def __post_init__(self) -> None:
        given = [getattr(self, what) for what in self.__slots__]
        if all(value is None for value in given):
            msg = "a search needs at least one limit to hold"
            raise OutOfRangeError(msg)
        if any(value is not None and not value > 0 for value in given):
            msg = f"each limit must be above 0; got {given}"
            raise OutOfRangeError(msg)

    def margins(self, result: TransientResult) -> dict[str, tuple[float, float, float]]:
        """Margin as a share of the limit, value and limit, for each limit given.

        Parameters
        ----------
        result : TransientResult
            The start.
        """
        found = {}
        if self.lowest_bus_v is not None:
            lowest = 0.0 if result.collapsed_at_s is not None else result.lowest_bus_v
            margin = lowest / self.lowest_bus_v - 1
            found["lowest rail [V]"] = (margin, lowest, self.lowest_bus_v)
        for what, value, limit in (
            ("pack current [A]", result.wire.peak_a, self.largest_pack_a),
            ("cell current [A]", result.cell.peak_a, self.largest_cell_a),
            ("motor current [A]", result.motor.peak_a, self.largest_motor_a),
            ("torque on the hand [N m]", result.peak_hand_nm, self.largest_hand_nm),
        ):
            if limit is not None:
                margin = -1.0 if result.collapsed_at_s is not None else 1 - value / limit
                found[what] = (margin, value, limit)
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """The answer of a search."""

    value: float
    """The setting, in the unit the search names. At an end of its range if ``at_end``."""
    at_end: bool
    """The whole range passes, so nothing hinges on anything."""
    hinges_on: str
    """The limit that is reached first."""
    corner: str
    """The corner in which it is."""
    figure: float
    """What that limit is held against, at the answer."""
    limit: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tightest:
    margin: float
    what: str
    corner: str
    figure: float
    limit: float


def _tightest(
    corners: Mapping[str, Circuit], machine: Machine, drive: Drive, limits: StartLimits
) -> _Tightest:
    if not corners:
        msg = "a search needs at least one corner to run in"
        raise OutOfRangeError(msg)
    found = []
    for corner, circuit in corners.items():
        try:
            result = simulate_start(circuit=circuit, machine=machine, drive=drive)
        except OutOfRangeError as error:
            if machine.output_inertia_kg_m2 <= 0:
                raise
            what = str(error)
            found.append(_Tightest(margin=-1.0, what=what, corner=corner, figure=0.0, limit=0.0))
            continue
        for what, (margin, figure, limit) in limits.margins(result).items():
            found.append(
                _Tightest(margin=margin, what=what, corner=corner, figure=figure, limit=limit)
            )
    return min(found, key=lambda each: each.margin)


def _found(value: float, tightest: _Tightest, *, at_end: bool = False) -> Found:
    return Found(
        value=value, at_end=at_end, hinges_on=tightest.what, corner=tightest.corner,
        figure=tightest.figure, limit=tightest.limit,
    )  # fmt: skip


def _search(
    margin: Callable[[float], _Tightest], *, harsh: float, gentle: float, what: str
) -> Found:
    """Root between a harsh end that fails and a gentle end that passes; answer on the safe side."""
    at_harsh, at_gentle = margin(harsh), margin(gentle)
    if at_harsh.margin >= 0:
        return _found(harsh, at_harsh, at_end=True)
    if at_gentle.margin < 0:
        found = at_gentle.what
        if at_gentle.limit:
            found += f" is {at_gentle.figure:.3g} against {at_gentle.limit:.3g}"
        msg = (
            f"no {what} passes: even at {gentle:.4g}, {found} ({at_gentle.corner}); change the "
            "cells, the gear or the load instead"
        )
        raise OutOfRangeError(msg)
    step = _RELATIVE_STEP * max(abs(gentle), abs(harsh)) / 20
    root = float(brentq(lambda each: margin(each).margin, harsh, gentle, xtol=step))
    for _ in range(20):
        answer = margin(root)
        if answer.margin >= 0:
            break
        root += math.copysign(min(2 * step, abs(gentle - root)), gentle - harsh)
    return _found(root, answer)


def shortest_ramp(
    *,
    corners: Mapping[str, Circuit],
    machine: Machine,
    drive: Drive,
    limits: StartLimits,
    longest_s: float = 5.0,
) -> Found:
    """Shortest ramp that keeps every limit in every corner. [s]

    Parameters
    ----------
    corners : mapping of str to Circuit
        Packs as they are at their worst, by name.
    machine : Machine
        Motor and load.
    drive : Drive
        Duty and limits; its own ramp does not count.
    limits : StartLimits
        What must hold.
    longest_s : float
        Longest ramp tried. [s]

    Returns
    -------
    Found
        0 s with ``at_end`` where no ramp is needed.

    Raises
    ------
    OutOfRangeError
        If not even the longest ramp passes, or nothing has any inertia.
    """
    return _search(
        lambda ramp_s: _tightest(corners, machine, drive.with_ramp(max(ramp_s, 0.0)), limits),
        harsh=0.0,
        gentle=longest_s,
        what=f"ramp up to {longest_s:g} s",
    )


def highest_duty(
    *, corners: Mapping[str, Circuit], machine: Machine, drive: Drive, limits: StartLimits
) -> Found:
    """Highest duty that keeps every limit in every corner, with the driver's ramp. [-]

    Parameters
    ----------
    corners : mapping of str to Circuit
        Packs as they are at their worst, by name.
    machine : Machine
        Motor and load.
    drive : Drive
        Ramp and limits; its own duty does not count.
    limits : StartLimits
        What must hold.

    Returns
    -------
    Found
        1 with ``at_end`` where full duty passes. Whether the load still turns at that duty is not
        judged here: see ``steady.steady_point``.
    """
    return _search(
        lambda duty: _tightest(corners, machine, replace(drive, duty=duty), limits),
        harsh=1.0,
        gentle=_GENTLEST_DUTY,
        what=f"duty down to {_GENTLEST_DUTY:g}",
    )


def lowest_current_limit(
    *,
    corners: Mapping[str, Circuit],
    machine: Machine,
    drive: Drive,
    highest_a: float,
    within_s: float,
) -> Found:
    """Lowest current limit of the motor with which the machine still comes up to speed. [A]

    Parameters
    ----------
    corners : mapping of str to Circuit
        Packs as they are at their worst, by name.
    machine : Machine
        Motor and load.
    drive : Drive
        Duty and ramp; its own current limit does not count.
    highest_a : float
        Highest limit tried: what the driver can do. [A]
    within_s : float
        Time after the ramp in which 90 % of the speed without a limit must be reached. [s]

    Returns
    -------
    Found
        Hinges on the speed reached in the weakest corner.
    """
    free = replace(drive, current_limit_a=None)
    wanted = {
        corner: _REACHED_SHARE
        * abs(steady_point(circuit=circuit, machine=machine, drive=free).speed_rad_per_s)
        for corner, circuit in corners.items()
    }

    def slowest(limit_a: float) -> _Tightest:
        limited = replace(drive, current_limit_a=limit_a)
        found = []
        for corner, circuit in corners.items():
            result = simulate_start(
                circuit=circuit, machine=machine, drive=limited, hold_s=within_s
            )
            reached = abs(float(result.speed_rad_per_s[-1]))
            margin = reached / wanted[corner] - 1 if wanted[corner] > 0 else -1.0
            found.append(
                _Tightest(
                    margin=margin, what="speed reached [rad/s]", corner=corner, figure=reached,
                    limit=wanted[corner],
                )
            )  # fmt: skip
        return min(found, key=lambda each: each.margin)

    lowest_a = max(machine.motor.no_load_a, _RELATIVE_STEP * highest_a)
    return _search(
        slowest, harsh=lowest_a, gentle=highest_a, what=f"current limit up to {highest_a:g} A"
    )


def highest_current_limit(
    *,
    corners: Mapping[str, Circuit],
    machine: Machine,
    drive: Drive,
    limits: StartLimits,
    lowest_a: float,
    highest_a: float,
) -> Found:
    """Highest current limit of the motor that keeps every limit in every corner. [A]

    Parameters
    ----------
    corners : mapping of str to Circuit
        Packs as they are at their worst, by name.
    machine : Machine
        Motor and load.
    drive : Drive
        Duty and ramp; its own current limit does not count.
    limits : StartLimits
        What must hold.
    lowest_a : float
        Lowest limit tried: with which the machine still comes up to speed. [A]
    highest_a : float
        Highest limit tried: what the driver can do. [A]

    Returns
    -------
    Found
        ``highest_a`` with ``at_end`` where it passes as it is.

    Raises
    ------
    OutOfRangeError
        If not even the lowest limit passes.
    """
    return _search(
        lambda amps: _tightest(corners, machine, replace(drive, current_limit_a=amps), limits),
        harsh=highest_a,
        gentle=lowest_a,
        what=f"current limit down to {lowest_a:.3g} A",
    )


def smallest_parallel_count(
    *,
    corners_of: Callable[[int], Mapping[str, Circuit]],
    machine: Machine,
    drive: Drive,
    limits: StartLimits,
    largest_count: int = 20,
) -> Found:
    """Fewest cells in parallel with which the start keeps every limit in every corner. [-]

    Parameters
    ----------
    corners_of : callable
        Gives the corners of a pack with so many cells in parallel.
    machine : Machine
        Motor and load.
    drive : Drive
        Duty, ramp, limits.
    limits : StartLimits
        What must hold.
    largest_count : int
        Most cells in parallel tried. [-]

    Returns
    -------
    Found
        The count as a float; ``at_end`` where one cell does.

    Raises
    ------
    OutOfRangeError
        If not even the largest count passes.
    """
    low, high = 0, largest_count
    at_high = _tightest(corners_of(high), machine, drive, limits)
    if at_high.margin < 0:
        msg = (
            f"not even {largest_count} cells in parallel pass: {at_high.what} is "
            f"{at_high.figure:.3g} against {at_high.limit:.3g} ({at_high.corner}); change the "
            "ramp, the current limit or the series count instead"
        )
        raise OutOfRangeError(msg)
    while high - low > 1:
        middle = (low + high) // 2
        tightest = _tightest(corners_of(middle), machine, drive, limits)
        if tightest.margin >= 0:
            high, at_high = middle, tightest
        else:
            low = middle
    return _found(float(high), at_high, at_end=high == 1)
