"""Clearances measured on a finished layout, independent of the way that it was found.

Cells are upright to the frame of their cavity. Between parallel cylinders the distance is exact;
elsewhere it is that of the boxes around them, which is never more than the true one.
"""

from __future__ import annotations

import functools

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.geometry.arrangement import PlacedReserve
from packdesign.engineering.geometry.cavities import Box, Cavity, MeshCavity, SteppedTube, Tube
from packdesign.engineering.geometry.layout import Job, Placed
from packdesign.engineering.geometry.mesh_clearance import mesh_clearance
from packdesign.engineering.geometry.section import inscribed, section_clearance

__all__ = ["between_cells", "half_extents", "wall_clearance"]

FloatArray = NDArray[np.float64]


def half_extents(job: Job, placed: Placed, *, with_faces: bool = False) -> FloatArray:
    """Half edges of the box around each cell, shape (n, 3). [m]

    Parameters
    ----------
    job : Job
        Cell and allowances.
    placed : Placed
        The cells.
    with_faces : bool
        Whether strip and insulator on the ends of cylinders count.
    """
    body = job.body
    ends_m = 0.0 if body.is_flat or not with_faces else job.allowances.face_m
    third = 1 - np.abs(placed.axes) - np.abs(placed.normals)
    half: FloatArray = (
        np.abs(placed.axes) * (body.length_m / 2 + ends_m)
        + np.abs(placed.normals) * body.thickness_m / 2
        + third * body.across_m / 2
    )
    return half


@functools.lru_cache(maxsize=256)
def _pairs(count: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    return np.triu_indices(count, 1)


def between_cells(job: Job, placed: Placed) -> float:
    """Least clearance between any two cells; infinite for one cell. [m]

    Parameters
    ----------
    job : Job
        Cell and allowances.
    placed : Placed
        The cells.
    """
    if len(placed.centres_m) < 2:
        return float("inf")
    half = half_extents(job, placed)
    first, second = _pairs(len(placed.centres_m))
    apart = placed.centres_m[first] - placed.centres_m[second]
    free = np.abs(apart) - half[first] - half[second]
    clear = _outside(free)
    if not job.body.is_flat:
        axis = np.argmax(np.abs(placed.axes), axis=1)
        alike = axis[first] == axis[second]
        clear = np.where(alike, _parallel(job, apart, axis[first]), clear)
    return float(np.min(clear))


def _outside(free: FloatArray) -> FloatArray:
    """Distance of two upright boxes from their distances along each axis; negative: overlap."""
    outside: FloatArray = np.sqrt(np.sum(np.maximum(free, 0) ** 2, axis=1))
    return np.where(outside > 0, outside, np.max(free, axis=1))


def _parallel(job: Job, apart: FloatArray, axis: NDArray[np.intp]) -> FloatArray:
    along = np.take_along_axis(apart, axis[:, None], axis=1)[:, 0]
    across = np.sqrt(np.maximum(np.sum(apart**2, axis=1) - along**2, 0))
    free = np.column_stack([np.abs(along) - job.body.length_m, across - job.body.across_m])
    return _outside(free)


def wall_clearance(
    job: Job, placed: Placed, cavity: Cavity, *, reserves: tuple[PlacedReserve, ...]
) -> float:
    """Least clearance from the wrapped pack to the wall or to reserved room. [m]

    Parameters
    ----------
    job : Job
        Cell and allowances.
    placed : Placed
        The cells.
    cavity : Cavity
        What they are in.
    reserves : tuple of PlacedReserve
        Room kept for other things.

    Returns
    -------
    float
        Negative where something is outside; infinite in free air. [m]
    """
    half = half_extents(job, placed, with_faces=True)
    if isinstance(cavity, Tube | SteppedTube):
        clear = _in_tube(job, placed, cavity, half, reserves)
    elif isinstance(cavity, Box):
        near = np.minimum(placed.centres_m - half, cavity.size_m - placed.centres_m - half)
        clear = float(np.min(near))
        for reserve in reserves:
            clear = min(clear, _from_reserve(placed, half, reserve))
    elif isinstance(cavity, MeshCavity):
        clear = mesh_clearance(cavity, placed, half=half, is_round=not job.body.is_flat)
    else:
        return float("inf")
    return clear - job.allowances.pack_wrap_m


def _from_reserve(placed: Placed, half: FloatArray, reserve: PlacedReserve) -> float:
    low, high = np.asarray(reserve.low_m), np.asarray(reserve.high_m)
    free = np.abs(placed.centres_m - (low + high) / 2) - half - (high - low) / 2
    return float(np.min(_outside(free)))


def _in_tube(
    job: Job,
    placed: Placed,
    cavity: Tube | SteppedTube,
    half: FloatArray,
    reserves: tuple[PlacedReserve, ...],
) -> float:
    low, high = placed.centres_m[:, 2] - half[:, 2], placed.centres_m[:, 2] + half[:, 2]
    if isinstance(cavity, SteppedTube):
        ends = (0.0, cavity.length_m)
        radii, middle_m = _narrowest(cavity, low, high), 0.0
    else:
        below = [reserve.high_m[2] for reserve in reserves if reserve.is_below]
        above = [reserve.low_m[2] for reserve in reserves if not reserve.is_below]
        ends = (
            max([cavity.bottom_stop_m, *below]),
            min([cavity.length_m - cavity.top_stop_m, *above]),
        )
        bore_m, middle_m = inscribed(cavity)
        radii = np.full(len(low), bore_m / 2)
    is_upright = np.abs(placed.axes[:, 2]) > 0.5
    at = placed.centres_m[:, :2] - np.array([0.0, middle_m])
    corner = np.hypot(*(np.abs(at) + half[:, :2]).T)
    side = radii - corner
    if not job.body.is_flat:
        round_side = radii - np.hypot(*at.T) - job.body.across_m / 2
        if isinstance(cavity, Tube):
            reach = section_clearance(cavity, placed.centres_m[:, :2])
            round_side = reach - job.body.across_m / 2
        side = np.where(is_upright, round_side, side)
    return float(min(np.min(side), np.min(low - ends[0]), np.min(ends[1] - high)))


def _narrowest(cavity: SteppedTube, low: FloatArray, high: FloatArray) -> FloatArray:
    """Smallest radius along the reach of each cell, strips included."""
    radii = np.full(len(low), np.inf)
    begin_m = 0.0
    for step in cavity.steps:
        end_m = begin_m + step.length_m
        touches = (low < end_m - 1e-9) & (high > begin_m + 1e-9)
        radii = np.where(touches, np.minimum(radii, step.bore_m / 2), radii)
        begin_m = end_m
    return np.where(np.isfinite(radii), radii, 0.0)
