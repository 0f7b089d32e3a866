"""How many cells go into a cavity at most, and how much more room would admit one more."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Final

from packdesign.data.cells import Cell
from packdesign.engineering.geometry.allowances import Allowances
from packdesign.engineering.geometry.arrangement import Arrangement
from packdesign.engineering.geometry.assemble import assembled
from packdesign.engineering.geometry.box_layouts import most_round_in_box
from packdesign.engineering.geometry.box_room import checked_rooms
from packdesign.engineering.geometry.cavities import (
    LARGEST_M,
    Box,
    Cavity,
    MeshCavity,
    OpenCavity,
    SteppedTube,
    Tube,
)
from packdesign.engineering.geometry.flat_in_box import most_flat_in_box
from packdesign.engineering.geometry.flat_in_tube import most_flat_in_tube
from packdesign.engineering.geometry.layout import Candidate, Job, Placed, job_of
from packdesign.engineering.geometry.mesh_layouts import most_in_mesh
from packdesign.engineering.geometry.stepped_layouts import most_round_in_steps, plain_stretches
from packdesign.engineering.geometry.tube_layouts import most_round_in_tube
from packdesign.foundation.errors import InputError

__all__ = ["OneMore", "most_cells", "room_for_one_more"]

_FINE_M: Final = 1e-5
"""To what the missing room is found. [m]"""


def most_cells(
    cell: Cell, cavity: Cavity, allowances: Allowances
) -> tuple[int, Arrangement | None]:
    """Count the most cells that go into a cavity.

    Parameters
    ----------
    cell : Cell
        The cell.
    cavity : Cavity
        What they must go into; not free air.
    allowances : Allowances
        Room for wraps, strips, gaps and growth.

    Returns
    -------
    tuple of int and Arrangement or None
        How many, all in series, and how they lie; ``None`` with 0.

    Raises
    ------
    InputError
        If the cavity is free air, which has no end.

    Notes
    -----
    The most that these searches find: circle packings across a bore, both lattices, one cut of a
    box. In a tube or box without obstacles a larger one never holds fewer.
    """
    if isinstance(cavity, OpenCavity):
        msg = "free air holds any number of cells; give a tube, a box or a mesh"
        raise InputError(msg)
    count, placed = _fullest(job_of(cell, allowances, series=1, parallel=1), cavity)
    if not count:
        return 0, None
    job = job_of(cell, allowances, series=count, parallel=1)
    candidate = Candidate(
        kind="fullest",
        name=f"the most that go in: {count}",
        shortfall_m={},
        length_left_m=math.nan,
        place=lambda: placed,
        layers=0,
    )
    return count, assembled(job, cavity, candidate)


def _fullest(job: Job, cavity: Cavity) -> tuple[int, Placed]:
    match cavity:
        case Tube():
            search = most_flat_in_tube if job.body.is_flat else most_round_in_tube
            return search(job, cavity)
        case SteppedTube():
            if not job.body.is_flat:
                return most_round_in_steps(job, cavity)
            tubes = plain_stretches(cavity)
            return max((most_flat_in_tube(job, tube) for tube in tubes), key=lambda most: most[0])
        case Box():
            fill = most_flat_in_box if job.body.is_flat else most_round_in_box
            rooms = checked_rooms(job, cavity)
            return max((fill(job, room) for room in rooms), key=lambda most: most[0])
        case MeshCavity():
            return most_in_mesh(job, cavity)
        case OpenCavity():
            msg = "free air holds any number of cells"
            raise InputError(msg)


@dataclass(frozen=True, slots=True, kw_only=True)
class OneMore:
    """How much more room would admit more cells than go in now."""

    count: int
    """How many go in now. [-]"""
    more_m: Mapping[str, float]
    """By how much each size alone must grow ("bore", "length", "width", "height", "bore of step
    1" ...) for at least one more; a size that does not help alone is left out. [m]"""


def room_for_one_more(cell: Cell, cavity: Cavity, allowances: Allowances) -> OneMore:
    """Find how much more bore, length, width or height would admit one more cell.

    Parameters
    ----------
    cell : Cell
        The cell.
    cavity : Cavity
        A tube, a stepped tube or a box.
    allowances : Allowances
        Room for wraps, strips, gaps and growth.

    Returns
    -------
    OneMore
        To a hundredth of a millimetre, rounded up; nothing to say for a mesh. [m]

    Raises
    ------
    InputError
        If the cavity is free air.

    Notes
    -----
    By halving: more room never holds fewer. Each size is grown alone, by at most one cell length
    and two widths.
    """
    if isinstance(cavity, OpenCavity):
        msg = "free air admits one more always; give a tube or a box"
        raise InputError(msg)
    job = job_of(cell, allowances, series=1, parallel=1)
    count = _fullest(job, cavity)[0]
    body = job.body
    most_m = 2 * max(body.length_m, body.across_m) + body.across_m + 6 * job.side_m
    more = {}
    for name, grown in _growths(cavity).items():
        found = _least_growth(job, count, grown, most_m=most_m)
        if found is not None:
            more[name] = found
    return OneMore(count=count, more_m=more)


Growth = Callable[[float], Cavity]


def _growths(cavity: Cavity) -> dict[str, Growth]:
    match cavity:
        case Tube():
            return {
                name: _grown(cavity, f"{name}_m", getattr(cavity, f"{name}_m"))
                for name in ("bore", "length")
            }
        case Box():
            return {
                name: _grown(cavity, f"{name}_m", getattr(cavity, f"{name}_m"))
                for name in ("length", "width", "height")
            }
        case SteppedTube():
            return {
                f"{name} of step {number + 1}": _grown_step(cavity, number, f"{name}_m")
                for number in range(len(cavity.steps))
                for name in ("bore", "length")
            }
        case _:
            return {}


def _grown(cavity: Tube | Box, field: str, size_m: float) -> Growth:
    return lambda more_m: replace(cavity, **{field: min(size_m + more_m, LARGEST_M)})  # type: ignore[arg-type]


def _grown_step(cavity: SteppedTube, number: int, field: str) -> Growth:
    def grown(more_m: float) -> Cavity:
        step = cavity.steps[number]
        larger = replace(step, **{field: min(getattr(step, field) + more_m, LARGEST_M)})
        return replace(cavity, steps=(*cavity.steps[:number], larger, *cavity.steps[number + 1 :]))

    return grown


def _least_growth(job: Job, count: int, grown: Growth, *, most_m: float) -> float | None:
    if _fullest(job, grown(most_m))[0] <= count:
        return None
    low_m, high_m = 0.0, most_m
    while high_m - low_m > _FINE_M:
        middle_m = (low_m + high_m) / 2
        if _fullest(job, grown(middle_m))[0] > count:
            high_m = middle_m
        else:
            low_m = middle_m
    return high_m
