"""Flat cells in a box: all six ways round, stacked face to face, laid flat or both."""

from __future__ import annotations

import itertools
import math
from functools import partial

import numpy as np

from packdesign.engineering.geometry.box_room import BoxRoom
from packdesign.engineering.geometry.layout import (
    Candidate,
    Job,
    Placed,
    flat_name,
    shortfalls,
    tightest,
)

__all__ = ["flat_in_box", "most_flat_in_box"]

Edges = tuple[float, float, float]

_EDGE_NAMES = ("length", "width", "height")


def flat_in_box(job: Job, room: BoxRoom) -> list[Candidate]:
    """List the ways to arrange all flat cells of a job in the free part of a box. Not sorted."""
    best: dict[tuple[str, int], Candidate] = {}
    shapes = _shapes(job.count)
    for frame in itertools.permutations(range(3)):
        for numbers in shapes:
            tried = _candidate(job, room, (frame[0], frame[1], frame[2]), numbers)
            key = (tried.name, frame[0])
            if key not in best or tightest(tried) < tightest(best[key]):
                best[key] = tried
    return list(best.values())


def _shapes(count: int) -> list[tuple[int, int, int]]:
    """How many along thickness, width and length, with no more places than need be."""
    shapes = []
    for wide in range(1, count + 1):
        for long in range(1, math.ceil(count / wide) + 1):
            stacked = math.ceil(count / (wide * long))
            is_snug = stacked * (wide - 1) * long < count and stacked * wide * (long - 1) < count
            if is_snug:
                shapes.append((stacked, wide, long))
    return shapes


def _needs(job: Job, numbers: tuple[int, int, int]) -> Edges:
    """Room from wall to wall along the thickness, width and length of the cells."""
    gap_m, edges = job.allowances.gap_m, _edges(job)
    spans = [
        number * (edge + gap_m) - gap_m + 2 * job.side_m
        for number, edge in zip(numbers, edges, strict=True)
    ]
    return spans[0] + job.allowances.soft_backing_m, spans[1], spans[2]


def _edges(job: Job) -> Edges:
    return job.body.thickness_m, job.body.across_m, job.body.length_m


def _candidate(
    job: Job, room: BoxRoom, frame: Edges | tuple[int, int, int], numbers: tuple[int, int, int]
) -> Candidate:
    """``frame`` says along which edge of the box thickness, width and length of a cell lie."""
    axes = [int(axis) for axis in frame]
    needs = _needs(job, numbers)
    missing, relative = shortfalls(
        **{
            _EDGE_NAMES[axis]: (need, room.size_m[axis])
            for axis, need in zip(axes, needs, strict=True)
        }
    )
    kind, name = flat_name(dict(enumerate(numbers)), count=job.count)
    grown_m = numbers[0] * (job.body.thickness_m - job.body.new_thickness_m)
    spare_m = room.size_m[axes[0]] - needs[0] + grown_m
    return Candidate(
        kind=kind,
        name=f"{name}, thickness along the {_EDGE_NAMES[axes[0]]}",
        shortfall_m=missing,
        relative_shortfall=relative,
        length_left_m=min(room.size_m[axis] - need for axis, need in zip(axes, needs, strict=True)),
        place=partial(_placed, job, room, (axes[0], axes[1], axes[2]), numbers, job.count),
        bulk_m2=math.prod(needs),
        reserves=room.reserves,
        layers=0,
        free_thickness_fraction=max(0.0, spare_m) / (numbers[0] * job.body.new_thickness_m),
    )


def _placed(
    job: Job,
    room: BoxRoom,
    axes: tuple[int, int, int],
    numbers: tuple[int, int, int],
    count: int,
) -> Placed:
    grids = np.meshgrid(*(np.arange(numbers[edge]) for edge in (2, 1, 0)), indexing="ij")
    centres = np.zeros((grids[0].size, 3))
    edges = _edges(job)
    for edge, grid in zip((2, 1, 0), grids, strict=True):
        axis = axes[edge]
        step_m = edges[edge] + job.allowances.gap_m
        centres[:, axis] = room.low_m[axis] + job.side_m + edges[edge] / 2 + grid.ravel() * step_m
    return Placed.alike(centres[:count], axis=axes[2], normal=axes[0])


def most_flat_in_box(job: Job, room: BoxRoom) -> tuple[int, Placed]:
    """Count the most flat cells, all the same way round, that go into the free part of a box.

    Parameters
    ----------
    job : Job
        Cell and allowances; its own number does not matter.
    room : BoxRoom
        Free part of the box.

    Returns
    -------
    tuple of int and Placed
        How many, and where.
    """
    gap_m, edges = job.allowances.gap_m, _edges(job)
    backing_m = (job.allowances.soft_backing_m, 0.0, 0.0)
    best, best_axes, best_numbers = 0, (0, 1, 2), (0, 0, 0)
    for axes in itertools.permutations(range(3)):
        spare = [
            room.size_m[axis] - 2 * job.side_m - backing_m[edge] + gap_m + 1e-9
            for edge, axis in enumerate(axes)
        ]
        numbers = [
            int(max(0.0, room_m) // (edge + gap_m))
            for room_m, edge in zip(spare, edges, strict=True)
        ]
        if math.prod(numbers) > best:
            best = math.prod(numbers)
            best_axes = (axes[0], axes[1], axes[2])
            best_numbers = (numbers[0], numbers[1], numbers[2])
    return best, _placed(job, room, best_axes, best_numbers, best)
