"""Draws of doubtful inputs spread evenly, and the ranks of what comes of them.

Written out here because ``scipy.stats``, which has both, takes half a second to load; a test holds
them against it, draw for draw.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from scipy.special import ndtri

from packdesign.engineering.demand.profile import FloatArray

__all__ = ["LEAST_FACTOR", "average_ranks", "normal_hypercube"]

LEAST_FACTOR: Final = 0.3
"""Least share of a figure that a draw leaves, so that none turns negative. [-]"""


def normal_hypercube(samples: int, *, inputs: int, seed: int) -> FloatArray:
    """Draw independent standard normal values, each input once from each of equal shares.

    Parameters
    ----------
    samples : int
        How many draws. [-]
    inputs : int
        How many inputs. [-]
    seed : int
        The same seed gives the same draws. [-]

    Returns
    -------
    ndarray
        Values, shape (samples, inputs). [-]

    References
    ----------
    .. [1] M. D. McKay, R. J. Beckman, W. J. Conover, "A comparison of three methods for selecting
       values of input variables in the analysis of output from a computer code", Technometrics 21
       (1979) 239-245.

    Examples
    --------
    One draw of four lies in each quarter of the normal distribution:

    >>> bool(np.all(np.sort(normal_hypercube(4, inputs=1, seed=1), axis=0)[1:3] ** 2 < 0.46))
    True
    """
    random = np.random.default_rng(np.random.SeedSequence(seed).spawn(1)[0])
    inside = random.uniform(size=(samples, inputs))
    share = np.tile(np.arange(1, samples + 1), (inputs, 1))
    for row in share:
        random.shuffle(row)
    return np.asarray(ndtri((share.T - inside) / samples))


def average_ranks(columns: FloatArray) -> FloatArray:
    """Rank every column from 1 up; equal values share the mean of their ranks.

    Parameters
    ----------
    columns : ndarray
        Values, shape (draws, columns). [any]

    Returns
    -------
    ndarray
        Ranks, the same shape. [-]

    Examples
    --------
    >>> average_ranks(np.array([[3.0], [1.0], [3.0]])).ravel().tolist()
    [2.5, 1.0, 2.5]
    """
    ordered = np.sort(columns, axis=0)
    ranks = [
        np.searchsorted(have, value, side="left") + np.searchsorted(have, value, side="right") + 1
        for have, value in zip(ordered.T, columns.T, strict=True)
    ]
    return np.stack(ranks, axis=1) / 2.0
