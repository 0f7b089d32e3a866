"""The voltage band of many draws over the points of one of them, the mid run."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.run import EndReason, RunSummary, Trace

__all__ = ["BandRecorder"]

_MANY_POINTS: Final = 500
"""Points of a band that are kept whole before they are reduced. [-]"""
_LAST_POINTS: Final = 12
_TRACE_COLUMNS: Final = (
    "time_s",
    "current_a",
    "voltage_v",
    "soc",
    "cell_degc",
    "surface_degc",
)


class BandRecorder:
    """Keeps the voltage band of all draws at each point of the mid run, which is the first draw.

    Parameters
    ----------
    count : int
        How many draws, the mid run among them.
    shares : tuple of float
        The share of the draws below the lower and the upper edge. [-]
    """

    def __init__(self, count: int, shares: tuple[float, float]) -> None:
        self._shares = shares
        self._now_v = np.zeros(count)
        self._points: list[FloatArray] = []
        self._alone: list[FloatArray] = []
        self._waiting_v: list[FloatArray] = []
        self._band_v: list[FloatArray] = []

    def __call__(self, who: NDArray[np.intp], point: FloatArray) -> None:
        """Keep one point; a draw that has ended is held at its last voltage."""
        self._now_v[who] = point[2]
        place = np.flatnonzero(who == 0)
        if place.size == 0:
            return
        mid = point[:, int(place[0])].copy()
        if who.size == 1:
            self._alone.append(mid)
            return
        self._points.append(mid)
        self._waiting_v.append(self._now_v[1:].copy())
        if len(self._waiting_v) >= _MANY_POINTS:
            self._settle()

    def _settle(self) -> None:
        """Reduce the points kept so far to their band; many at once, for one at a time is slow."""
        if self._waiting_v:
            self._band_v.append(np.quantile(np.array(self._waiting_v), self._shares, axis=1))
            self._waiting_v = []

    def told(
        self, ends_by: EndReason, *, known: RunSummary | None
    ) -> tuple[Trace, FloatArray, FloatArray]:
        """Give the mid run with the lower and the upper edge of the band at its points. [V]

        Where cycles were left out, the draws part in time near the end and the mid run is told
        alone; there the band keeps the distance from the mid run that it had last, but goes no
        lower than the voltages at which draws have ended.

        Parameters
        ----------
        ends_by : EndReason
            What ended the mid run.
        known : RunSummary or None
            Its figures, where cycles were left out.
        """
        self._settle()
        columns = np.array([*self._points, *self._alone]).T
        told = len(self._points)
        low_v, high_v = np.concatenate(self._band_v, axis=1) if told else columns[[2, 2], :0]
        mid_v, alone_v = columns[2, :told], columns[2, told:]
        below_v = np.maximum(mid_v - low_v, 0.0)
        above_v = np.maximum(high_v - mid_v, 0.0)
        if told and alone_v.size:
            last = slice(-_LAST_POINTS, None)
            last_low_v = np.maximum(alone_v - np.max(below_v[last]), np.min(low_v[last]))
            below_v = np.append(below_v, np.maximum(alone_v - last_low_v, 0.0))
            above_v = np.append(above_v, np.full(alone_v.size, np.max(above_v[last])))
        elif not told:
            below_v = above_v = np.zeros(alone_v.size)
        trace = Trace(
            **dict(zip(_TRACE_COLUMNS, columns, strict=True)), ends_by=ends_by, known=known
        )
        return trace, trace.voltage_v - below_v, trace.voltage_v + above_v
