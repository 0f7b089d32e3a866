"""Cells in free air: the compact shapes that builders wrap and hold by hand."""

from __future__ import annotations

import math
from functools import partial

from packdesign.engineering.geometry.box_layouts import round_in_box
from packdesign.engineering.geometry.box_room import BoxRoom
from packdesign.engineering.geometry.circle_packing import circle_positions
from packdesign.engineering.geometry.flat_in_box import flat_in_box
from packdesign.engineering.geometry.layout import Candidate, Job, Placed
from packdesign.engineering.geometry.tube_room import bore_for, standing

__all__ = ["in_free_air"]

_FREE = BoxRoom(low_m=(0.0, 0.0, 0.0), size_m=(math.inf, math.inf, math.inf))


def in_free_air(job: Job) -> list[Candidate]:
    """List the compact ways to arrange all cells of a job with nothing around them.

    Parameters
    ----------
    job : Job
        Cell, number and allowances.

    Returns
    -------
    list of Candidate
        Rows, blocks and, for cylinders, the round bundle. Not sorted.
    """
    if job.body.is_flat:
        return [each for each in flat_in_box(job, _FREE) if "height" in each.name]
    upright = [each for each in round_in_box(job, _FREE) if "the length" in each.name]
    if job.count < 3:
        return upright
    bundle = Candidate(
        kind="ring",
        name=f"{job.count} in a round bundle",
        shortfall_m={},
        length_left_m=math.inf,
        place=partial(_bundle, job),
        bulk_m2=bore_for(job, job.count) ** 2,
        layers=1,
    )
    return [*upright, bundle]


def _bundle(job: Job) -> Placed:
    points = circle_positions(job.count) * (job.pitch_m / 2)
    return Placed.alike(standing(points, job, 0.0, 1), axis=2, normal=0)
