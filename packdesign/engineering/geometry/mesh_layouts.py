"""Cells in a cavity given as a mesh: lattices shifted about in it, kept where they are clear.

Cells stay upright to the frame of the mesh. The search measures against points spread over the
surface; what it finds is then measured exactly, and is a fit only by that.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from packdesign.engineering.geometry.cavities import MeshCavity
from packdesign.engineering.geometry.clearance import half_extents
from packdesign.engineering.geometry.layout import Candidate, Job, Placed
from packdesign.engineering.geometry.mesh_clearance import (
    is_inside,
    mesh_clearance,
    signed_distance,
)

__all__ = ["in_mesh", "most_in_mesh"]

FloatArray = NDArray[np.float64]

_SURFACE_POINTS = 1500
"""How many points stand for the surface in the search; the final measure is exact."""
_REFINED_M = 2e-5
"""Step at which moving a whole layout about ends. [m]"""
_NEARLY_M = 5e-4
"""A layout that misses by less than this is worth moving about exactly. [m]"""
_AXIS_NAMES = ("x", "y", "z")


@dataclass(frozen=True, slots=True)
class _Grid:
    """One way to set cells out in a mesh before any is left out."""

    axis: int
    normal: int
    is_staggered: bool
    steps_m: tuple[float, float, float]
    """Across a row, from row to row, and along the cells. [m]"""

    @property
    def directions(self) -> tuple[int, int, int]:
        """Axes of the frame along which those steps lie."""
        return self.normal, 3 - self.axis - self.normal, self.axis


def _surface_points(cavity: MeshCavity) -> FloatArray:
    """Strew points over the surface, the same ones every time, as many on equal areas."""
    a, b, c = np.moveaxis(cavity.vertices_m[cavity.faces], 1, 0)
    area = np.linalg.norm(np.cross(b - a, c - a), axis=1)
    rng = np.random.default_rng(0)
    chosen = rng.choice(len(area), size=_SURFACE_POINTS, p=area / area.sum())
    one, two = np.sort(rng.uniform(size=(2, _SURFACE_POINTS, 1)), axis=0)
    strewn: FloatArray = a[chosen] * one + b[chosen] * (two - one) + c[chosen] * (1 - two)
    return strewn


def _grids(job: Job) -> Iterator[_Grid]:
    gap_m, body = job.allowances.gap_m, job.body
    for axis, normal in itertools.permutations(range(3), 2):
        if body.is_flat:
            steps = (body.thickness_m + gap_m, body.across_m + gap_m, body.length_m + gap_m)
            yield _Grid(axis, normal, False, steps)
            continue
        along_m = body.length_m + job.allowances.joint_m
        if normal == (axis + 1) % 3:
            yield _Grid(axis, normal, False, (job.pitch_m, job.pitch_m, along_m))
        yield _Grid(axis, normal, True, (job.pitch_m, job.pitch_m * math.sqrt(3) / 2, along_m))


def _shifts(job: Job, cavity: MeshCavity, grid: _Grid) -> Iterator[tuple[float, ...]]:
    """Shifts of a grid worth trying: flush with either side, a cell in the middle, or a gap there.

    In the order of the directions of the grid: across the row, along it, along the cells. [m]
    """
    one = Placed.alike(np.zeros((1, 3)), axis=grid.axis, normal=grid.normal)
    half = half_extents(job, one, with_faces=True)[0] + job.side_m + 1e-6
    options = []
    for axis, step_m in zip(grid.directions, grid.steps_m, strict=True):
        size_m = cavity.size_m[axis]
        places = (half[axis], size_m - half[axis], size_m / 2, (size_m + step_m) / 2)
        options.append(sorted({round(place % step_m, 7) for place in places}))
    return itertools.product(*options)


def _sites(cavity: MeshCavity, grid: _Grid, shift_m: tuple[float, ...]) -> FloatArray:
    """All places of a grid within the box around the mesh, layer by layer and row by row."""
    numbers = [
        np.arange(-1, math.ceil(cavity.size_m[axis] / step_m) + 2)
        for axis, step_m in zip(grid.directions, grid.steps_m, strict=True)
    ]
    along, row, column = (each.ravel() for each in np.meshgrid(*numbers[::-1], indexing="ij"))
    half = 0.5 * (row % 2) if grid.is_staggered else 0.0
    sites = np.empty((len(along), 3))
    for axis, step_m, first_m, number in zip(
        grid.directions, grid.steps_m, shift_m, (column + half, row, along), strict=True
    ):
        sites[:, axis] = first_m + number * step_m
    sites += cavity.low_m
    within = np.all((sites > cavity.low_m) & (sites < cavity.low_m + cavity.size_m), axis=1)
    return sites[within]


def _clear_of(job: Job, placed: Placed, surface: FloatArray) -> FloatArray:
    """Distance of each cell from the surface points, strips counted; not aware of in or out."""
    half = half_extents(job, placed, with_faces=True)
    axes = np.argmax(np.abs(placed.axes), axis=1)
    clear = np.empty(len(half))
    for number, (centre, extent, axis) in enumerate(zip(placed.centres_m, half, axes, strict=True)):
        distance = signed_distance(
            surface, centre, extent, int(axis), is_round=not job.body.is_flat
        )
        clear[number] = distance.min()
    return clear


def _kept(job: Job, cavity: MeshCavity, grid: _Grid, surface: FloatArray) -> tuple[Placed, int]:
    """Find the shift of a grid that keeps the most cells clear, those cells, and their number."""
    tree = cKDTree(surface)
    least_m = min(job.body.across_m, job.body.thickness_m) / 2 + job.side_m
    best = Placed.alike(np.zeros((0, 3)), axis=grid.axis, normal=grid.normal)
    for shift_m in _shifts(job, cavity, grid):
        sites = _sites(cavity, grid, shift_m)
        sites = sites[tree.query(sites)[0] >= least_m]
        if len(sites) <= len(best.centres_m):
            continue
        placed = Placed.alike(sites, axis=grid.axis, normal=grid.normal)
        sites = sites[_clear_of(job, placed, surface) >= job.side_m]
        if len(sites) > len(best.centres_m):
            sites = sites[is_inside(cavity, sites)]
        if len(sites) > len(best.centres_m):
            best = Placed.alike(sites, axis=grid.axis, normal=grid.normal)
    return best, len(best.centres_m)


def _moved_clear(
    placed: Placed, clear_of: Callable[[Placed], float], *, step_m: float, finest_m: float
) -> Placed:
    """Move a whole layout about until its least distance from the surface is largest."""
    best = clear_of(placed)
    moves = np.concatenate([np.eye(3), -np.eye(3)])
    while step_m > finest_m:
        tried = [_shifted(placed, move * step_m) for move in moves]
        clear = [clear_of(each) for each in tried]
        if max(clear) > best + finest_m / 10:
            best, placed = max(clear), tried[int(np.argmax(clear))]
        else:
            step_m /= 2
    return placed


def _settled(job: Job, cavity: MeshCavity, placed: Placed, surface: FloatArray) -> Placed:
    """Move a layout clear, by the points of the surface first, and exactly where that misses."""

    def by_points(each: Placed) -> float:
        return float(_clear_of(job, each, surface).min())

    placed = _moved_clear(placed, by_points, step_m=job.pitch_m / 8, finest_m=_REFINED_M)
    short_m = job.allowances.wall_gap_m - _measured(job, cavity, placed)
    if not 0 < short_m < _NEARLY_M:
        return placed
    return _moved_clear(
        placed, lambda each: _measured(job, cavity, each), step_m=short_m, finest_m=_REFINED_M
    )


def _shifted(placed: Placed, move_m: FloatArray) -> Placed:
    return Placed(centres_m=placed.centres_m + move_m, axes=placed.axes, normals=placed.normals)


def _measured(job: Job, cavity: MeshCavity, placed: Placed) -> float:
    """Exact clearance of the wrapped pack. [m]"""
    half = half_extents(job, placed, with_faces=True)
    clear = mesh_clearance(cavity, placed, half=half, is_round=not job.body.is_flat)
    return clear - job.allowances.pack_wrap_m


def in_mesh(job: Job, cavity: MeshCavity) -> list[Candidate]:
    """List the lattices that hold all cells of a job in a mesh, or the one that comes nearest.

    Parameters
    ----------
    job : Job
        Cell, number and allowances.
    cavity : MeshCavity
        The free inside.

    Returns
    -------
    list of Candidate
        Not sorted. What is missing is a clearance, since a mesh has no one edge to lengthen.
    """
    surface = _surface_points(cavity)
    candidates = []
    for grid in _grids(job):
        placed, count = _kept(job, cavity, grid, surface)
        if count >= job.count:
            chosen = _settled(job, cavity, placed.first(job.count), surface)
        else:
            chosen = _nearest(job, cavity, grid, surface)
        candidates.append(_candidate(job, grid, chosen, _measured(job, cavity, chosen)))
    fitting = [each for each in candidates if each.fits]
    return fitting or candidates


def _nearest(job: Job, cavity: MeshCavity, grid: _Grid, surface: FloatArray) -> Placed:
    """Set out as many as asked, those first that are least out of place."""
    middle = cavity.low_m + np.asarray(cavity.size_m) / 2
    steps = np.empty(3)
    order = [grid.normal, 3 - grid.axis - grid.normal, grid.axis]
    steps[order] = grid.steps_m
    reach = math.ceil(job.count ** (1 / 3)) + 1
    numbers = np.stack(np.meshgrid(*[np.arange(-reach, reach + 1)] * 3, indexing="ij"), axis=-1)
    sites = numbers.reshape(-1, 3) * steps + middle
    if grid.is_staggered:
        row = np.round((sites[:, order[1]] - middle[order[1]]) / grid.steps_m[1]).astype(int)
        sites[:, order[0]] += 0.5 * grid.steps_m[0] * (row % 2)
    everywhere = Placed.alike(sites, axis=grid.axis, normal=grid.normal)
    clear = _clear_of(job, everywhere, surface)
    depth = np.where(is_inside(cavity, sites), clear, -np.abs(clear) - job.body.length_m)
    chosen = np.sort(np.argsort(-depth, kind="stable")[: job.count])
    return Placed.alike(sites[chosen], axis=grid.axis, normal=grid.normal)


def _candidate(job: Job, grid: _Grid, placed: Placed, clear_m: float) -> Candidate:
    short_m = job.allowances.wall_gap_m - clear_m
    missing = {"clearance": short_m} if short_m > 1e-9 else {}
    style = "in staggered rows" if grid.is_staggered else "in straight rows"
    if job.body.is_flat:
        style = f"with their thickness along {_AXIS_NAMES[grid.normal]}"
    return Candidate(
        kind="mesh",
        name=f"{job.count} along {_AXIS_NAMES[grid.axis]} of the mesh, {style}",
        shortfall_m=missing,
        relative_shortfall=max(short_m, 0.0),
        length_left_m=clear_m - job.allowances.wall_gap_m,
        place=lambda: placed,
        layers=0,
        free_thickness_fraction=_growth_room(job) if job.body.is_flat else None,
    )


def _growth_room(job: Job) -> float:
    """Room to thicken that the body itself reserves; more may be there in a mesh. [-]"""
    return (job.body.thickness_m - job.body.new_thickness_m) / job.body.new_thickness_m


def most_in_mesh(job: Job, cavity: MeshCavity) -> tuple[int, Placed]:
    """Count the most cells found in a mesh by one lattice, each measured exactly.

    Parameters
    ----------
    job : Job
        Cell and allowances; its own number does not matter.
    cavity : MeshCavity
        The free inside.

    Returns
    -------
    tuple of int and Placed
        How many, and where.
    """
    surface = _surface_points(cavity)
    found = max(
        (_kept(job, cavity, grid, surface) for grid in _grids(job)), key=lambda pair: pair[1]
    )
    placed, _count = found
    if not len(placed.centres_m):
        return 0, placed
    placed = _settled(job, cavity, placed, surface)
    single = [
        Placed(
            centres_m=placed.centres_m[each : each + 1],
            axes=placed.axes[each : each + 1],
            normals=placed.normals[each : each + 1],
        )
        for each in range(len(placed.centres_m))
    ]
    least_m = job.allowances.wall_gap_m
    clear = [each for each in single if _measured(job, cavity, each) >= least_m]
    kept = Placed.joined(clear)
    return len(kept.centres_m), kept
