"""How many equal circles go into a circle, and where: cells standing side by side across a bore.

Up to 61 circles from stored packings, found once by many random starts: circles spread until their
overlaps were least, then the outer one shrunk under the exact constraints. Beyond, the hexagonal
lattice about its three symmetric middles. None is proved to be the tightest beyond 13 and 19.
"""

from __future__ import annotations

import functools
from importlib import resources
from typing import Final

import numpy as np
from numpy.typing import NDArray

from packdesign.foundation.errors import OutOfRangeError

__all__ = ["MOST_CIRCLES", "circle_positions", "circle_ratio", "most_circles"]

FloatArray = NDArray[np.float64]

MOST_CIRCLES: Final = 1000
"""More cells than this across one bore is no small device. Chosen here."""
_SLACK: Final = 1e-9
"""Rounding of the stored positions. [radii]"""


@functools.cache
def _stored() -> tuple[FloatArray, ...]:
    text = resources.files("packdesign.engineering.geometry").joinpath("circle_positions.csv")
    with text.open(encoding="utf-8") as lines:
        table = np.loadtxt(lines, delimiter=",", skiprows=1)
    return tuple(table[table[:, 0] == count, 1:] for count in np.unique(table[:, 0]))


@functools.cache
def _lattices() -> tuple[tuple[FloatArray, FloatArray], ...]:
    """Points of a hexagonal lattice of unit circles about each middle, nearest first."""
    reach = 40
    row, column = np.mgrid[-reach : reach + 1, -reach : reach + 1]
    grid = np.column_stack(
        [2.0 * column.ravel() + (row.ravel() % 2), np.sqrt(3.0) * row.ravel().astype(float)]
    )
    lattices = []
    for middle in ([0.0, 0.0], [1.0, 0.0], [1.0, 1.0 / np.sqrt(3.0)]):
        points = grid - np.asarray(middle)
        distance = np.hypot(points[:, 0], points[:, 1])
        order = np.argsort(distance, kind="stable")[: MOST_CIRCLES + 1]
        lattices.append((points[order], distance[order] + 1))
    return tuple(lattices)


@functools.cache
def _ratios() -> tuple[FloatArray, NDArray[np.int64]]:
    """For 1, 2, 3 ... circles: ratio, and which packing it is taken from (a larger may be used)."""
    ratio = np.min([distances[:MOST_CIRCLES] for _points, distances in _lattices()], axis=0)
    source = -1 - np.argmin(
        [distances[:MOST_CIRCLES] for _points, distances in _lattices()], axis=0
    )
    for index, points in enumerate(_stored()):
        stored = float(np.max(np.hypot(points[:, 0], points[:, 1])) + 1)
        if stored < ratio[index] + _SLACK:
            ratio[index], source[index] = stored, index
    for index in range(MOST_CIRCLES - 2, -1, -1):
        if ratio[index + 1] < ratio[index]:
            ratio[index], source[index] = ratio[index + 1], source[index + 1]
    return ratio, source


def circle_ratio(count: int) -> float:
    """Give the ratio of the outer radius to the radius of each of ``count`` circles.

    Parameters
    ----------
    count : int
        How many circles, 1 to 1000. [-]

    Returns
    -------
    float
        Outer radius over inner radius of the tightest packing known here. [-]

    Raises
    ------
    OutOfRangeError
        If ``count`` is outside 1 to 1000.

    Notes
    -----
    Computed, not copied; for 3 circles the closed form is 1 + 2/sqrt(3), for 7 it is 3.

    Examples
    --------
    >>> round(circle_ratio(3), 6), round(circle_ratio(7), 6)
    (2.154701, 3.0)
    """
    if not 1 <= count <= MOST_CIRCLES:
        msg = f"cells across one bore: {count}; it must be 1 to {MOST_CIRCLES}"
        raise OutOfRangeError(msg)
    return float(_ratios()[0][count - 1])


def most_circles(*, outer_radius_m: float, radius_m: float) -> int:
    """Count the circles that go into a circle.

    Parameters
    ----------
    outer_radius_m : float
        Radius of the outer circle. [m]
    radius_m : float
        Radius of each circle. [m]

    Returns
    -------
    int
        How many go in by the packings known here; 0 where not one does. [-]

    Raises
    ------
    OutOfRangeError
        If ``radius_m`` is not above 0.

    Examples
    --------
    >>> most_circles(outer_radius_m=0.023, radius_m=0.0093)
    4
    """
    if radius_m <= 0:
        msg = f"the radius of a circle is {radius_m} m; it must be above 0"
        raise OutOfRangeError(msg)
    available = outer_radius_m / radius_m + _SLACK
    return int(np.searchsorted(_ratios()[0], available, side="right"))


@functools.cache
def _positions(count: int) -> FloatArray:
    source = int(_ratios()[1][count - 1])
    points = _lattices()[-1 - source][0][:count] if source < 0 else _stored()[source]
    by_distance = np.argsort(np.round(np.hypot(points[:, 0], points[:, 1]), 6), kind="stable")
    points = points[np.sort(by_distance[:count])]
    points = _shared_out(points)
    points.flags.writeable = False
    return points


def _shared_out(points: FloatArray) -> FloatArray:
    """Turn the packing so that two of its cells lie level; drawings read better."""
    if len(points) == 1:
        return points.copy()
    apart = np.hypot(*(points[:, None, :] - points[None, :, :]).transpose(2, 0, 1))
    np.fill_diagonal(apart, np.inf)
    first, second = np.unravel_index(int(np.argmin(np.round(apart, 6))), apart.shape)
    step = points[second] - points[first]
    angle = -np.arctan2(step[1], step[0])
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    turned: FloatArray = points @ turn.T
    if turned[first, 1] > 0 or turned[second, 1] > 0:
        turned = -turned
    return turned


def circle_positions(count: int) -> FloatArray:
    """Give the middles of ``count`` circles of radius 1 packed about the origin.

    Parameters
    ----------
    count : int
        How many circles, 1 to 1000. [-]

    Returns
    -------
    array
        Shape (count, 2), read-only; all lie within ``circle_ratio(count)``. [radii]

    Raises
    ------
    OutOfRangeError
        If ``count`` is outside 1 to 1000.

    Examples
    --------
    >>> circle_positions(2).round(6)[:, 0].tolist()
    [-1.0, 1.0]
    """
    circle_ratio(count)
    return _positions(count)
