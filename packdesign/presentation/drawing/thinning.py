"""Fewer points for the screen, without losing a dip, a peak or a jump."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import FloatArray

__all__ = ["kept_points"]

_MOST: Final = 1400
"""About one point for each column of pixels. [-]"""


def kept_points(time_s: FloatArray, *traces: FloatArray, most: int = _MOST) -> NDArray[np.intp]:
    """Choose points so that lines through them look as those through all points do.

    Of each column of time stay the first and the last point, and the lowest and highest of every
    trace: what a line does inside a column is narrower than it can be drawn, and between two
    columns nothing is left out. At a jump, two points of one time, both stay or none.

    Parameters
    ----------
    time_s : array
        Rising; equal where the traces jump. Shape (n,). [s]
    *traces : array
        Traces of one length. Shape (n,).
    most : int
        About how many points to keep; the second ones of jumps come on top. [-]

    Returns
    -------
    array of int
        Which points to draw, rising, first and last among them.

    Examples
    --------
    >>> kept_points(np.array([0.0, 1.0, 2.0]), np.array([0.0, 5.0, 1.0]))
    array([0, 1, 2])

    References
    ----------
    .. [1] U. Jugel, Z. Jerzak, G. Hackenbroich, V. Markl, "M4: a visualization-oriented time series
       data aggregation", Proc. VLDB Endowment 7 (2014) 797-808: first, last, lowest and highest of
       each column of pixels draw the same line as all points. From memory.
    """
    count = len(time_s)
    if count <= most:
        return np.arange(count)
    columns = max(most // (2 + 2 * len(traces)), 1)
    ends_s = np.linspace(time_s[0], time_s[-1], columns + 1)[1:-1]
    edges = [0, *np.searchsorted(time_s, ends_s).tolist(), count]
    kept: set[int] = set()
    for begin, end in pairwise(edges):
        if end > begin:
            kept |= {begin, end - 1}
            for trace in traces:
                part = trace[begin:end]
                kept |= {begin + int(np.argmin(part)), begin + int(np.argmax(part))}
    found = np.zeros(count, dtype=bool)
    found[list(kept)] = True
    jumps = np.diff(time_s) <= 0
    both = jumps & (found[:-1] | found[1:])
    found[:-1] |= both
    found[1:] |= both
    return np.flatnonzero(found)
