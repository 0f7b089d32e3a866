"""Cylinders in a box: every way they can point, both lattices, layers, and two directions mixed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.geometry.box_room import BoxRoom
from packdesign.engineering.geometry.lattice import Lattice, blocks_of, most_in_rectangle
from packdesign.engineering.geometry.layout import (
    Candidate,
    Job,
    Placed,
    shortfalls,
    tightest,
)
from packdesign.engineering.geometry.tube_room import layer_sizes

__all__ = ["most_round_in_box", "round_in_box"]

FloatArray = NDArray[np.float64]
Edges = tuple[float, float, float]

_EDGE_NAMES = ("length", "width", "height")


@dataclass(frozen=True, slots=True)
class _Block:
    """Cylinders that point along one axis: a lattice across it, in layers along it."""

    axis: int
    lattice: Lattice
    layers: int
    corner_m: Edges

    @property
    def count(self) -> int:
        return self.lattice.count * self.layers


def _others(axis: int) -> tuple[int, int]:
    first, second = (each for each in range(3) if each != axis)
    return first, second


def round_in_box(job: Job, room: BoxRoom) -> list[Candidate]:
    """List the ways to arrange all cylinders of a job in the free part of a box. Not sorted."""
    best: dict[tuple[int, int, str], Candidate] = {}
    for across in layer_sizes(job.count):
        layers = math.ceil(job.count / across)
        for axis in range(3):
            first, second = _others(axis)
            width_m, height_m = (
                _inflated(job, room.size_m[first]),
                _inflated(job, room.size_m[second]),
            )
            for lattice in blocks_of(
                across, width_m=width_m, height_m=height_m, diameter_m=job.pitch_m
            ):
                tried = _candidate(job, room, axis, lattice, layers)
                key = (axis, layers, tried.kind)
                if key not in best or tightest(tried) < tightest(best[key]):
                    best[key] = tried
    mixed = _mixed_candidate(job, room)
    return [*best.values(), *([mixed] if mixed is not None else [])]


def _inflated(job: Job, edge_m: float) -> float:
    """Free edge from wall to wall, less both sides, plus one gap: what inflated cells have."""
    return edge_m - 2 * job.side_m + job.allowances.gap_m


def _candidate(job: Job, room: BoxRoom, axis: int, lattice: Lattice, layers: int) -> Candidate:
    first, second = _others(axis)
    inflate_m = 2 * job.side_m - job.allowances.gap_m
    needed = {
        axis: job.stack_m(layers),
        first: lattice.size_m[0] + inflate_m,
        second: lattice.size_m[1] + inflate_m,
    }
    missing, relative = shortfalls(
        **{_EDGE_NAMES[edge]: (needed[edge], room.size_m[edge]) for edge in range(3)}
    )
    kind, name = _named(job, axis, lattice, layers)
    corner_m = (room.low_m[0], room.low_m[1], room.low_m[2])
    return Candidate(
        kind=kind,
        name=name,
        shortfall_m=missing,
        relative_shortfall=relative,
        length_left_m=min(room.size_m[edge] - needed[edge] for edge in range(3)),
        place=partial(_placed, job, (_Block(axis, lattice, layers, corner_m),), job.count),
        bulk_m2=needed[0] * needed[1] * needed[2],
        reserves=room.reserves,
        layers=layers if lattice.count == 1 else 0,
    )


def _named(job: Job, axis: int, lattice: Lattice, layers: int) -> tuple[str, str]:
    way = f"along the {_EDGE_NAMES[axis]}"
    in_layers = f" in {layers} layers" if layers > 1 else ""
    if lattice.count == 1:
        many = f"{layers} end to end" if layers > 1 else "one cell"
        return "end_to_end", f"{many} {way}"
    if lattice.rows == 1 or (not lattice.is_staggered and lattice.long == 1):
        beside = max(lattice.rows, lattice.long)
        return "side_by_side", f"{beside} side by side{in_layers}, {way}"
    if lattice.is_staggered:
        if lattice.count == 3 and lattice.rows == 2:
            return "triangle", f"3 in a triangle{in_layers}, {way}"
        kind = "hex" if lattice.row_step_m > 0.866 * lattice.diameter_m else "staggered"
        rows = "-".join(
            str(lattice.short if row % 2 else lattice.long) for row in range(lattice.rows)
        )
        return kind, f"staggered rows {rows}{in_layers}, {way}"
    return "square", f"{lattice.rows} straight rows of {lattice.long}{in_layers}, {way}"


def _placed(job: Job, blocks: tuple[_Block, ...], count: int) -> Placed:
    parts = [_block_placed(job, block) for block in blocks if block.count]
    return Placed.joined(parts).first(count)


def _block_placed(job: Job, block: _Block) -> Placed:
    first, second = _others(block.axis)
    points = block.lattice.points_m() + (job.side_m - job.allowances.gap_m / 2)
    step_m = job.body.length_m + job.allowances.joint_m
    begin_m = job.side_m + job.allowances.face_m + job.body.length_m / 2
    along = np.repeat(begin_m + step_m * np.arange(block.layers), len(points))
    centres = np.empty((len(along), 3))
    centres[:, block.axis] = along
    centres[:, [first, second]] = np.tile(points, (block.layers, 1))
    return Placed.alike(centres + np.asarray(block.corner_m), axis=block.axis, normal=first)


def _fullest(job: Job, size_m: Edges, axis: int, corner_m: Edges) -> _Block:
    """Put as many cells as go in that all point along one axis."""
    first, second = _others(axis)
    lattice = most_in_rectangle(
        width_m=_inflated(job, size_m[first]),
        height_m=_inflated(job, size_m[second]),
        diameter_m=job.pitch_m,
    )
    return _Block(axis, lattice, job.layers_in(size_m[axis]), corner_m)


def _mixed_pairs(job: Job, room: BoxRoom) -> Iterator[tuple[_Block, _Block]]:
    """Cut the box once, across each edge, and point the cells of both parts different ways."""
    overlap_m = 2 * job.side_m - job.allowances.gap_m
    corner_m = (room.low_m[0], room.low_m[1], room.low_m[2])
    for cut in range(3):
        for axis in range(3):
            for part_m in _part_lengths(job, room.size_m[cut], is_along=axis == cut):
                part, rest = list(room.size_m), list(room.size_m)
                part[cut] = part_m
                rest[cut] = room.size_m[cut] - part_m + overlap_m
                one = _fullest(job, (part[0], part[1], part[2]), axis, corner_m)
                if not one.count:
                    continue
                rest_corner = list(corner_m)
                rest_corner[cut] += part_m - overlap_m
                for other_axis in _others(axis):
                    corner = (rest_corner[0], rest_corner[1], rest_corner[2])
                    yield one, _fullest(job, (rest[0], rest[1], rest[2]), other_axis, corner)


def _part_lengths(job: Job, edge_m: float, *, is_along: bool) -> list[float]:
    """Lengths of a part that whole layers, or whole rows, just fill."""
    if is_along:
        return [job.stack_m(layers) for layers in range(1, job.layers_in(edge_m) + 1)]
    ends_m = 2 * job.side_m - job.allowances.gap_m
    rows = int(max(0.0, edge_m - ends_m + 1e-9) // job.pitch_m)
    tight = math.sqrt(3) / 2
    straight = [ends_m + number * job.pitch_m for number in range(1, rows + 1)]
    nested = [ends_m + (1 + number * tight) * job.pitch_m for number in range(1, rows + 1)]
    return [length for length in straight + nested if length <= edge_m]


def _mixed_candidate(job: Job, room: BoxRoom) -> Candidate | None:
    if job.count < 2 or not all(math.isfinite(edge) for edge in room.size_m):
        return None
    best: tuple[_Block, _Block] | None = None
    for pair in _mixed_pairs(job, room):
        total = pair[0].count + pair[1].count
        if pair[0].count < job.count <= total and (
            best is None or total < best[0].count + best[1].count
        ):
            best = pair
    if best is None:
        return None
    one, other = best
    name = (
        f"{one.count} along the {_EDGE_NAMES[one.axis]} and {job.count - one.count} "
        f"along the {_EDGE_NAMES[other.axis]}"
    )
    return Candidate(
        kind="mixed",
        name=name,
        shortfall_m={},
        length_left_m=math.nan,
        place=partial(_placed, job, best, job.count),
        bulk_m2=math.prod(room.size_m),
        reserves=room.reserves,
        layers=0,
    )


def most_round_in_box(job: Job, room: BoxRoom) -> tuple[int, Placed]:
    """Count the most cylinders that go into the free part of a box, both directions mixed too.

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
    corner_m = (room.low_m[0], room.low_m[1], room.low_m[2])
    best: tuple[_Block, ...] = max(
        ((_fullest(job, room.size_m, axis, corner_m),) for axis in range(3)),
        key=lambda blocks: blocks[0].count,
    )
    for pair in _mixed_pairs(job, room):
        if pair[0].count + pair[1].count > sum(block.count for block in best):
            best = pair
    total = sum(block.count for block in best)
    return total, _placed(job, best, total)
