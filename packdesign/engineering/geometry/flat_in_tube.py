"""Flat cells in a tube: a brick of bricks whose diagonal goes into the bore."""

from __future__ import annotations

import math

import numpy as np

from packdesign.engineering.geometry.cavities import Tube
from packdesign.engineering.geometry.layout import (
    Candidate,
    Job,
    Placed,
    flat_name,
    shortfalls,
    tightest,
)
from packdesign.engineering.geometry.section import inscribed
from packdesign.engineering.geometry.tube_room import TubeRoom, tube_room

__all__ = ["flat_in_tube", "most_flat_in_tube"]


def flat_in_tube(job: Job, tube: Tube) -> list[Candidate]:
    """List the ways to arrange all flat cells of a job in a tube, fitting or not. Not sorted."""
    room = tube_room(job, tube)
    best: dict[str, Candidate] = {}
    for along in range(3):
        first, second = (each for each in range(3) if each != along)
        for columns in range(1, job.count + 1):
            for rows in range(1, math.ceil(job.count / columns) + 1):
                tried = _flat(job, room, (along, first, second), (columns, rows))
                known = best.get(tried.name)
                if known is None or tightest(tried) < tightest(known):
                    best[tried.name] = tried
    return list(best.values())


def _edges(job: Job) -> tuple[float, float, float]:
    return job.body.thickness_m, job.body.across_m, job.body.length_m


def _flat(
    job: Job, room: TubeRoom, axes: tuple[int, int, int], counts: tuple[int, int]
) -> Candidate:
    """Lay flat cells with one of their edges (0 thickness, 1 width, 2 length) along the tube."""
    body, gap_m = job.body, job.allowances.gap_m
    edges = _edges(job)
    numbers = {axes[1]: counts[0], axes[2]: counts[1]}
    numbers[axes[0]] = math.ceil(job.count / (counts[0] * counts[1]))
    spans = [numbers[edge] * (edges[edge] + gap_m) - gap_m for edge in range(3)]
    spans[0] += job.allowances.soft_backing_m
    bore_m, middle_m = inscribed(room.tube)
    bore_needed = math.hypot(spans[axes[1]], spans[axes[2]]) + 2 * job.side_m
    length_needed = spans[axes[0]] + 2 * job.side_m
    missing, relative = shortfalls(
        bore=(bore_needed, bore_m), length=(length_needed, room.length_m)
    )
    free_m = room.length_m - length_needed
    if axes[0] != 0:
        other = spans[axes[1] if axes[2] == 0 else axes[2]]
        chord_m = math.sqrt(max((bore_m - 2 * job.side_m) ** 2 - other**2, 0.0))
        free_m = chord_m - spans[0]
    grown_m = numbers[0] * (body.thickness_m - body.new_thickness_m)
    kind, name = flat_name(numbers, count=job.count)
    bottom_m = room.bottom_m + job.side_m
    return Candidate(
        kind=kind,
        name=name,
        shortfall_m=missing,
        relative_shortfall=relative,
        length_left_m=room.length_m - length_needed,
        place=lambda: _flat_placed(job, bottom_m, axes, numbers, middle_m).first(job.count),
        reserves=room.reserves,
        bulk_m2=spans[axes[1]] * spans[axes[2]],
        free_thickness_fraction=max(0.0, free_m + grown_m) / (numbers[0] * body.new_thickness_m),
    )


def _flat_placed(
    job: Job, bottom_m: float, axes: tuple[int, int, int], numbers: dict[int, int], middle_m: float
) -> Placed:
    gap_m, edges = job.allowances.gap_m, _edges(job)
    frame = {axes[1]: 0, axes[2]: 1, axes[0]: 2}
    grids = np.meshgrid(*(np.arange(numbers[edge]) for edge in (2, 1, 0)), indexing="ij")
    centres = np.zeros((grids[0].size, 3))
    for edge, grid in zip((2, 1, 0), grids, strict=True):
        step_m = edges[edge] + gap_m
        at_m = grid.ravel() * step_m + edges[edge] / 2
        span_m = numbers[edge] * step_m - gap_m
        offset_m = bottom_m if frame[edge] == 2 else -span_m / 2
        if frame[edge] == 1:
            offset_m += middle_m
        centres[:, frame[edge]] = at_m + offset_m
    return Placed.alike(centres, axis=frame[2], normal=frame[0])


def most_flat_in_tube(job: Job, tube: Tube) -> tuple[int, Placed]:
    """Count the most flat cells that go into a tube.

    Parameters
    ----------
    job : Job
        Cell and allowances; its own number does not matter.
    tube : Tube
        The tube.

    Returns
    -------
    tuple of int and Placed
        How many, and where.
    """
    room = tube_room(job, tube)
    bore_m, middle_m = inscribed(tube)
    steps = [edge + job.allowances.gap_m for edge in _edges(job)]
    spare_m = [job.allowances.gap_m - job.allowances.soft_backing_m, *[job.allowances.gap_m] * 2]
    best, best_axes, best_numbers = 0, (0, 1, 2), {0: 0, 1: 0, 2: 0}
    for along in range(3):
        first, second = (each for each in range(3) if each != along)
        layers = int((room.length_m - 2 * job.side_m + spare_m[along] + 1e-9) // steps[along])
        diagonal_m = bore_m - 2 * job.side_m
        most_columns = int(max(0.0, diagonal_m + spare_m[first] + 1e-9) // steps[first])
        for columns in range(1, most_columns + 1):
            wide_m = columns * steps[first] - spare_m[first]
            deep_m = math.sqrt(max(diagonal_m**2 - wide_m**2, 0.0))
            rows = int(max(0.0, deep_m + spare_m[second] + 1e-9) // steps[second])
            if columns * rows * max(layers, 0) > best:
                best, best_axes = columns * rows * layers, (along, first, second)
                best_numbers = {first: columns, second: rows, along: layers}
    bottom_m = room.bottom_m + job.side_m
    return best, _flat_placed(job, bottom_m, best_axes, best_numbers, middle_m)
