"""What a search for arrangements works on: the job, and candidates that are cheap until placed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from packdesign.data.cells import Cell
from packdesign.engineering.geometry.allowances import Allowances
from packdesign.engineering.geometry.arrangement import PlacedReserve
from packdesign.engineering.geometry.body import CellBody, body_of

__all__ = ["Candidate", "Job", "Placed", "flat_name", "job_of", "shortfalls", "tightest"]

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """One cell, how many of it, and what it is allowed."""

    cell: Cell
    body: CellBody
    allowances: Allowances
    series: int
    parallel: int

    @property
    def count(self) -> int:
        """Number of cells. [-]"""
        return self.series * self.parallel

    @property
    def pitch_m(self) -> float:
        """Diameter of a cylinder plus the gap. [m]"""
        return self.body.across_m + self.allowances.gap_m

    @property
    def side_m(self) -> float:
        """From the side of a cell to the wall. [m]"""
        return self.allowances.side_m

    def stack_m(self, layers: int) -> float:
        """Length of cylinders end to end, from wall to wall, without leads. [m]"""
        ends_m = 2 * (self.allowances.face_m + self.side_m)
        return layers * self.body.length_m + (layers - 1) * self.allowances.joint_m + ends_m

    def layers_in(self, room_m: float) -> int:
        """How many layers of standing cylinders go into a length from wall to wall. [-]"""
        step_m = self.body.length_m + self.allowances.joint_m
        return max(0, int((room_m - self.stack_m(0) + 1e-9) // step_m))


def job_of(cell: Cell, allowances: Allowances, *, series: int, parallel: int) -> Job:
    """Put a job together. See :class:`Job`."""
    body = body_of(cell, allowances)
    return Job(cell=cell, body=body, allowances=allowances, series=series, parallel=parallel)


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """Cells in place, before polarity: centres, axes and thickness directions, shape (n, 3)."""

    centres_m: FloatArray
    axes: FloatArray
    normals: FloatArray

    def first(self, count: int) -> Placed:
        """Only the first ``count`` cells. [-]"""
        return Placed(
            centres_m=self.centres_m[:count], axes=self.axes[:count], normals=self.normals[:count]
        )

    @classmethod
    def alike(cls, centres_m: FloatArray, *, axis: int, normal: int) -> Placed:
        """Place cells that all point along one axis of the frame. [-]"""
        count = len(centres_m)
        unit = np.eye(3)
        return cls(
            centres_m=centres_m,
            axes=np.broadcast_to(unit[axis], (count, 3)),
            normals=np.broadcast_to(unit[normal], (count, 3)),
        )

    @classmethod
    def joined(cls, parts: list[Placed]) -> Placed:
        """Put several lots of cells together."""
        if not parts:
            return cls(centres_m=np.zeros((0, 3)), axes=np.zeros((0, 3)), normals=np.zeros((0, 3)))
        return cls(
            centres_m=np.concatenate([part.centres_m for part in parts]),
            axes=np.concatenate([part.axes for part in parts]),
            normals=np.concatenate([part.normals for part in parts]),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A way to arrange cells whose needs are known, and which is placed only if it is wanted."""

    kind: str
    name: str
    shortfall_m: Mapping[str, float]
    """What is missing, by name; empty where it fits. [m]"""
    length_left_m: float
    """Not a number where only the finished layout tells it. [m]"""
    place: Callable[[], Placed]
    relative_shortfall: float = 0.0
    """What is missing as a fraction of what is there, largest first and all added. [-]"""
    bulk_m2: float = 0.0
    """Cross-section of the envelope, for choosing the more compact of two alike. [m2]"""
    free_thickness_fraction: float | None = None
    reserves: tuple[PlacedReserve, ...] = ()
    layers: int = 1

    @property
    def fits(self) -> bool:
        """Whether nothing is missing."""
        return not self.shortfall_m


def shortfalls(**needed_and_there: tuple[float, float]) -> tuple[dict[str, float], float]:
    """Compare what is needed with what is there, by name.

    Parameters
    ----------
    **needed_and_there : tuple of float
        Needed and available, by name. [m]

    Returns
    -------
    tuple of dict and float
        What is missing, by name, only where it is [m]; and all of it as fractions, added up. [-]
    """
    missing = {
        name: needed - there
        for name, (needed, there) in needed_and_there.items()
        if needed - there > 1e-9
    }
    relative = sum(
        amount / max(needed_and_there[name][1], 1e-3) for name, amount in missing.items()
    )
    return missing, relative


def tightest(candidate: Candidate) -> tuple[float, float, float]:
    """Sort key: what is missing least, then the most compact, then the most length left."""
    return candidate.relative_shortfall, candidate.bulk_m2, -candidate.length_left_m


def flat_name(numbers: dict[int, int], *, count: int) -> tuple[str, str]:
    """Kind and name of a brick of flat cells, by how many lie along each of their own edges.

    Parameters
    ----------
    numbers : dict of int to int
        How many along the thickness (0), the width (1) and the length (2). [-]
    count : int
        How many cells there are. [-]
    """
    stacked, beside = numbers[0], numbers[1] * numbers[2]
    if stacked == 1:
        shape = "in two directions" if min(numbers[1], numbers[2]) > 1 else "side by side"
        if numbers[2] > numbers[1]:
            shape = "one behind the other"
        return "flat", f"{count} laid flat {shape}" if count > 1 else "one flat cell"
    if beside == 1:
        return "stacked", f"{stacked} stacked face to face"
    full = "" if stacked * beside == count else "up to "
    return "stacked", f"{beside} stacks of {full}{stacked} face to face"
