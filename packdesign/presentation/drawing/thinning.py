"""Fewer points for the screen, without losing a dip or a peak."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import FloatArray

__all__ = ["kept_points"]

_MOST: Final = 1400
"""About one point for each column of pixels. [-]"""


def kept_points(*traces: FloatArray, most: int = _MOST) -> NDArray[np.intp]:
    """Choose points so that the lowest and highest of every trace stay in each stretch.

    Parameters
    ----------
    *traces : array
        Traces of one length. Shape (n,).
    most : int
        About how many points to keep. [-]

    Returns
    -------
    array of int
        Which points to draw, rising, first and last among them.

    Examples
    --------
    >>> kept_points(np.array([0.0, 5.0, 1.0]))
    array([0, 1, 2])
    """
    count = len(traces[0])
    if count <= most:
        return np.arange(count)
    stretches = max(most // (2 * len(traces)), 1)
    edges = np.linspace(0, count, stretches + 1).astype(int)
    kept = {0, count - 1}
    for trace in traces:
        for begin, end in pairwise(edges.tolist()):
            part = trace[begin:end]
            kept.add(begin + int(np.argmin(part)))
            kept.add(begin + int(np.argmax(part)))
    return np.array(sorted(kept), dtype=np.intp)
