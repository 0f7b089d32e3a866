"""The voltages at which a device warns, limits, stops and cuts, from cell, rail and sag.

All are voltages of the pack at its terminals under the working load, for that is what the
controller reads while the device runs.

* hard cut: the floor. Below it a cell is under its cut-off or the rail loses its regulation; where
  only the sum of the groups is seen, the weakest of them is the cell that counts.
* stop: the device ends its work in good order, some way above the floor.
* limit: from here a start at full power would drag the pack down to the floor, so starts are
  softened and power is cut back.
* warn: a set reserve of charge above the limit.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from scipy.optimize import brentq

from packdesign.foundation.errors import OutOfRangeError

__all__ = ["GaugePack", "Threshold", "Thresholds", "Wished", "soc_at_rest", "thresholds"]

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
_WARN_HOLD_S: Final = 10.0
_LIMIT_HOLD_S: Final = 1.0
_STOP_HOLD_S: Final = 2.0
_CUT_HOLD_S: Final = 0.2
"""How long a voltage must stay below its threshold; chosen here, the cut well under the 2 s that
a cell may spend below its floor (that figure from memory). [s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wished:
    """Voltages per cell that the builder has set, in place of those worked out here."""

    warn_v: float | None = None
    limit_v: float | None = None
    stop_v: float | None = None
    hard_cut_v: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugePack:
    """What the thresholds are made from."""

    series: int
    family: str
    cell_full_v: float
    cell_cutoff_v: float
    open_circuit_v: Callable[[float], float]
    """Open-circuit voltage of a cell at a state of charge from 0 to 1, rising. [V]"""
    resistance_ohm: float
    """Resistance of the pack at its terminals, aged and cold as it may get. [ohm]"""
    working_a: float
    """Current while the device works steadily. [A]"""
    peak_a: float
    """Largest current of a start. [A]"""
    start_s: float = 1.0
    """How long a start lasts. [s]"""
    rail_minimum_v: float = 0.0
    """Least pack voltage at which everything on the pack still works. [V]"""
    reserve_fraction: float = 0.10
    """Charge that is left between warning and limit. [-]"""
    behind_fraction: float = 0.0
    """Charge by which the weakest group runs empty before the others, as a share of the capacity,
    where nothing but the sum of the groups is seen. [-]"""
    wished: Wished = Wished()

    def __post_init__(self) -> None:
        if self.series < 1 or not 0 < self.cell_cutoff_v < self.cell_full_v:
            msg = (
                "a gauge needs 1 or more in series and 0 < cut-off < full voltage; got "
                f"{self.series}, {self.cell_cutoff_v} V and {self.cell_full_v} V"
            )
            raise OutOfRangeError(msg)
        if self.resistance_ohm < 0 or not 0 <= self.working_a <= self.peak_a:
            msg = (
                "a gauge needs a resistance of 0 or more and 0 <= working <= peak current; got "
                f"{self.resistance_ohm} ohm, {self.working_a} A and {self.peak_a} A"
            )
            raise OutOfRangeError(msg)

    @property
    def floor_v(self) -> float:
        """Lowest pack voltage at which no cell is under its cut-off and the rails hold. [V]"""
        return max(self.series * self.cell_cutoff_v, self.weakest_v, self.rail_minimum_v)

    @property
    def weakest_v(self) -> float:
        """Pack voltage under the working load while its weakest group is at its cut-off. [V]

        The other groups stand higher, by the charge that they have more.
        """
        if not self.behind_fraction:
            return self.series * self.cell_cutoff_v
        sag_v = self.working_a * self.resistance_ohm / self.series
        soc = soc_at_rest(open_circuit_v=self.open_circuit_v, cell_v=self.cell_cutoff_v + sag_v)
        other_v = self.open_circuit_v(min(soc + self.behind_fraction, 1.0)) - sag_v
        return self.cell_cutoff_v + (self.series - 1) * max(other_v, self.cell_cutoff_v)


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


def soc_at_rest(*, open_circuit_v: Callable[[float], float], cell_v: float) -> float:
    """State of charge at which a cell rests at a voltage, kept within 0 and 1. [-]

    Parameters
    ----------
    open_circuit_v : callable
        Open-circuit voltage of a cell at a state of charge, rising. [V]
    cell_v : float
        Resting voltage of the cell. [V]
    """
    if cell_v <= open_circuit_v(0.0):
        return 0.0
    if cell_v >= open_circuit_v(1.0):
        return 1.0
    return float(brentq(lambda soc: open_circuit_v(soc) - cell_v, 0.0, 1.0))


def thresholds(pack: GaugePack, *, error_v: float = 0.0) -> Thresholds:
    """Work out the thresholds.

    Parameters
    ----------
    pack : GaugePack
        Cell, rail and sag.
    error_v : float
        How far one reading may differ from the next: the error of the converter. Errors of gain
        move all thresholds together and are met where the floor is turned into counts. [V]

    Returns
    -------
    Thresholds
        True voltages.

    Notes
    -----
    With R the resistance, I the working and P the peak current: ``hard_cut`` is the floor of the
    pack, ``max(series * cut-off, weakest group at its cut-off, rail minimum)``;
    ``stop = max(series * practice, hard_cut + step)``; ``limit = max(stop + step, hard_cut +
    (P - I) R)``; ``warn`` = the larger of ``series * practice`` and the loaded voltage at the
    limit's charge and the reserve. Own design.

    Examples
    --------
    A light load on three cells: the warning is at 3.3 V per cell, common practice.

    >>> pack = GaugePack(series=3, family="nmc", cell_full_v=4.2, cell_cutoff_v=2.5,
    ...     open_circuit_v=lambda soc: 3.0 + 1.2 * soc, resistance_ohm=0.0, working_a=0.0,
    ...     peak_a=0.0)
    >>> found = thresholds(pack)
    >>> round(found.full_v, 3), round(found.warn.loaded_v, 3), round(found.stop.loaded_v, 3)
    (12.6, 9.9, 9.0)
    """
    n, wished = pack.series, pack.wished
    sag_v = pack.working_a * pack.resistance_ohm
    step_v = max(n * _STEP_PER_CELL_V, 2 * error_v)
    warn_cell_v, stop_cell_v = _PRACTICE_V.get(pack.family, (0.0, 0.0))
    floor_v = pack.floor_v
    hard_cut_v = _set_or(wished.hard_cut_v, n, floor_v)
    stop_v = _set_or(wished.stop_v, n, max(n * stop_cell_v, hard_cut_v + step_v))
    start_sag_v = (pack.peak_a - pack.working_a) * pack.resistance_ohm
    limit_v = _set_or(wished.limit_v, n, max(stop_v + step_v, hard_cut_v + start_sag_v))
    reserve_soc = min(1.0, _soc(pack, limit_v + sag_v) + pack.reserve_fraction)
    reserve_v = n * pack.open_circuit_v(reserve_soc) - sag_v
    warn_v = _set_or(wished.warn_v, n, max(n * warn_cell_v, reserve_v, limit_v + step_v))
    rise_v = sag_v + step_v
    full_v = round(n * pack.cell_full_v, 9)
    stop_hold_s = max(_STOP_HOLD_S, 2 * pack.start_s)
    return Thresholds(
        full_v=full_v,
        loaded_full_v=full_v - sag_v,
        warn=_threshold(pack, "warn", warn_v, _WARN_HOLD_S, warn_v + rise_v),
        limit=_threshold(pack, "limit", limit_v, _LIMIT_HOLD_S, limit_v + rise_v),
        stop=_threshold(pack, "stop", stop_v, stop_hold_s, None),
        hard_cut=_threshold(pack, "hard_cut", hard_cut_v, _CUT_HOLD_S, None),
    )


def _set_or(per_cell_v: float | None, series: int, worked_out_v: float) -> float:
    return worked_out_v if per_cell_v is None else series * per_cell_v


def _soc(pack: GaugePack, resting_v: float) -> float:
    return soc_at_rest(open_circuit_v=pack.open_circuit_v, cell_v=resting_v / pack.series)


def _threshold(
    pack: GaugePack, name: str, loaded_v: float, hold_s: float, release_v: float | None
) -> Threshold:
    resting_v = loaded_v + pack.working_a * pack.resistance_ohm
    return Threshold(
        name=name,
        loaded_v=loaded_v,
        resting_v=resting_v,
        soc_fraction=_soc(pack, resting_v),
        hold_s=hold_s,
        release_v=release_v,
    )
