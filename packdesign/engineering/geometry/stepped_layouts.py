"""Cylinders in a stepped tube: layers where they fit, or each step filled for its own bore."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from packdesign.engineering.geometry.arrangement import PlacedReserve
from packdesign.engineering.geometry.cavities import SMALLEST_M, SteppedTube, Tube, TubeStep
from packdesign.engineering.geometry.circle_packing import circle_positions
from packdesign.engineering.geometry.layout import Candidate, Job, Placed, shortfalls
from packdesign.engineering.geometry.tube_room import (
    bore_for,
    layer_name,
    layer_sizes,
    most_across,
    reserved_slice_m,
    standing,
)
from packdesign.foundation.errors import InputError

__all__ = ["most_round_in_steps", "plain_stretches", "round_in_steps", "without_reserved"]


@dataclass(frozen=True, slots=True)
class _Run:
    """A stretch of a stepped tube in which layers of one size stand."""

    bottom_m: float
    length_m: float
    across: int
    layers: int


def _stretches(job: Job, cavity: SteppedTube, bore_m: float) -> list[tuple[float, float]]:
    """Bottom and length of every stretch whose bore is at least this."""
    stretches: list[tuple[float, float]] = []
    at_m = 0.0
    for number, step in enumerate(cavity.steps):
        is_last = number == len(cavity.steps) - 1
        length_m = step.length_m - (job.allowances.lead_m if is_last else 0.0)
        if step.bore_m >= bore_m - 1e-9:
            if stretches and abs(sum(stretches[-1]) - at_m) < 1e-12:
                stretches[-1] = (stretches[-1][0], stretches[-1][1] + length_m)
            else:
                stretches.append((at_m, length_m))
        at_m += step.length_m
    return stretches


def round_in_steps(job: Job, cavity: SteppedTube) -> list[Candidate]:
    """List the ways to arrange all cylinders of a job in a stepped tube. Not sorted."""
    cavity, reserves = without_reserved(cavity)
    candidates = []
    for across in layer_sizes(job.count):
        bore_m = bore_for(job, across)
        runs = [
            _Run(bottom, length, across, job.layers_in(length))
            for bottom, length in _stretches(job, cavity, bore_m)
        ]
        candidates.append(_stepped(job, cavity, runs, across))
    mixed = _mixed_runs(job, cavity)
    if len({run.across for run in mixed if run.layers}) > 1:
        candidates.append(_stepped(job, cavity, mixed, 0))
    return [replace(each, reserves=reserves) for each in candidates]


def without_reserved(cavity: SteppedTube) -> tuple[SteppedTube, tuple[PlacedReserve, ...]]:
    """Take what is reserved off the top of a stepped tube, the first brick topmost.

    Parameters
    ----------
    cavity : SteppedTube
        The tube.

    Returns
    -------
    tuple of SteppedTube and tuple of PlacedReserve
        What is left below, and where the bricks lie.

    Raises
    ------
    InputError
        If a brick does not go into the bore at the top, or nothing is left.
    """
    steps, placed = list(cavity.steps), []
    top_m = cavity.length_m
    for reserved in cavity.reserved:
        if not steps:
            break
        wide, deep, along = reserved_slice_m(reserved, bore_m=steps[-1].bore_m)
        steps, narrowest_m = _cut(steps, along)
        if math.hypot(wide, deep) > narrowest_m + 1e-9:
            msg = (
                f"the reserved room '{reserved.name}' does not go into the top of the stepped tube "
                f"in any way round: it is {math.hypot(wide, deep) * 1e3:.1f} mm across, the bore "
                f"there {narrowest_m * 1e3:.1f} mm; make it smaller or list the steps the other way"
            )
            raise InputError(msg)
        top_m -= along
        placed.append(
            PlacedReserve(
                name=reserved.name,
                low_m=(-wide / 2, -deep / 2, top_m),
                high_m=(wide / 2, deep / 2, top_m + along),
            )
        )
    if not steps:
        msg = "the reserved room leaves nothing of the stepped tube; make the tube longer"
        raise InputError(msg)
    return replace(cavity, steps=tuple(steps), reserved=()), tuple(placed)


def _cut(steps: list[TubeStep], along_m: float) -> tuple[list[TubeStep], float]:
    """Take a length off the top of steps; the narrowest bore of what was taken comes with it."""
    steps, narrowest_m = list(steps), math.inf
    while steps and along_m > 1e-9:
        top = steps.pop()
        narrowest_m = min(narrowest_m, top.bore_m)
        left_m = top.length_m - along_m
        along_m -= top.length_m
        if left_m >= SMALLEST_M:
            steps.append(replace(top, length_m=left_m))
    return steps, narrowest_m


def _mixed_runs(job: Job, cavity: SteppedTube) -> list[_Run]:
    """Fill every step of a stepped tube with as many as its own bore takes."""
    runs, at_m = [], 0.0
    for number, step in enumerate(cavity.steps):
        is_last = number == len(cavity.steps) - 1
        length_m = step.length_m - (job.allowances.lead_m if is_last else 0.0)
        across = most_across(job, step.bore_m)
        layers = job.layers_in(length_m) if across else 0
        runs.append(_Run(at_m, length_m, max(across, 1), layers))
        at_m += step.length_m
    return runs


def _stepped(job: Job, cavity: SteppedTube, runs: list[_Run], across: int) -> Candidate:
    there = sum(run.across * run.layers for run in runs)
    step_m = job.body.length_m + job.allowances.joint_m
    per_layer = across or max(run.across for run in runs)
    lacking_m = math.ceil(max(job.count - there, 0) / per_layer) * step_m
    bore_m = bore_for(job, across) if across else 0.0
    length_left_m = min(
        (run.length_m - job.stack_m(run.layers) for run in runs if run.layers), default=0.0
    )
    missing, relative = shortfalls(
        bore=(bore_m, cavity.bore_m), length=(cavity.length_m + lacking_m, cavity.length_m)
    )
    layers = math.ceil(job.count / per_layer)
    kind, name = layer_name(across, layers, job.count) if across else ("mixed", "")
    name = name or "each step filled for its own bore"
    placed_runs = runs or [_Run(0.0, cavity.length_m, per_layer, layers)]
    return Candidate(
        kind=kind,
        name=name,
        shortfall_m=missing,
        relative_shortfall=relative,
        length_left_m=-lacking_m if lacking_m else length_left_m,
        place=partial(_runs_placed, job, placed_runs, job.count),
        layers=0,
        bulk_m2=bore_m**2,
    )


def _runs_placed(job: Job, runs: list[_Run], count: int) -> Placed:
    parts = [
        standing(circle_positions(run.across) * (job.pitch_m / 2), job, run.bottom_m, run.layers)
        for run in runs
        if run.layers
    ]
    there = sum(len(part) for part in parts)
    if there < count:
        last = runs[-1]
        points = circle_positions(last.across) * (job.pitch_m / 2)
        more = math.ceil((count - there) / last.across) + last.layers
        stack = standing(points, job, last.bottom_m, more)
        parts.append(stack[last.layers * last.across :])
    centres = np.concatenate(parts) if parts else np.zeros((0, 3))
    return Placed.alike(centres[:count], axis=2, normal=0)


def most_round_in_steps(job: Job, cavity: SteppedTube) -> tuple[int, Placed]:
    """Count the most cylinders that go into a stepped tube.

    Parameters
    ----------
    job : Job
        Cell and allowances; its own number does not matter.
    cavity : SteppedTube
        The tube.

    Returns
    -------
    tuple of int and Placed
        How many, and where.
    """
    cavity, _reserves = without_reserved(cavity)
    options = [_mixed_runs(job, cavity)]
    for across in range(1, most_across(job, cavity.bore_m) + 1):
        stretches = _stretches(job, cavity, bore_for(job, across))
        options.append([_Run(low, room, across, job.layers_in(room)) for low, room in stretches])
    counts = [sum(run.across * run.layers for run in runs) for runs in options]
    best = options[int(np.argmax(counts))]
    return max(counts), _runs_placed(job, best, max(counts))


def plain_stretches(cavity: SteppedTube) -> list[Tube]:
    """Describe each stretch of a stepped tube by a plain tube with its bore, from z = 0.

    Parameters
    ----------
    cavity : SteppedTube
        The tube.

    Returns
    -------
    list of Tube
        One per bore, each the longest stretch at least that wide.
    """
    cavity, _reserves = without_reserved(cavity)
    tubes = []
    for bore_m in sorted({step.bore_m for step in cavity.steps}):
        at_m, stretches = 0.0, [(0.0, 0.0)]
        for step in cavity.steps:
            if step.bore_m >= bore_m:
                begins_m, so_far_m = stretches[-1]
                stretches[-1] = (begins_m, so_far_m + step.length_m)
            else:
                stretches.append((at_m + step.length_m, 0.0))
            at_m += step.length_m
        low_m, length_m = max(stretches, key=lambda stretch: stretch[1])
        tubes.append(Tube(bore_m=bore_m, length_m=low_m + length_m, bottom_stop_m=low_m))
    return tubes
