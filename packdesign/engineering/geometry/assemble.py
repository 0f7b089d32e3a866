"""From a candidate to a full arrangement: polarity, strips, taps, clearances, mass, envelope."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.geometry.allowances import TolerancePart, ToleranceStack
from packdesign.engineering.geometry.arrangement import (
    Arrangement,
    CellPlacement,
    Point,
    SeriesLink,
)
from packdesign.engineering.geometry.cavities import Box, Cavity, MeshCavity, SteppedTube, Tube
from packdesign.engineering.geometry.clearance import between_cells, half_extents, wall_clearance
from packdesign.engineering.geometry.layout import Candidate, Job, Placed
from packdesign.engineering.geometry.series_path import SeriesPath, series_path

__all__ = ["NICKEL_DENSITY_KG_PER_M3", "assembled"]

FloatArray = NDArray[np.float64]

NICKEL_DENSITY_KG_PER_M3 = 8908.0
"""Density of nickel at room temperature; handbook value, from memory. [kg/m3]"""


def assembled(job: Job, cavity: Cavity, candidate: Candidate) -> Arrangement:
    """Lay out a candidate in full.

    Parameters
    ----------
    job : Job
        Cell, number and allowances.
    cavity : Cavity
        What it is in.
    candidate : Candidate
        Where the cells go.

    Returns
    -------
    Arrangement
        It is called a fit only where the clearance measured on the finished layout is at least the
        stated gap as well.
    """
    placed = candidate.place()
    low, high = _envelope(job, placed)
    exit_m = _exit(cavity, low, high)
    path = series_path(job, placed, exit_m=exit_m)
    between_m = between_cells(job, placed)
    wall_m = wall_clearance(job, placed, cavity, reserves=candidate.reserves)
    allowed = job.allowances
    is_clear = min(between_m - allowed.gap_m, wall_m - allowed.wall_gap_m) >= -1e-9
    fits = candidate.fits and is_clear
    taps = _taps(path)
    litres = None if cavity.volume_m3 is None else cavity.volume_m3 * 1e3
    energy_wh = job.count * job.cell.capacity_ah * job.cell.nominal_v
    mass_kg = job.cell.mass_kg
    return Arrangement(
        name=candidate.name,
        kind=candidate.kind,
        cell=job.cell,
        body=job.body,
        allowances=job.allowances,
        series=job.series,
        parallel=job.parallel,
        placements=_placements(job, placed, path),
        links=_links(path),
        parallel_strip_m=path.parallel_m,
        tap_points_m=taps,
        tap_lead_m=tuple(math.dist(tap, exit_m) for tap in taps),
        exit_point_m=_point(exit_m),
        between_cells_m=between_m,
        wall_clearance_m=wall_m,
        envelope_low_m=_point(low),
        envelope_size_m=_point(high - low),
        length_left_m=_left(job, candidate, wall_m),
        cell_mass_kg=None if mass_kg is None else mass_kg * job.count,
        strip_mass_kg=_strip_mass(job, path),
        centre_of_mass_m=_point(placed.centres_m.mean(axis=0)),
        energy_wh_per_l=None if litres is None else energy_wh / litres,
        fits=fits,
        shortfall_m=dict(candidate.shortfall_m),
        reasons=_reasons(job, candidate, between_m, wall_m, fits=fits),
        reserves=candidate.reserves,
        length_stack=_length_stack(job, candidate),
        free_thickness_fraction=candidate.free_thickness_fraction,
    )


def _left(job: Job, candidate: Candidate, wall_m: float) -> float:
    left_m = candidate.length_left_m
    return wall_m - job.allowances.wall_gap_m if math.isnan(left_m) else left_m


def _point(values: FloatArray) -> Point:
    x, y, z = values.tolist()
    return x, y, z


def _points(values: FloatArray) -> list[Point]:
    return [(x, y, z) for x, y, z in values.tolist()]


def _envelope(job: Job, placed: Placed) -> tuple[FloatArray, FloatArray]:
    reach = half_extents(job, placed, with_faces=True) + job.allowances.pack_wrap_m
    low: FloatArray = (placed.centres_m - reach).min(axis=0)
    high: FloatArray = (placed.centres_m + reach).max(axis=0)
    return low, high


def _exit(cavity: Cavity, low: FloatArray, high: FloatArray) -> FloatArray:
    """Wires leave at the top of a tube, at the far end of the length of anything else."""
    middle = (low + high) / 2
    if isinstance(cavity, Tube | SteppedTube):
        side_m = cavity.bore_m / 2 if isinstance(cavity, Tube) and cavity.channel else 0.0
        return np.array([0.0, side_m, max(cavity.length_m, float(high[2]))])
    if isinstance(cavity, Box):
        return np.array([max(cavity.length_m, float(high[0])), middle[1], middle[2]])
    if isinstance(cavity, MeshCavity):
        return np.array([float(cavity.low_m[0] + cavity.size_m[0]), middle[1], middle[2]])
    return np.array([high[0], middle[1], middle[2]])


def _placements(job: Job, placed: Placed, path: SeriesPath) -> tuple[CellPlacement, ...]:
    centres = placed.centres_m[path.order]
    normals = _points(placed.normals[path.order])
    if job.body.is_flat:
        axes = placed.axes[path.order]
    else:
        axes = np.round((path.positive_m - path.negative_m) / job.body.length_m, 9) + 0.0
    rows = zip(
        _points(centres),
        _points(axes),
        normals,
        _points(path.positive_m),
        _points(path.negative_m),
        strict=True,
    )
    return tuple(
        CellPlacement(
            centre_m=centre,
            axis=axis,
            normal=normal,
            positive_m=plus,
            negative_m=minus,
            group=number // job.parallel,
        )
        for number, (centre, axis, normal, plus, minus) in enumerate(rows)
    )


def _links(path: SeriesPath) -> tuple[SeriesLink, ...]:
    rows = zip(
        _points(path.link_start_m), _points(path.link_end_m), path.link_m.tolist(), strict=True
    )
    return tuple(
        SeriesLink(from_group=number, start_m=start, end_m=end, length_m=length)
        for number, (start, end, length) in enumerate(rows)
    )


def _taps(path: SeriesPath) -> tuple[Point, ...]:
    between = _points((path.link_start_m + path.link_end_m) / 2)
    return (_point(path.negative_m[0]), *between, _point(path.positive_m[-1]))


def _strip_mass(job: Job, path: SeriesPath) -> float:
    area_m2 = job.allowances.strip_width_m * job.allowances.strip_thickness_m
    return (float(path.link_m.sum()) + path.parallel_m) * area_m2 * NICKEL_DENSITY_KG_PER_M3


def _reasons(
    job: Job, candidate: Candidate, between_m: float, wall_m: float, *, fits: bool
) -> tuple[str, ...]:
    reasons = [
        f"{amount * 1e3:.1f} mm of {name} is missing"
        for name, amount in candidate.shortfall_m.items()
    ]
    if not fits and not reasons:
        checked = (
            ("between cells", between_m, job.allowances.gap_m),
            ("to the wall", wall_m, job.allowances.wall_gap_m),
        )
        reasons += [
            f"least clearance {where} would be {least_m * 1e3:.2f} mm, "
            f"under the {asked_m * 1e3:.2f} mm asked for"
            for where, least_m, asked_m in checked
            if least_m < asked_m - 1e-9
        ]
    if job.body.note:
        reasons.append(job.body.note)
    return tuple(reasons)


def _length_stack(job: Job, candidate: Candidate) -> ToleranceStack | None:
    """Stack up a tube or a line of cylinders; the sheet's length is taken as its largest."""
    if job.body.is_flat or candidate.layers < 1:
        return None
    allowances, layers = job.allowances, candidate.layers
    tolerance_m = allowances.length_tolerance_m
    parts = (
        TolerancePart(
            name="cell",
            count=layers,
            nominal_m=job.body.length_m - tolerance_m,
            tolerance_m=tolerance_m,
        ),
        TolerancePart(
            name="joint", count=layers - 1, nominal_m=allowances.joint_m, tolerance_m=0.0
        ),
        TolerancePart(
            name="strip and insulator", count=2, nominal_m=allowances.face_m, tolerance_m=0.0
        ),
        TolerancePart(
            name="pack wrap and clearance", count=2, nominal_m=allowances.side_m, tolerance_m=0.0
        ),
        TolerancePart(name="leads", count=1, nominal_m=allowances.lead_m, tolerance_m=0.0),
    )
    return ToleranceStack(parts=tuple(part for part in parts if part.count))
