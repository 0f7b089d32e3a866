"""From cells in place to a series path: groups, polarity, strips and taps, short strips preferred.

Cells are taken in two orders, column by column and layer by layer; in each the polarity of every
group is chosen so that strips are shortest, and among those the two main leads.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.geometry.layout import Job, Placed

__all__ = ["SeriesPath", "series_path"]

FloatArray = NDArray[np.float64]
IndexArray = NDArray[np.int64]

_LEAD_WEIGHT = 0.1
"""A long wire to the exit is easier than a strip along the side of a cell. Chosen here. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeriesPath:
    """Order and polarity of cells, and the strips that follow from them."""

    order: IndexArray
    """Cell numbers, group by group. [-]"""
    positive_m: FloatArray
    """Plus terminal of each cell in order, shape (n, 3). [m]"""
    negative_m: FloatArray
    link_start_m: FloatArray
    link_end_m: FloatArray
    link_m: FloatArray
    """Current path of each strip between groups. [m]"""
    parallel_m: float
    """Strips inside groups, both sides. [m]"""
    total_m: float
    """All strips and a tenth of both main leads: what was made short. [m]"""


def _terminals(job: Job, placed: Placed) -> tuple[FloatArray, FloatArray]:
    """Give both terminals of each cell, in no polarity yet."""
    half = placed.axes * (job.body.length_m / 2)
    if not job.body.is_flat:
        return placed.centres_m + half, placed.centres_m - half
    across = np.cross(placed.normals, placed.axes) * (job.body.across_m / 4)
    tabs = placed.centres_m + half
    return tabs + across, tabs - across


def _walk(points: FloatArray) -> IndexArray:
    """Order points in a plane for a short walk: to and fro along rows, or from next to next."""
    count = len(points)
    if count < 3:
        return np.lexsort((points[:, 1], points[:, 0]))
    to_and_fro = _to_and_fro(points)
    nearest = _next_to_next(points) if count <= 80 else to_and_fro
    return min(to_and_fro, nearest, key=lambda order: _walked(points[order]))


def _walked(points: FloatArray) -> float:
    steps = np.diff(points, axis=0)
    return float(np.sum(np.sqrt(np.sum(steps**2, axis=1))))


def _to_and_fro(points: FloatArray) -> IndexArray:
    row = np.unique(np.round(points[:, 1], 6), return_inverse=True)[1]
    along = np.where(row % 2 == 0, points[:, 0], -points[:, 0])
    return np.lexsort((along, row))


def _next_to_next(points: FloatArray) -> IndexArray:
    apart = np.sqrt(np.sum((points[:, None, :] - points[None, :, :]) ** 2, axis=2))
    order = [int(np.argmax(apart.sum(axis=1)))]
    apart[:, order[0]] = np.inf
    for _ in range(len(points) - 1):
        order.append(int(np.argmin(apart[order[-1]])))
        apart[:, order[-1]] = np.inf
    return np.asarray(order)


def _orders(job: Job, placed: Placed) -> list[IndexArray]:
    """Cell orders worth trying."""
    count = len(placed.centres_m)
    if count == 1:
        return [np.zeros(1, dtype=np.int64)]
    axis = int(np.argmax(np.abs(placed.axes[0])))
    if np.any(np.argmax(np.abs(placed.axes), axis=1) != axis):
        return [_block_by_block(placed)]
    if job.body.is_flat:
        axis = int(np.argmax(np.abs(placed.normals[0])))
    others = [each for each in range(3) if each != axis]
    flat = placed.centres_m[:, others]
    layer = np.unique(np.round(placed.centres_m[:, axis], 6), return_inverse=True)[1]
    flat = np.round(flat, 6)
    columns, column = np.unique(flat[:, 0] + 1j * flat[:, 1], return_inverse=True)
    columns = np.column_stack([columns.real, columns.imag])
    rank = np.empty(len(columns), dtype=np.int64)
    rank[_walk(columns)] = np.arange(len(columns))
    place = rank[column]
    by_layer = np.lexsort((np.where(layer % 2 == 0, place, -place), layer))
    bundle = place // job.parallel
    up = np.where(bundle % 2 == 0, layer, -layer)
    by_column = np.lexsort((place, up, bundle))
    return [by_column] if np.array_equal(by_column, by_layer) else [by_column, by_layer]


def _block_by_block(placed: Placed) -> IndexArray:
    """Cells that point different ways: one direction after the other, each from next to next."""
    axis = np.argmax(np.abs(placed.axes), axis=1)
    order: list[int] = []
    for each in np.unique(axis):
        members = np.flatnonzero(axis == each)
        order.extend(members[_next_to_next(placed.centres_m[members])].tolist())
    return np.asarray(order)


def series_path(job: Job, placed: Placed, *, exit_m: FloatArray) -> SeriesPath:
    """Choose groups and polarity for the shortest strips.

    Parameters
    ----------
    job : Job
        Cell and how many in series and parallel.
    placed : Placed
        The cells, as many as the job has.
    exit_m : array
        Where the main leads leave. Shape (3,). [m]

    Returns
    -------
    SeriesPath
        Order, terminals and strips.

    Notes
    -----
    Polarity by dynamic programming over the groups: each is one way round or the other. All cells
    of a group lie the same way round. A strip between two ends that face each other is folded: its
    current path is one diameter and the joint.
    """
    one, other = _terminals(job, placed)
    paths = [_joined(job, one, other, order, exit_m) for order in _orders(job, placed)]
    return min(paths, key=lambda path: path.total_m)


def _joined(
    job: Job, one: FloatArray, other: FloatArray, order: IndexArray, exit_m: FloatArray
) -> SeriesPath:
    shape = (job.series, job.parallel, 3)
    ends = np.stack([one[order].reshape(shape), other[order].reshape(shape)])
    cost, start, finish = _link_costs(job, ends)
    turned = _polarity(cost, ends, exit_m)
    groups = np.arange(job.series)
    positive, negative = ends[turned, groups], ends[1 - turned, groups]
    picked = (groups[:-1], turned[:-1], turned[1:])
    tie = _ties(positive) + _ties(negative)
    leads = float(
        np.linalg.norm(negative[0, 0] - exit_m) + np.linalg.norm(positive[-1, 0] - exit_m)
    )
    link_m = cost[picked]
    return SeriesPath(
        order=order,
        positive_m=positive.reshape(-1, 3),
        negative_m=negative.reshape(-1, 3),
        link_start_m=start[picked],
        link_end_m=finish[picked],
        link_m=link_m,
        parallel_m=tie,
        total_m=float(link_m.sum()) + tie + _LEAD_WEIGHT * leads,
    )


def _ties(ends: FloatArray) -> float:
    steps = np.diff(ends, axis=1)
    return float(np.sum(np.sqrt(np.sum(steps**2, axis=2))))


def _link_costs(job: Job, ends: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Shortest strip from plus of each group to minus of the next, for each way round of both.

    Index [group, way of this, way of next]; way 0 has plus at the first terminal.
    """
    plus, minus = ends[:, :-1], ends[::-1, 1:]
    step = plus[:, None, :, :, None] - minus[None, :, :, None, :]
    apart = np.sqrt(np.einsum("...i,...i", step, step)).transpose(2, 0, 1, 3, 4)
    apart = apart.reshape(job.series - 1, 2, 2, job.parallel**2)
    nearest = np.argmin(apart, axis=3)
    cost = np.min(apart, axis=3)
    first, second = np.divmod(nearest, job.parallel)
    group, this, after = np.ogrid[: job.series - 1, :2, :2]
    start, finish = plus[this, group, first], minus[after, group, second]
    if not job.body.is_flat:
        cost = np.where(cost < 0.6 * job.body.across_m, cost + job.body.across_m, cost)
    return cost, start, finish


def _polarity(cost: FloatArray, ends: FloatArray, exit_m: FloatArray) -> IndexArray:
    """Pick the way round of each group that makes strips and main leads shortest together."""
    away = ends[:, [0, -1]] - exit_m
    lead = _LEAD_WEIGHT * np.min(np.sqrt(np.einsum("...i,...i", away, away)), axis=2)
    total = lead[::-1, 0].copy()
    came_from = []
    for step in cost:
        both = total[:, None] + step
        came_from.append(np.argmin(both, axis=0))
        total = np.min(both, axis=0)
    way = int(np.argmin(total + lead[:, -1]))
    ways = [way]
    for origin in reversed(came_from):
        way = int(origin[way])
        ways.append(way)
    return np.asarray(ways[::-1])
