"""Work and rest over and over: where the temperatures settle, and when a limit is reached.

Built on the exact two-node step, so a whole period is one linear map of the two temperatures and
the settled cycle is its fixed point; nothing is marched to see whether it has settled. The loss to
the air, which grows with the rise, is that of the mean rise of the surface over the period.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import brentq

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.thermal.path import REFERENCE_RISE_K, ThermalPath
from packdesign.engineering.thermal.two_node import two_node_step
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["HeatCycle", "SettledCycle", "settled_cycle", "time_until_cell_s"]

_SAMPLES = 33
_MOST_PERIODS = 20_000
_MOST_ROUNDS = 60
_SETTLED_K = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatCycle:
    """Heat of one cell over one period that repeats, and the way it leaves."""

    duration_s: FloatArray
    """Length of each piece, above zero. Shape (m,). [s]"""
    heat_w: FloatArray
    """Heat of one cell in each piece. Shape (m,). [W]"""
    cell_j_per_k: float
    path: ThermalPath
    ambient_degc: float

    def __post_init__(self) -> None:
        if len(self.duration_s) == 0 or len(self.duration_s) != len(self.heat_w):
            msg = (
                "a cycle needs as many heats as durations, 1 or more; got "
                f"{len(self.duration_s)} and {len(self.heat_w)}"
            )
            raise OutOfRangeError(msg)
        if np.min(self.duration_s) <= 0 or self.cell_j_per_k <= 0:
            msg = "durations and cell_j_per_k must be above 0"
            raise OutOfRangeError(msg)

    def step(
        self, cell_degc: float, surface_degc: float, *, heat_w: float, step_s: float | FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """Cell and surface after a time of one heat, with the loss of the reference rise. [degC]"""
        return two_node_step(
            cell_degc,
            surface_degc,
            heat_w=heat_w,
            ambient_degc=self.ambient_degc,
            cell_j_per_k=self.cell_j_per_k,
            surface_j_per_k=self.path.surface_j_per_k,
            cell_to_surface_w_per_k=self.path.cell_to_surface_w_per_k,
            surface_to_air_w_per_k=self.path.surface_to_air_w_per_k,
            step_s=step_s,
        )

    def frozen(self, rise_k: float) -> HeatCycle:
        """Make the same cycle with the loss of one rise of the surface.

        Parameters
        ----------
        rise_k : float
            Surface above the air. [K]
        """
        return replace(self, path=self.path.frozen(rise_k))

    def over_period(self, cell_degc: float, surface_degc: float) -> tuple[float, float]:
        """Cell and surface one period later, with the loss of the reference rise. [degC]"""
        for length, heat in zip(self.duration_s, self.heat_w, strict=True):
            cell, surface = self.step(
                cell_degc, surface_degc, heat_w=float(heat), step_s=float(length)
            )
            cell_degc, surface_degc = float(cell), float(surface)
        return cell_degc, surface_degc


@dataclass(frozen=True, slots=True, kw_only=True)
class SettledCycle:
    """Temperatures of the settled cycle."""

    start_cell_degc: float
    """Cell at the start of each period. [degC]"""
    start_surface_degc: float
    highest_cell_degc: float
    highest_surface_degc: float
    slowest_time_s: float
    """Time constant of the slower of both nodes: three of them settle all but 5 %. [s]"""


def settled_cycle(cycle: HeatCycle) -> SettledCycle:
    r"""Find the cycle of temperatures that repeats for ever.

    Parameters
    ----------
    cycle : HeatCycle
        Heat, path, air.

    Returns
    -------
    SettledCycle
        Start, peaks, time constant.

    Notes
    -----
    One period maps the two temperatures as :math:`x' = M x + b`; the settled start is
    :math:`(I - M)^{-1} b`. Loss and mean rise settle on each other in rounds, each of which brings
    them nearer by a factor of four or more. Peaks are read at 33 times in each piece and lie within
    a thousandth of the swing of the true ones.

    Examples
    --------
    1 W for ever through 0.1 W/K and 0.5 W/K:

    >>> path = ThermalPath(cell_to_surface_w_per_k=0.5, surface_to_air_w_per_k=0.1,
    ...     surface_j_per_k=20.0)
    >>> cycle = HeatCycle(duration_s=np.array([60.0]), heat_w=np.array([1.0]), cell_j_per_k=45.0,
    ...     path=path, ambient_degc=20.0)
    >>> round(settled_cycle(cycle).highest_cell_degc, 2)
    32.0
    """
    rise_k = REFERENCE_RISE_K
    for _ in range(_MOST_ROUNDS):
        found, mean_rise_k = _settled_at(cycle.frozen(rise_k))
        if abs(mean_rise_k - rise_k) < _SETTLED_K:
            break
        rise_k = mean_rise_k
    return found


def _settled_at(cycle: HeatCycle) -> tuple[SettledCycle, float]:
    """The settled cycle of a linear path, and the mean rise of its surface."""
    still = np.array(cycle.over_period(0.0, 0.0))
    matrix = np.column_stack(
        [
            np.array(cycle.over_period(1.0, 0.0)) - still,
            np.array(cycle.over_period(0.0, 1.0)) - still,
        ]
    )
    start = np.linalg.solve(np.eye(2) - matrix, still)
    cell, surface = _peaks(cycle, float(start[0]), float(start[1]))
    slowest = float(np.max(np.abs(np.linalg.eigvals(matrix))))
    found = SettledCycle(
        start_cell_degc=float(start[0]),
        start_surface_degc=float(start[1]),
        highest_cell_degc=cell,
        highest_surface_degc=surface,
        slowest_time_s=-float(np.sum(cycle.duration_s)) / math.log(slowest),
    )
    heat_w = float(np.dot(cycle.heat_w, cycle.duration_s) / np.sum(cycle.duration_s))
    return found, heat_w / cycle.path.surface_to_air_w_per_k


def time_until_cell_s(
    cycle: HeatCycle,
    *,
    limit_degc: float,
    start_cell_degc: float | None = None,
    start_surface_degc: float | None = None,
) -> float:
    """Time until the cell first reaches a temperature while the cycle repeats. [s]

    Parameters
    ----------
    cycle : HeatCycle
        Heat, path, air.
    limit_degc : float
        The limit. [degC]
    start_cell_degc, start_surface_degc : float or None
        Temperatures at the start; left out: those of the air. [degC]

    Returns
    -------
    float
        Time, 0 where the start is beyond it, infinite where the settled cycle stays below. [s]

    Raises
    ------
    OutOfRangeError
        If the limit is reached only after 20 000 periods.

    Notes
    -----
    Period by period with the exact step and the loss of the mean rise at both ends of the period;
    inside the piece that reaches the limit by root search.

    Examples
    --------
    >>> path = ThermalPath(cell_to_surface_w_per_k=0.5, surface_to_air_w_per_k=0.1,
    ...     surface_j_per_k=20.0)
    >>> cycle = HeatCycle(duration_s=np.array([60.0]), heat_w=np.array([1.0]), cell_j_per_k=45.0,
    ...     path=path, ambient_degc=20.0)
    >>> time_until_cell_s(cycle, limit_degc=33.0)
    inf
    >>> 600 < time_until_cell_s(cycle, limit_degc=30.0) < 1500
    True
    """
    cell = cycle.ambient_degc if start_cell_degc is None else start_cell_degc
    surface = cycle.ambient_degc if start_surface_degc is None else start_surface_degc
    if cell >= limit_degc:
        return 0.0
    settles_below = settled_cycle(cycle).highest_cell_degc < limit_degc
    rises_to_it = cell <= cycle.ambient_degc and surface <= cycle.ambient_degc
    if settles_below and rises_to_it:
        return math.inf
    period_s = float(np.sum(cycle.duration_s))
    for count in range(_MOST_PERIODS):
        linear = _about(cycle, cell, surface)
        inside = _reached_within_s(linear, cell, surface, limit_degc)
        if inside is not None:
            return count * period_s + inside
        before = cell, surface
        cell, surface = linear.over_period(cell, surface)
        if settles_below and max(abs(cell - before[0]), abs(surface - before[1])) < 1e-9:
            return math.inf
    msg = f"limit_degc of {limit_degc} is not reached within {_MOST_PERIODS} periods"
    raise OutOfRangeError(msg)


def _about(cycle: HeatCycle, cell_degc: float, surface_degc: float) -> HeatCycle:
    """Take the loss of the mean rise of the surface over the next period."""
    begin_k = surface_degc - cycle.ambient_degc
    _, surface_end = cycle.frozen(begin_k).over_period(cell_degc, surface_degc)
    return cycle.frozen((begin_k + surface_end - cycle.ambient_degc) / 2)


def _peaks(cycle: HeatCycle, cell_degc: float, surface_degc: float) -> tuple[float, float]:
    """Highest cell and surface within one period."""
    highest = [cell_degc, surface_degc]
    for length, heat in zip(cycle.duration_s, cycle.heat_w, strict=True):
        times = np.linspace(0.0, float(length), _SAMPLES)
        cell, surface = cycle.step(cell_degc, surface_degc, heat_w=float(heat), step_s=times)
        highest = [max(highest[0], float(np.max(cell))), max(highest[1], float(np.max(surface)))]
        cell_degc, surface_degc = float(cell[-1]), float(surface[-1])
    return highest[0], highest[1]


def _reached_within_s(
    cycle: HeatCycle, cell_degc: float, surface_degc: float, limit_degc: float
) -> float | None:
    """Time into this period at which the cell reaches the limit, or None."""
    passed = 0.0
    for length, heat in zip(cycle.duration_s, cycle.heat_w, strict=True):
        times = np.linspace(0.0, float(length), _SAMPLES)
        cell, surface = cycle.step(cell_degc, surface_degc, heat_w=float(heat), step_s=times)
        above = np.flatnonzero(cell >= limit_degc)
        if above.size:
            if above[0] == 0:
                return passed
            first = int(above[0])
            found = brentq(
                _Excess(cycle, cell_degc, surface_degc, float(heat), limit_degc),
                float(times[first - 1]),
                float(times[first]),
            )
            return passed + float(found)
        cell_degc, surface_degc = float(cell[-1]), float(surface[-1])
        passed += float(length)
    return None


@dataclass(frozen=True, slots=True)
class _Excess:
    """Cell above the limit at a time into a piece, for the root search. [K]"""

    cycle: HeatCycle
    cell_degc: float
    surface_degc: float
    heat_w: float
    limit_degc: float

    def __call__(self, time_s: float) -> float:
        cell, _ = self.cycle.step(
            self.cell_degc, self.surface_degc, heat_w=self.heat_w, step_s=time_s
        )
        return float(cell) - self.limit_degc
