"""The questions a builder asks of a cavity: how can they lie, how many go in, what admits one more.

Every other module of this folder serves these three.
"""

from __future__ import annotations

from packdesign.data.cells import Cell
from packdesign.engineering.geometry.allowances import Allowances
from packdesign.engineering.geometry.arrangement import Arrangement
from packdesign.engineering.geometry.assemble import assembled
from packdesign.engineering.geometry.box_layouts import most_round_in_box, round_in_box
from packdesign.engineering.geometry.box_room import BoxRoom, box_rooms
from packdesign.engineering.geometry.cavities import (
    Box,
    Cavity,
    MeshCavity,
    OpenCavity,
    SteppedTube,
    Tube,
)
from packdesign.engineering.geometry.flat_in_box import flat_in_box, most_flat_in_box
from packdesign.engineering.geometry.flat_in_tube import flat_in_tube, most_flat_in_tube
from packdesign.engineering.geometry.layout import Candidate, Job, Placed, job_of, tightest
from packdesign.engineering.geometry.mesh_layouts import in_mesh, most_in_mesh
from packdesign.engineering.geometry.open_layouts import in_free_air
from packdesign.engineering.geometry.stepped_layouts import (
    most_round_in_steps,
    plain_stretches,
    round_in_steps,
)
from packdesign.engineering.geometry.tube_layouts import most_round_in_tube, round_in_tube
from packdesign.foundation.errors import InputError, OutOfRangeError

__all__ = ["arrangements", "most_cells"]

MOST_ASKED = 1000
"""More cells than this is no small device. Chosen here."""


def arrangements(
    cell: Cell, cavity: Cavity, *, series: int, parallel: int, allowances: Allowances
) -> list[Arrangement]:
    """Find the ways in which a pack goes into a cavity, and the nearest in which it does not.

    Parameters
    ----------
    cell : Cell
        The cell.
    cavity : Cavity
        What it must go into.
    series, parallel : int
        Groups in series, and cells in each group. [-]
    allowances : Allowances
        Room for wraps, strips, gaps and growth.

    Returns
    -------
    list of Arrangement
        Those that fit, shortest strips first, then the one that misses by least, with what it
        misses. Never empty.

    Raises
    ------
    OutOfRangeError
        If ``series`` or ``parallel`` is below 1, or there are more than 1000 cells.
    InputError
        If the size of the cell is not known, or the bore is below one wrapped cell.

    Notes
    -----
    In a tube: every number of layers across the bore by circle packing, and rows lying crosswise.
    In a box: every direction, straight and staggered rows, layers, and two directions mixed.
    A layout fits only if it also measures clear of everything by the gap when finished.
    """
    job = _checked_job(cell, allowances, series=series, parallel=parallel)
    candidates = _candidates(job, cavity)
    made = [assembled(job, cavity, each) for each in candidates if each.fits]
    fitting = sorted((each for each in made if each.fits), key=_best_first)
    tight = [each for each in made if not each.fits]
    missing = [each for each in candidates if not each.fits]
    nearest = [assembled(job, cavity, min(missing, key=tightest))] if missing else tight[:1]
    return fitting + nearest


def _best_first(arrangement: Arrangement) -> tuple[float, float]:
    strips_m = sum(arrangement.series_strip_m) + arrangement.parallel_strip_m
    return round(strips_m, 6), -arrangement.length_left_m


def _checked_job(cell: Cell, allowances: Allowances, *, series: int, parallel: int) -> Job:
    if series < 1 or parallel < 1 or series * parallel > MOST_ASKED:
        msg = (
            f"{series} in series and {parallel} in parallel: each must be at least 1 "
            f"and both together at most {MOST_ASKED} cells"
        )
        raise OutOfRangeError(msg)
    return job_of(cell, allowances, series=series, parallel=parallel)


def _candidates(job: Job, cavity: Cavity) -> list[Candidate]:
    match cavity:
        case Tube():
            return flat_in_tube(job, cavity) if job.body.is_flat else round_in_tube(job, cavity)
        case SteppedTube():
            if not job.body.is_flat:
                return round_in_steps(job, cavity)
            return [each for tube in plain_stretches(cavity) for each in flat_in_tube(job, tube)]
        case Box():
            return _in_box(job, cavity)
        case OpenCavity():
            return in_free_air(job)
        case MeshCavity():
            return in_mesh(job, cavity)


def _in_box(job: Job, box: Box) -> list[Candidate]:
    search = flat_in_box if job.body.is_flat else round_in_box
    best: dict[str, Candidate] = {}
    for room in _rooms(job, box):
        for tried in search(job, room):
            if tried.name not in best or tightest(tried) < tightest(best[tried.name]):
                best[tried.name] = tried
    return list(best.values())


def _rooms(job: Job, box: Box) -> list[BoxRoom]:
    rooms = box_rooms(job, box)
    if not rooms:
        names = ", ".join(reserved.name for reserved in box.reserved)
        msg = f"the reserved room ({names}) does not go into the box in any way round"
        raise InputError(msg)
    return rooms


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
    A larger cavity never holds fewer: tight packings by number, both lattices, one cut of a box.
    """
    if isinstance(cavity, OpenCavity):
        msg = "free air holds any number of cells; give a tube, a box or a mesh"
        raise InputError(msg)
    count, placed = _most(job_of(cell, allowances, series=1, parallel=1), cavity)
    if not count:
        return 0, None
    job = job_of(cell, allowances, series=count, parallel=1)
    candidate = Candidate(
        kind="fullest",
        name=f"the most that go in: {count}",
        shortfall_m={},
        length_left_m=0.0,
        place=lambda: placed,
        layers=0,
    )
    return count, assembled(job, cavity, candidate)


def _most(job: Job, cavity: Tube | SteppedTube | Box | MeshCavity) -> tuple[int, Placed]:
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
            return max((fill(job, room) for room in _rooms(job, cavity)), key=lambda most: most[0])
        case MeshCavity():
            return most_in_mesh(job, cavity)
