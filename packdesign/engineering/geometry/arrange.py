"""The questions a builder asks of a cavity: how can they lie, how many go in, what admits one more.

Every other module of this folder serves these three.
"""

from __future__ import annotations

from packdesign.data.cells import Cell
from packdesign.engineering.geometry.allowances import Allowances
from packdesign.engineering.geometry.arrangement import Arrangement
from packdesign.engineering.geometry.assemble import assembled
from packdesign.engineering.geometry.box_layouts import round_in_box
from packdesign.engineering.geometry.box_room import checked_rooms
from packdesign.engineering.geometry.cavities import (
    Box,
    Cavity,
    MeshCavity,
    OpenCavity,
    SteppedTube,
    Tube,
)
from packdesign.engineering.geometry.fill import OneMore, most_cells, room_for_one_more
from packdesign.engineering.geometry.flat_in_box import flat_in_box
from packdesign.engineering.geometry.flat_in_tube import flat_in_tube
from packdesign.engineering.geometry.layout import Candidate, Job, job_of, tightest
from packdesign.engineering.geometry.mesh_layouts import in_mesh
from packdesign.engineering.geometry.open_layouts import in_free_air
from packdesign.engineering.geometry.stepped_layouts import plain_stretches, round_in_steps
from packdesign.engineering.geometry.tube_layouts import round_in_tube
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["OneMore", "arrangements", "most_cells", "room_for_one_more"]

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
        Those that fit, shortest strips first (in free air the most compact first), then the one
        that misses by least, with what it misses. Never empty.

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
    order = _compact_first if isinstance(cavity, OpenCavity) else _short_strips_first
    fitting = sorted((each for each in made if each.fits), key=order)
    tight = [each for each in made if not each.fits]
    missing = [each for each in candidates if not each.fits]
    nearest = [assembled(job, cavity, min(missing, key=tightest))] if missing else tight[:1]
    return fitting + nearest


def _compact_first(arrangement: Arrangement) -> tuple[float, float]:
    return round(sum(arrangement.envelope_size_m), 6), _short_strips_first(arrangement)[0]


def _short_strips_first(arrangement: Arrangement) -> tuple[float, float]:
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
    for room in checked_rooms(job, box):
        for tried in search(job, room):
            if tried.name not in best or tightest(tried) < tightest(best[tried.name]):
                best[tried.name] = tried
    return list(best.values())
