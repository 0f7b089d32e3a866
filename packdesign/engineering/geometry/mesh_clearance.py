"""Distance from cells to a closed surface of triangles: signed, with exact bounds.

The distance from a convex cell is a convex function, so over a triangle it is at least what its
tangent at the middle falls to at a corner. Triangles that might come nearer than the nearest found
are cut in four until none can.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.geometry.cavities import MeshCavity
from packdesign.engineering.geometry.layout import Placed

__all__ = ["is_inside", "mesh_clearance", "signed_distance"]

FloatArray = NDArray[np.float64]

_FINE_M = 1e-6
"""Bound within which the least distance is found. [m]"""
_COARSE_M = 1e-4
"""The same where the cell sticks out. [m]"""
_MOST_PIECES = 100_000
"""With more pieces of triangle than this the search ends with the bound it has. Chosen here."""


def signed_distance(
    points: FloatArray, centre: FloatArray, half: FloatArray, axis: int, *, is_round: bool
) -> FloatArray:
    """Signed distance of points to an upright brick or cylinder; negative inside.

    Parameters
    ----------
    points : array
        Shape (..., 3). [m]
    centre, half : array
        Middle and half edges of the cell, shape (3,). [m]
    axis : int
        Which way a cylinder points, 0 to 2. [-]
    is_round : bool
        Whether it is a cylinder.

    Returns
    -------
    array
        Shape (...). [m]
    """
    free = np.abs(points - centre) - half
    if is_round:
        others = [each for each in range(3) if each != axis]
        radial = np.sqrt(np.sum((points - centre)[..., others] ** 2, axis=-1)) - half[others[0]]
        free = np.stack([free[..., axis], radial], axis=-1)
    outside = np.sqrt(np.sum(np.maximum(free, 0) ** 2, axis=-1))
    distance: FloatArray = outside + np.minimum(np.max(free, axis=-1), 0)
    return distance


def _slope(
    points: FloatArray, centre: FloatArray, half: FloatArray, axis: int, *, is_round: bool
) -> FloatArray:
    """Direction in which the signed distance grows fastest (one such where several do)."""
    at = points - centre
    free = np.abs(at) - half
    sign = np.where(at < 0, -1.0, 1.0)
    if not is_round:
        push = np.where(free > 0, free, 0.0)
        inside = np.all(free <= 0, axis=1)
        push[inside, np.argmax(free[inside], axis=1)] = 1.0
        push = push * sign
    else:
        others = [each for each in range(3) if each != axis]
        radial = np.sqrt(np.sum(at[:, others] ** 2, axis=1))
        two = np.column_stack([free[:, axis], radial - half[others[0]]])
        weight = np.maximum(two, 0.0)
        inside = np.all(two <= 0, axis=1)
        weight[inside, np.argmax(two[inside], axis=1)] = 1.0
        push = np.zeros_like(at)
        push[:, axis] = weight[:, 0] * sign[:, axis]
        outward = at[:, others] / np.maximum(radial, 1e-12)[:, None]
        push[:, others] = weight[:, 1:] * outward
    length = np.sqrt(np.sum(push**2, axis=1, keepdims=True))
    slope: FloatArray = push / np.maximum(length, 1e-300)
    return slope


def _nearest(
    triangles: FloatArray, centre: FloatArray, half: FloatArray, axis: int, *, is_round: bool
) -> float:
    """Least signed distance from one cell to any triangle, never more than the true one."""
    best = np.inf
    while True:
        middle = triangles.mean(axis=1)
        at_middle = signed_distance(middle, centre, half, axis, is_round=is_round)
        corners = signed_distance(triangles, centre, half, axis, is_round=is_round)
        best = min(best, float(at_middle.min()), float(corners.min()))
        slope = _slope(middle, centre, half, axis, is_round=is_round)
        fall = np.min(np.sum((triangles - middle[:, None]) * slope[:, None], axis=2), axis=1)
        at_least = at_middle + fall
        fine_m = _FINE_M if best > 0 else _COARSE_M
        may_be_nearer = at_least < best - fine_m
        if not np.any(may_be_nearer):
            return best - fine_m
        if np.count_nonzero(may_be_nearer) > _MOST_PIECES:
            return float(at_least.min())
        triangles = _in_four(triangles[may_be_nearer])


def _in_four(triangles: FloatArray) -> FloatArray:
    a, b, c = triangles[:, 0], triangles[:, 1], triangles[:, 2]
    ab, bc, ca = (a + b) / 2, (b + c) / 2, (c + a) / 2
    parts = [(a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca)]
    return np.concatenate([np.stack(part, axis=1) for part in parts])


def is_inside(cavity: MeshCavity, points_m: FloatArray) -> NDArray[np.bool_]:
    """Whether points lie inside a closed surface, by its winding number.

    Parameters
    ----------
    cavity : MeshCavity
        The surface.
    points_m : array
        Shape (n, 3). [m]

    Returns
    -------
    array of bool
        Shape (n,).

    Notes
    -----
    Sum of the solid angles of all triangles over 4 pi (Van Oosterom and Strackee, IEEE Trans.
    Biomed. Eng. BME-30 (1983) 125; cited from memory): 1 inside, 0 outside.
    """
    triangles = cavity.vertices_m[cavity.faces]
    inside = np.empty(len(points_m), dtype=bool)
    for number, point in enumerate(points_m):
        a, b, c = np.moveaxis(triangles - point, 1, 0)
        la, lb, lc = (np.sqrt(np.sum(side**2, axis=1)) for side in (a, b, c))
        volume = np.sum(a * np.cross(b, c), axis=1)
        base = (
            la * lb * lc
            + np.sum(a * b, axis=1) * lc
            + np.sum(b * c, axis=1) * la
            + np.sum(c * a, axis=1) * lb
        )
        turns = np.sum(2 * np.arctan2(volume, base)) / (4 * np.pi)
        inside[number] = abs(turns) > 0.5
    return inside


def mesh_clearance(
    cavity: MeshCavity, placed: Placed, *, half: FloatArray, is_round: bool
) -> float:
    """Least clearance from cells to the surface around them. [m]

    Parameters
    ----------
    cavity : MeshCavity
        The free inside.
    placed : Placed
        The cells, upright to the frame of the mesh.
    half : array
        Half edges of each cell, shape (n, 3). [m]
    is_round : bool
        Whether the cells are cylinders.

    Returns
    -------
    float
        Within 1 micrometre and never more than the true one; negative, and within 0.1 mm, where a
        cell sticks out; at most minus its own smallest half edge where a cell lies outside
        altogether. [m]
    """
    triangles = cavity.vertices_m[cavity.faces]
    axes = np.argmax(np.abs(placed.axes), axis=1)
    inside = is_inside(cavity, placed.centres_m)
    least = np.inf
    for centre, extent, axis, is_in in zip(placed.centres_m, half, axes, inside, strict=True):
        near = _nearest(triangles, centre, extent, int(axis), is_round=is_round)
        least = min(least, near if is_in else -abs(near) - float(extent.min()))
    return float(least)
