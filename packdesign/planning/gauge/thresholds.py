"""The voltages at which a device warns, limits, stops and cuts, from cell, rail and sag.

All are voltages of the pack at its terminals under the working load, for that is what the
controller reads while the device runs.

* hard cut: the floor. Below it a cell is under its cut-off or the rail loses its regulation; where
  only the sum of the groups is seen, the weakest of them is the cell that counts.
* stop: the device ends its work in good order, so far above the floor that a softened start does
  not reach the hard cut while the stop still waits out its hold.
* limit: from here a start at full power would drag the pack down to the floor, so starts are
  softened and power is cut back.
* warn: a set reserve of charge above the limit.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from packdesign.foundation.constants import SECONDS_PER_HOUR
from packdesign.planning.gauge.loaded import LoadedCurve
from packdesign.planning.gauge.pack import GaugePack

__all__ = [
    "Room",
    "Threshold",
    "Thresholds",
    "reserve_v",
    "room_above",
    "stop_hold_s",
    "thresholds",
    "thresholds_at",
]

_LAYERED_WARN_V, _LAYERED_STOP_V = 3.3, 3.0
_PRACTICE_V: Final = {
    "nmc": (_LAYERED_WARN_V, _LAYERED_STOP_V),
    "nca": (_LAYERED_WARN_V, _LAYERED_STOP_V),
    "lco": (_LAYERED_WARN_V, _LAYERED_STOP_V),
    "lmo": (_LAYERED_WARN_V, _LAYERED_STOP_V),
}
"""Warn and stop per cell under load, by family. Common practice, no source."""

_STEP_PER_CELL_V: Final = 0.05
"""Least distance between two thresholds, per cell; chosen here. [V]"""
_RESERVE_FRACTION: Final = 0.10
"""Charge that is left between warning and limit; chosen here. [-]"""
_WARN_HOLD_S: Final = 10.0
_LIMIT_HOLD_S: Final = 1.0
_STOP_HOLD_S: Final = 2.0
_CUT_HOLD_S: Final = 0.2
"""How long a voltage must stay below its threshold; chosen here, the cut well under the 2 s that
a cell may spend below its floor (that figure from memory). [s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Threshold:
    """One voltage with what belongs to it."""

    name: str
    loaded_v: float
    """At the terminals under the working load. [V]"""
    resting_v: float
    """Where the same pack settles without load. [V]"""
    soc_fraction: float
    """State of charge at that resting voltage. [-]"""
    hold_s: float
    """How long the voltage must stay below before it counts. [s]"""
    release_v: float | None
    """Where it is taken back; None: it stays until the pack is charged. [V]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Thresholds:
    """All of them, with the voltage of the full pack."""

    full_v: float
    loaded_full_v: float
    """The full pack under the working load. [V]"""
    warn: Threshold
    limit: Threshold
    stop: Threshold
    hard_cut: Threshold

    @property
    def in_order(self) -> tuple[Threshold, ...]:
        """From the highest to the lowest."""
        return (self.warn, self.limit, self.stop, self.hard_cut)


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """Least distance of each threshold from the one that it rests on. [V]"""

    step_v: float
    """Any two of them."""
    stop_v: float
    """The stop above the hard cut."""
    limit_v: float
    """The limit above the hard cut."""


def room_above(
    pack: GaugePack, curve: LoadedCurve, *, hard_cut_v: float, error_v: float = 0.0
) -> Room:
    """Give how much room the thresholds need above a hard cut to keep their meaning.

    Parameters
    ----------
    pack : GaugePack
        Cell, rail and sag.
    curve : LoadedCurve
        That pack under its working load.
    hard_cut_v : float
        The hard cut. [V]
    error_v : float
        As for :func:`thresholds`. [V]
    """
    step_v = max(pack.series * _STEP_PER_CELL_V, 2 * error_v)
    soft_a, full_a = pack.softened_a - pack.working_a, pack.peak_a - pack.working_a
    return Room(
        step_v=step_v,
        stop_v=max(step_v, curve.start_v(floor_v=hard_cut_v, more_a=soft_a)),
        limit_v=max(step_v, curve.start_v(floor_v=hard_cut_v, more_a=full_a)),
    )


def reserve_v(curve: LoadedCurve, *, limit_v: float) -> float:
    """Voltage under load at which the reserve of a warning is left above a limit. [V]

    Parameters
    ----------
    curve : LoadedCurve
        The pack under its working load.
    limit_v : float
        The limit. [V]
    """
    return curve.at(min(1.0, curve.soc_at(limit_v) + _RESERVE_FRACTION))


def thresholds(pack: GaugePack, *, error_v: float = 0.0) -> Thresholds:
    """Work out the thresholds.

    Parameters
    ----------
    pack : GaugePack
        Cell, rail and sag.
    error_v : float
        How far one reading may be off: the error of the converter. Errors of gain move all
        thresholds together and are met where they are turned into counts. [V]

    Returns
    -------
    Thresholds
        True voltages.

    Notes
    -----
    ``hard_cut`` is the floor of the pack, ``max(series * cut-off, weakest group at its cut-off,
    rail minimum)``; ``stop = max(series * practice, hard_cut + what a softened start takes)``;
    ``limit = max(stop + step, hard_cut + what a full start takes)``; ``warn`` = the larger of
    ``series * practice`` and the loaded voltage at the limit's charge and the reserve. None is
    nearer to the next than a step. Own design.

    Examples
    --------
    A light load on three cells: the warning is at 3.3 V per cell, common practice.

    >>> pack = GaugePack(series=3, family="nmc", cell_full_v=4.2, cell_cutoff_v=2.5,
    ...     open_circuit_v=lambda soc: 3.0 + 1.2 * soc, lasting_ohm=lambda soc: 0.0,
    ...     sudden_ohm=lambda soc: 0.0, working_a=0.0, peak_a=0.0)
    >>> found = thresholds(pack)
    >>> round(found.full_v, 3), round(found.warn.loaded_v, 3), round(found.stop.loaded_v, 3)
    (12.6, 9.9, 9.0)
    """
    n, wished, curve = pack.series, pack.wished, pack.curve
    warn_cell_v, stop_cell_v = _PRACTICE_V.get(pack.family, (0.0, 0.0))
    hard_cut_v = _set_or(wished.hard_cut_v, n, pack.floor_v)
    room = room_above(pack, curve, hard_cut_v=hard_cut_v, error_v=error_v)
    stop_v = _set_or(wished.stop_v, n, max(n * stop_cell_v, hard_cut_v + room.stop_v))
    limit_v = _set_or(wished.limit_v, n, max(stop_v + room.step_v, hard_cut_v + room.limit_v))
    own_warn_v = max(n * warn_cell_v, reserve_v(curve, limit_v=limit_v), limit_v + room.step_v)
    return thresholds_at(
        pack,
        (_set_or(wished.warn_v, n, own_warn_v), limit_v, stop_v, hard_cut_v),
        curve=curve,
        step_v=room.step_v,
    )


def thresholds_at(
    pack: GaugePack,
    levels_v: tuple[float, float, float, float],
    *,
    curve: LoadedCurve,
    step_v: float,
    gain: float = 1.0,
) -> Thresholds:
    """Give everything that belongs to four voltages.

    Parameters
    ----------
    pack : GaugePack
        Cell, rail and sag.
    levels_v : tuple of float
        Warn, limit, stop and hard cut under the working load. [V]
    curve : LoadedCurve
        That pack under its working load.
    step_v : float
        How far beyond its rebound a threshold is taken back. [V]
    gain : float
        How much larger a device may read a difference than it is. [-]
    """

    def made(name: str, loaded_v: float, hold_s: float, *, is_taken_back: bool) -> Threshold:
        soc = curve.soc_at(loaded_v)
        sag_v = curve.sag_v(soc=soc, working_a=pack.working_a)
        return Threshold(
            name=name,
            loaded_v=loaded_v,
            resting_v=loaded_v + sag_v,
            soc_fraction=soc,
            hold_s=hold_s,
            release_v=loaded_v + gain * (sag_v + step_v) if is_taken_back else None,
        )

    warn_v, limit_v, stop_v, hard_cut_v = levels_v
    full_v = round(pack.series * pack.cell_full_v, 9)
    return Thresholds(
        full_v=full_v,
        loaded_full_v=full_v - curve.sag_v(soc=1.0, working_a=pack.working_a),
        warn=made("warn", warn_v, _WARN_HOLD_S, is_taken_back=True),
        limit=made("limit", limit_v, _LIMIT_HOLD_S, is_taken_back=True),
        stop=made("stop", stop_v, stop_hold_s(pack), is_taken_back=False),
        hard_cut=made("hard_cut", hard_cut_v, _CUT_HOLD_S, is_taken_back=False),
    )


def stop_hold_s(pack: GaugePack) -> float:
    """How long the reading must stay below the stop: twice a start, yet never too long. [s]

    Parameters
    ----------
    pack : GaugePack
        Cell, rail and the working load; what a sudden load meets is not asked.

    Notes
    -----
    The hold is no longer than the hardest current takes to run the pack, under its working load,
    down by a step from the lowest that the stop may stand, which is a step or more above the hard
    cut: beyond that the stop would not act where it is set. It is never under 2 s, which a cell may
    spend even below its floor. Where it is shorter than a start, a start may be counted as the end.
    Own design.

    Examples
    --------
    Starts of a minute on 2.5 Ah of a straight curve: 0.05 of 1.2 V are 375 As, 25 s at 15 A.

    >>> pack = GaugePack(series=1, family="lfp", cell_full_v=4.2, cell_cutoff_v=3.0,
    ...     open_circuit_v=lambda soc: 3.0 + 1.2 * soc, lasting_ohm=lambda soc: 0.0,
    ...     sudden_ohm=lambda soc: 0.0, working_a=0.0, peak_a=15.0, start_s=60.0, capacity_ah=2.5)
    >>> round(stop_hold_s(pack), 3)
    25.0
    """
    wanted_s = max(_STOP_HOLD_S, 2 * pack.start_s)
    if pack.peak_a <= 0:
        return wanted_s
    n, step_v = pack.series, pack.series * _STEP_PER_CELL_V
    _, stop_cell_v = _PRACTICE_V.get(pack.family, (0.0, 0.0))
    cut_v = _set_or(pack.wished.hard_cut_v, n, pack.floor_v)
    stop_v = _set_or(pack.wished.stop_v, n, max(n * stop_cell_v, cut_v + step_v))
    share = pack.curve.soc_at(stop_v) - pack.curve.soc_at(stop_v - step_v)
    longest_s = share * pack.capacity_ah * SECONDS_PER_HOUR / pack.peak_a if share > 0 else 0.0
    return min(wanted_s, max(longest_s, _STOP_HOLD_S))


def _set_or(per_cell_v: float | None, series: int, worked_out_v: float) -> float:
    return worked_out_v if per_cell_v is None else series * per_cell_v
