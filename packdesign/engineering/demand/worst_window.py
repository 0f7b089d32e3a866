"""The hardest stretch of a demand: what it asks at most over a time or longer.

A mean over a whole run hides a hard stretch in a long easy one; whatever warms up faster than the
run lasts must be held against its hardest stretch instead.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from packdesign.engineering.demand.profile import FloatArray
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["worst_window_rms_a"]

_TURNS: Final = 3
"""Periods laid side by side: a start in the first, up to two more to the end. [-]"""
_ROUNDS: Final = 100
"""More than are ever needed: each round at least doubles the digits, as Newton's method does."""
_CLOSE: Final = 1e-12


def worst_window_rms_a(
    *, duration_s: FloatArray, current_a: FloatArray, at_least_s: float, repeats: bool = False
) -> float:
    r"""Largest root-mean-square current over any stretch that lasts a time or longer. [A]

    Parameters
    ----------
    duration_s, current_a : array
        Pieces of constant current in their order. Shape (n,). [s], [A]
    at_least_s : float
        Least length of a stretch, 0 or more; 0 gives the peak. [s]
    repeats : bool
        Whether the pieces start again from the first for good.

    Returns
    -------
    float
        Never below the rms of the whole, and never more for a longer time. Where a demand that does
        not repeat is over sooner, the rms of the whole. [A]

    Raises
    ------
    OutOfRangeError
        If there is no piece, one has no length, or the time is negative.

    Notes
    -----
    :math:`\sqrt{\max_{b - a \ge T} \frac{1}{b - a} \int_a^b I^2 dt}`, exact for pieces of constant
    current. Stretches longer than T count too, for the largest mean over exactly T may rise with T.
    The best of all is found by Dinkelbach's method (from memory): for a trial mean m the stretch
    with most of :math:`\int (I^2 - m) dt` gives the next m. Such a stretch begins and ends where
    pieces do, or lasts exactly T and does so at one end.

    Examples
    --------
    20 A for 3 minutes in an hour of 2 A: 4.9 A over the whole, 20 A over any minute of the three.

    >>> work = {"duration_s": np.array([1800.0, 180.0, 1620.0]),
    ...     "current_a": np.array([2.0, 20.0, 2.0])}
    >>> [round(worst_window_rms_a(**work, at_least_s=each), 1) for each in (60.0, 360.0, 3600.0)]
    [20.0, 14.2, 4.9]
    """
    if len(duration_s) == 0 or len(duration_s) != len(current_a) or np.min(duration_s) <= 0:
        msg = "a demand needs as many currents as durations, 1 or more, each longer than 0 s"
        raise OutOfRangeError(msg)
    if not at_least_s >= 0:
        msg = f"at_least_s is {at_least_s}; it must be 0 or more"
        raise OutOfRangeError(msg)
    squared = np.asarray(current_a, dtype=float) ** 2
    highest = float(np.max(squared))
    if at_least_s <= float(np.max(duration_s[squared == highest])):
        return math.sqrt(highest)
    heat = float(np.sum(squared * duration_s))
    period_s = float(np.sum(duration_s))
    if not repeats:
        if at_least_s >= period_s:
            return math.sqrt(heat / period_s)
        return _largest(_Pieces.of(duration_s, squared), at_least_s)
    whole = math.floor(at_least_s / period_s)
    pieces = _Pieces.of(
        np.tile(duration_s, _TURNS),
        np.tile(squared, _TURNS),
        besides_s=whole * period_s,
        besides_heat=whole * heat,
    )
    return _largest(pieces, max(at_least_s - whole * period_s, 0.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pieces:
    """Heat of the current, in squared amperes times seconds, up to each edge of a piece."""

    edge_s: FloatArray
    heat: FloatArray
    besides_s: float
    """Whole periods that lie in every stretch besides. [s]"""
    besides_heat: float

    @classmethod
    def of(
        cls,
        duration_s: FloatArray,
        squared: FloatArray,
        *,
        besides_s: float = 0.0,
        besides_heat: float = 0.0,
    ) -> _Pieces:
        """Add the pieces up."""
        return cls(
            edge_s=np.concatenate([[0.0], np.cumsum(duration_s)]),
            heat=np.concatenate([[0.0], np.cumsum(squared * duration_s)]),
            besides_s=besides_s,
            besides_heat=besides_heat,
        )

    def heat_at(self, time_s: FloatArray | float) -> FloatArray:
        """Heat up to a time."""
        return np.asarray(np.interp(time_s, self.edge_s, self.heat))

    def mean(self, begin_s: float, end_s: float) -> float:
        """Mean squared current of a stretch, with what lies in it besides."""
        heat = float(self.heat_at(end_s) - self.heat_at(begin_s)) + self.besides_heat
        return heat / (end_s - begin_s + self.besides_s)


def _largest(pieces: _Pieces, least_s: float) -> float:
    """Root of the largest mean squared current of any stretch of this length or longer. [A]"""
    found = pieces.mean(0.0, float(pieces.edge_s[-1]))
    for _ in range(_ROUNDS):
        after = pieces.mean(*_stretch(pieces, least_s, mean=found))
        if after <= found * (1 + _CLOSE):
            break
        found = after
    return math.sqrt(max(found, 0.0))


def _stretch(pieces: _Pieces, least_s: float, *, mean: float) -> tuple[float, float]:
    """Begin and end of the stretch that is most above a mean squared current."""
    edge_s, over = pieces.edge_s, pieces.heat - mean * pieces.edge_s
    first = int(np.searchsorted(edge_s, least_s))
    ends_s, latest_s = edge_s[first:], edge_s[first:] - least_s
    so_far = np.minimum.accumulate(over)
    before = np.searchsorted(edge_s, latest_s, side="right") - 1
    at_latest = pieces.heat_at(latest_s) - mean * latest_s
    gain = over[first:] - np.minimum(so_far[before], at_latest)
    starts_s = edge_s[edge_s <= edge_s[-1] - least_s]
    behind_s = starts_s + least_s
    gain_exact = pieces.heat_at(behind_s) - mean * behind_s - over[: len(starts_s)]
    last, exact = int(np.argmax(gain)), int(np.argmax(gain_exact))
    if gain_exact[exact] >= gain[last]:
        return float(starts_s[exact]), float(behind_s[exact])
    begin = int(np.argmin(over[: before[last] + 1]))
    begin_s = edge_s[begin] if over[begin] <= at_latest[last] else latest_s[last]
    return float(begin_s), float(ends_s[last])
