"""What a tube offers once stops, leads and reserved bricks are off, and cells standing in it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.geometry.arrangement import PlacedReserve
from packdesign.engineering.geometry.cavities import Reserved, Tube
from packdesign.engineering.geometry.circle_packing import (
    MOST_CIRCLES,
    circle_positions,
    circle_ratio,
    most_circles,
)
from packdesign.engineering.geometry.layout import Job
from packdesign.engineering.geometry.section import inscribed, points_across

__all__ = [
    "TubeRoom",
    "across_bore",
    "bore_for",
    "layer_name",
    "layer_sizes",
    "most_across",
    "reserved_slice_m",
    "standing",
    "tube_room",
]

FloatArray = NDArray[np.float64]

_PATTERNS = {
    1: ("end_to_end", "end to end"),
    2: ("side_by_side", "side by side"),
    3: ("triangle", "in a triangle"),
    4: ("square", "in a square"),
    7: ("hex", "in a hexagon with one in the middle"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class TubeRoom:
    """What a tube offers once stops, reserved slices and leads are taken off."""

    tube: Tube
    bottom_m: float
    length_m: float
    reserves: tuple[PlacedReserve, ...]


def reserved_slice_m(reserved: Reserved, *, bore_m: float) -> tuple[float, float, float]:
    """Turn a reserved brick so that it takes the least length of a bore.

    Parameters
    ----------
    reserved : Reserved
        The brick.
    bore_m : float
        Bore it lies in. [m]

    Returns
    -------
    tuple of float
        Edges across, across and along the tube; where it goes in no way round, the way that
        is nearest to going in. [m]
    """
    edges = sorted(reserved.size_m)
    ways = [(edges[1], edges[2], edges[0]), (edges[0], edges[2], edges[1]), tuple(edges)]
    for first, second, along in ways:
        if math.hypot(first, second) <= bore_m + 1e-9:
            return first, second, along
    return edges[0], edges[1], edges[2]


def tube_room(job: Job, tube: Tube) -> TubeRoom:
    """Take stops, reserved bricks and the room for leads off a tube.

    Bricks lie at the top, the open end; those for the closed end on the stop at the bottom.
    """
    bottom_m, top_m = tube.bottom_stop_m, tube.length_m - tube.top_stop_m
    bore_m, middle_m = inscribed(tube)
    placed = []
    for reserved in tube.reserved:
        wide, deep, along = reserved_slice_m(reserved, bore_m=bore_m)
        is_below = reserved.place == "closed_end"
        low_m = bottom_m if is_below else top_m - along
        placed.append(
            PlacedReserve(
                name=reserved.name,
                low_m=(-wide / 2, middle_m - deep / 2, low_m),
                high_m=(wide / 2, middle_m + deep / 2, low_m + along),
                is_below=is_below,
            )
        )
        if is_below:
            bottom_m += along
        else:
            top_m -= along
    length_m = top_m - job.allowances.lead_m - bottom_m
    return TubeRoom(tube=tube, bottom_m=bottom_m, length_m=length_m, reserves=tuple(placed))


def bore_for(job: Job, count: int) -> float:
    """Bore that ``count`` standing cylinders need side by side, wraps and gaps counted. [m]

    Parameters
    ----------
    job : Job
        Cell and allowances.
    count : int
        How many side by side. [-]
    """
    return circle_ratio(count) * job.pitch_m - job.allowances.gap_m + 2 * job.side_m


def across_bore(job: Job, tube: Tube, count: int) -> tuple[FloatArray, float]:
    """Place middles side by side, and tell by how much the bore is too small (0 or less: fits)."""
    if tube.is_plain:
        return circle_positions(count) * (job.pitch_m / 2), bore_for(job, count) - tube.bore_m
    points, clear_m = points_across(tube, count=count, pitch_m=job.pitch_m)
    return points, 2 * (job.body.across_m / 2 + job.side_m - clear_m)


def standing(points: FloatArray, job: Job, bottom_m: float, layers: int) -> FloatArray:
    """Stack layers of standing cells, bottom layer first. [m]"""
    step_m = job.body.length_m + job.allowances.joint_m
    first_m = bottom_m + job.side_m + job.allowances.face_m + job.body.length_m / 2
    heights = np.repeat(first_m + step_m * np.arange(layers), len(points))
    return np.column_stack([np.tile(points, (layers, 1)), heights])


def layer_name(across: int, layers: int, total: int) -> tuple[str, str]:
    """Kind and name of layers of standing cylinders."""
    kind, pattern = _PATTERNS.get(across, ("ring", "side by side across the bore"))
    if across == 1:
        return kind, f"{layers} {pattern}" if layers > 1 else "one cell along the tube"
    full = f"{across} {pattern}"
    if layers == 1:
        return kind, full
    uneven = "" if across * layers == total else ", the last not full"
    return kind, f"{layers} layers of {full}{uneven}"


def layer_sizes(count: int) -> list[int]:
    """Numbers across the bore that lead to different numbers of layers, each the least."""
    sizes = {math.ceil(count / layers) for layers in range(1, count + 1)}
    return sorted(size for size in sizes if size <= MOST_CIRCLES)


def most_across(job: Job, bore_m: float) -> int:
    """How many standing cylinders go side by side into a full round bore. [-]"""
    outer_m = (bore_m - 2 * job.side_m + job.allowances.gap_m) / 2
    return most_circles(outer_radius_m=outer_m, radius_m=job.pitch_m / 2)
