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
    clock_s: FloatArray
    """Their time at the first knot. Shape (n,). [s]"""
    period_s: float
    """Length of a cycle. [s]"""

    def tell(self, watch: Watch, *, of_all: bool) -> None:
        """Tell it to a watcher, up to the last knot of the first pack before its broken cycle.

        Parameters
        ----------
        watch : callable
            Who is told.
        of_all : bool
            Whether all packs keep one clock. Then all are told as long as the first goes on, and
            one that has ended is held at the voltage of its end; else the first alone is told.
        """
        first = np.flatnonzero(self.who == 0)
        whole, at = self.knotted.whole, self.knotted.at
        last = int(whole[first[0]]) - 1 if first.size else 0
        if last < 1:
            return
        rows = np.arange(len(self.who)) if of_all else first
        table = self._table(rows, last)
        cycles = np.diff(at[: last + 1, first[0]])
        for k in range(last):
            for point in table[k] if cycles[k] > 1 else table[k, :-2]:
                watch(self.who[rows], point)

    def _table(self, rows: NDArray[np.intp], last: int) -> FloatArray:
        """Points of each sampled cycle and both ends of the block behind it.

        Shape (last, points + 2, 6, n).
        """
        swept, at, whole = self.knotted.swept, self.knotted.at[:, rows], self.knotted.whole[rows]
        knots = np.arange(last)[:, None]
        of = np.minimum(knots, np.maximum(whole - 1, 0))
        points = np.stack([each[:, of, rows] for each in swept.points])
        mean = self._means(rows, of, rest_v=points[-1, _VOLTAGE])
        behind = np.minimum(of + 1, len(at) - 1)
        length_s = (at[behind, np.arange(len(rows))] - at[of, np.arange(len(rows))]) * self.period_s
        ends = [
            _point(swept.end, of, rows, np.full(of.shape, self.period_s), mean),
            _point(swept.begin, behind, rows, length_s, mean),
        ]
        table = np.concatenate([points, np.stack(ends)]).transpose(2, 0, 1, 3)
        first = int(np.flatnonzero(self.who == 0)[0])
        clock_s = self.clock_s[first] + self.knotted.at[:last, first] * self.period_s
        table[:, :, 0] += clock_s[:, None, None]
        ended = (knots >= whole)[:, None]
        table[:, :, _VOLTAGE] = np.where(ended, self._end_v()[rows], table[:, :, _VOLTAGE])
        return np.asarray(table)

    def _means(
        self, rows: NDArray[np.intp], of: NDArray[np.intp], *, rest_v: FloatArray
    ) -> tuple[FloatArray, FloatArray]:
        """Mean current and voltage of the block behind each knot; at rest the last voltage."""
        at = self.knotted.at
        blocks = block_sums(self.knotted.swept, at) / np.maximum(np.diff(at, axis=0), 1)
        charge_as, energy_j, _ = blocks[:, np.minimum(of, len(at) - 2), rows]
        drawn = charge_as > 0
        volts = np.where(drawn, energy_j / np.where(drawn, charge_as, 1.0), rest_v)
        return charge_as / self.period_s, volts

    def _end_v(self) -> FloatArray:
        """Voltage at which each pack ends: what its broken cycle has above its limits. [V]"""
        broken = np.minimum(self.knotted.whole, len(self.knotted.at) - 1)
        extremes = self.knotted.swept.extremes[:, broken, np.arange(len(broken))]
        cell_limit_v = self.batch.series * self.limits.cell_v - self.batch.path_ohm * extremes[1]
        return np.asarray(np.maximum(-extremes[0], np.maximum(cell_limit_v, self.limits.pack_v)))


def _point(
    state: State,
    knot: NDArray[np.intp],
    rows: NDArray[np.intp],
    time_s: FloatArray,
    mean: tuple[FloatArray, FloatArray],
) -> FloatArray:
    at = [each[knot, rows] for each in (state.soc, state.cell_degc, state.surface_degc)]
    return np.stack([time_s, *mean, *at])
