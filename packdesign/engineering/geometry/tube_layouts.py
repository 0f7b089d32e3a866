"""Cylinders in a tube: standing across the bore in layers, or lying crosswise."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.geometry.cavities import Tube
from packdesign.engineering.geometry.lattice import Lattice, blocks_of, most_in_rectangle
from packdesign.engineering.geometry.layout import Candidate, Job, Placed, shortfalls
from packdesign.engineering.geometry.section import inscribed
from packdesign.engineering.geometry.tube_room import (
    TubeRoom,
    across_bore,
    bore_for,
    layer_name,
    layer_sizes,
    most_across,
    standing,
    tube_room,
)

__all__ = ["most_round_in_tube", "round_in_tube"]

FloatArray = NDArray[np.float64]


def round_in_tube(job: Job, tube: Tube) -> list[Candidate]:
    """List the ways to arrange all cylinders of a job in a tube, fitting or not. Not sorted."""
    room = tube_room(job, tube)
    upright = [_standing_candidate(job, room, across) for across in layer_sizes(job.count)]
    return upright + _crosswise_candidates(job, room)


def _standing_candidate(job: Job, room: TubeRoom, across: int) -> Candidate:
    layers = math.ceil(job.count / across)
    points, bore_short_m = across_bore(job, room.tube, across)
    needed_m = job.stack_m(layers)
    bore_m = room.tube.bore_m
    missing, relative = shortfalls(
        bore=(bore_m + bore_short_m, bore_m), length=(needed_m, room.length_m)
    )
    kind, name = layer_name(across, layers, job.count)

    def place() -> Placed:
        centres = standing(points, job, room.bottom_m, layers)
        return Placed.alike(centres[: job.count], axis=2, normal=0)

    return Candidate(
        kind=kind,
        name=name,
        shortfall_m=missing,
        relative_shortfall=relative,
        length_left_m=room.length_m - needed_m,
        place=place,
        reserves=room.reserves,
        layers=layers,
        bulk_m2=bore_for(job, across) ** 2,
    )


def _crosswise_candidates(job: Job, room: TubeRoom) -> list[Candidate]:
    """Cylinders lying across the bore, rows along the tube: circles in a rectangle once more."""
    bore_m, _middle = inscribed(room.tube)
    ends_m = job.body.length_m + 2 * (job.allowances.face_m + job.side_m)
    if ends_m >= bore_m:
        return []
    width_m = _chord_m(job, bore_m) - 2 * job.side_m + job.allowances.gap_m
    height_m = room.length_m - 2 * job.side_m + job.allowances.gap_m
    blocks = blocks_of(job.count, width_m=width_m, height_m=height_m, diameter_m=job.pitch_m)
    candidates = [_crosswise(job, room, block, width_m, height_m) for block in blocks]
    fitting = [each for each in candidates if each.fits]
    return sorted(fitting, key=lambda each: -each.length_left_m)[:2]


def _chord_m(job: Job, bore_m: float) -> float:
    """Width across which cells of this length can lie side by side in a bore."""
    ends_m = job.body.length_m + 2 * (job.allowances.face_m + job.side_m)
    return math.sqrt(max(bore_m**2 - ends_m**2, 0.0))


def _crosswise(
    job: Job, room: TubeRoom, block: Lattice, width_m: float, height_m: float
) -> Candidate:
    across_m, along_m = block.size_m
    missing, relative = shortfalls(bore=(across_m, width_m), length=(along_m, height_m))
    style = "in staggered rows" if block.is_staggered else "in straight rows"

    def place() -> Placed:
        return _crosswise_placed(job, room, block, job.count)

    return Candidate(
        kind="crosswise",
        name=f"{job.count} lying across the tube {style}",
        shortfall_m=missing,
        relative_shortfall=relative,
        length_left_m=height_m - along_m,
        place=place,
        reserves=room.reserves,
        layers=0,
        bulk_m2=across_m * along_m,
    )


def _crosswise_placed(
    job: Job, room: TubeRoom, block: Lattice, count: int, above_m: float = 0.0
) -> Placed:
    _bore, middle_m = inscribed(room.tube)
    points = block.points_m()
    points = points[np.lexsort((points[:, 0], np.round(points[:, 1], 9)))][:count]
    across = points[:, 0] - block.size_m[0] / 2 + middle_m
    offset_m = room.bottom_m + job.side_m - job.allowances.gap_m / 2 + above_m
    centres = np.column_stack([np.zeros(len(points)), across, points[:, 1] + offset_m])
    return Placed.alike(centres, axis=0, normal=1)


def most_round_in_tube(job: Job, tube: Tube) -> tuple[int, Placed]:
    """Count the most cylinders that go into a tube: standing layers, the rest lying crosswise.

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
    across = _most_standing(job, tube)
    most_layers = job.layers_in(room.length_m) if across else 0
    best: tuple[int, int, Lattice | None] = (across * most_layers, most_layers, None)
    for layers in range(most_layers + 1):
        lying = _lying_above(job, room, layers)
        if lying is not None and across * layers + lying.count > best[0]:
            best = (across * layers + lying.count, layers, lying)
    total, layers, lying = best
    parts = []
    if layers:
        points, _short = across_bore(job, tube, across)
        upright = standing(points, job, room.bottom_m, layers)
        parts.append(Placed.alike(upright, axis=2, normal=0))
    if lying is not None:
        parts.append(_crosswise_placed(job, room, lying, lying.count, _taken_m(job, layers)))
    return total, Placed.joined(parts)


def _taken_m(job: Job, layers: int) -> float:
    """Length that standing layers take from those lying above them."""
    return job.stack_m(layers) - 2 * job.side_m + job.allowances.gap_m if layers else 0.0


def _most_standing(job: Job, tube: Tube) -> int:
    bore_m, _middle = inscribed(tube)
    if tube.is_plain:
        return most_across(job, tube.bore_m)
    least, most = most_across(job, bore_m), most_across(job, tube.bore_m)
    for across in range(most, least, -1):
        if across_bore(job, tube, across)[1] <= 1e-9:
            return across
    return least


def _lying_above(job: Job, room: TubeRoom, layers: int) -> Lattice | None:
    bore_m, _middle = inscribed(room.tube)
    chord_m = _chord_m(job, bore_m)
    width_m = chord_m - 2 * job.side_m + job.allowances.gap_m
    height_m = room.length_m - 2 * job.side_m + job.allowances.gap_m - _taken_m(job, layers)
    if width_m < job.pitch_m or height_m < job.pitch_m:
        return None
    return most_in_rectangle(width_m=width_m, height_m=height_m, diameter_m=job.pitch_m)
