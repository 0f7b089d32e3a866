"""What a watcher is told of a run in which cycles were left out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.batch import Batch
from packdesign.engineering.discharge.cycle_knots import Knotted
from packdesign.engineering.discharge.cycle_map import block_sums
from packdesign.engineering.discharge.fleet import Watch
from packdesign.engineering.discharge.moment import State
from packdesign.engineering.discharge.tally import Limits

__all__ = ["Story"]

_VOLTAGE = 2
"""Row of the voltage in a point of a trace."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """The sampled cycles of some packs, and the mean current and voltage of each block between."""

    knotted: Knotted
    batch: Batch
    limits: Limits
    who: NDArray[np.intp]
    """Place of each pack in the run. Shape (n,)."""
    first: int
    """Which of them is told of in full: the first pack of the run."""
    clock_s: float
    """Its time at the first knot. [s]"""
    period_s: float
    """Length of a cycle. [s]"""

    def tell(self, watch: Watch, *, of_all: bool) -> None:
        """Tell it to a watcher, up to the last knot of the first pack before its broken cycle.

        Parameters
        ----------
        watch : callable
            Who is told.
        of_all : bool
            Whether all packs keep one clock. Then the voltages of all are told as long as the first
            goes on, and one that has ended is held at the voltage of its end; everything else is
            that of the first. If not, the first alone is told.
        """
        last = int(self.knotted.whole[self.first]) - 1
        if last < 1:
            return
        rows = np.arange(len(self.who)) if of_all else np.array([self.first])
        points, volts = self._points(last), self._volts(rows, last)
        cycles = np.diff(self.knotted.at[: last + 1, self.first])
        for k in np.flatnonzero(cycles):  # two knots of one cycle are told once
            for j in range(len(points) if cycles[k] > 1 else len(points) - 2):
                point = np.repeat(points[j, :, k, None], rows.size, axis=1)
                point[_VOLTAGE] = volts[j, k]
                watch(self.who[rows], point)

    def _points(self, last: int) -> FloatArray:
        """Points of the first pack in each sampled cycle, and both ends of the block behind it.

        Shape (points + 2, 6, last).
        """
        swept, at = self.knotted.swept, self.knotted.at[: last + 1, self.first]
        current_a, _ = self._means()
        ends = [
            np.stack([time_s, current_a[:last, self.first], np.zeros(last), *inner])
            for time_s, inner in (
                (np.full(last, self.period_s), self._inner(swept.end, slice(0, last))),
                (np.diff(at) * self.period_s, self._inner(swept.begin, slice(1, last + 1))),
            )
        ]
        table = np.concatenate([swept.told[:, :, :last], np.stack(ends)])
        table[:, 0] += self.clock_s + at[:-1] * self.period_s
        return np.asarray(table)

    def _inner(self, state: State, knots: slice) -> tuple[FloatArray, ...]:
        columns = (state.soc, state.cell_degc, state.surface_degc)
        return tuple(each[knots, self.first] for each in columns)

    def _volts(self, rows: NDArray[np.intp], last: int) -> FloatArray:
        """Voltages of the packs at these points. Shape (points + 2, last, rows)."""
        whole = self.knotted.whole[rows]
        knots = np.arange(last)[:, None]
        _, mean_v = self._means()
        found = self.knotted.swept.volts[:, :last, rows]
        found = np.concatenate([found, np.repeat(mean_v[None, :last, rows], 2, axis=0)])
        return np.where(knots >= whole, self._end_v()[rows], found)

    def _means(self) -> tuple[FloatArray, FloatArray]:
        """Mean current and voltage of the block behind each knot; at rest the last voltage."""
        at = self.knotted.at
        blocks = block_sums(self.knotted.swept, at) / np.maximum(np.diff(at, axis=0), 1)
        charge_as, energy_j, _ = blocks
        drawn = charge_as > 0
        rest_v = self.knotted.swept.volts[-1, :-1]
        volts = np.where(drawn, energy_j / np.where(drawn, charge_as, 1.0), rest_v)
        return charge_as / self.period_s, volts

    def _end_v(self) -> FloatArray:
        """Voltage at which each pack ends: what its broken cycle has above its limits. [V]"""
        broken = np.minimum(self.knotted.whole, len(self.knotted.at) - 1)
        extremes = self.knotted.swept.extremes[:, broken, np.arange(len(broken))]
        cell_limit_v = self.batch.series * self.limits.cell_v - self.batch.path_ohm * extremes[1]
        return np.asarray(np.maximum(-extremes[0], np.maximum(cell_limit_v, self.limits.pack_v)))
