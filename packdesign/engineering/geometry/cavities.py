"""The hollow a pack must go into, as frozen records that are checked when they are made.

Frame of a tube: z runs along the bore from the bottom (z = 0) to the top, x and y across it from
its middle. Frame of a box: x along its length, y along its width, z along its height, all from
one corner. What the wall is made of and its thickness belong to the caller: here is only the free
inside.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np
from numpy.typing import NDArray

from packdesign.foundation.errors import OutOfRangeError

if TYPE_CHECKING:
    from collections.abc import Sequence

__all__ = [
    "LARGEST_M",
    "SMALLEST_M",
    "Box",
    "Cavity",
    "Channel",
    "MeshCavity",
    "OpenCavity",
    "Place",
    "Reserved",
    "Rib",
    "SteppedTube",
    "Tube",
    "TubeStep",
    "TubeStop",
]

SMALLEST_M: Final = 0.003
"""Nothing of any trade size goes in below this: the unit was wrong. Chosen here. [m]"""
LARGEST_M: Final = 2.0
"""No cavity of a small device is above this: the unit was wrong. Chosen here. [m]"""


def _checked_size(what: str, value_m: float) -> None:
    if not math.isfinite(value_m) or value_m <= 0:
        msg = f"{what} is {value_m * 1e3:g} mm; it must be above 0"
        raise OutOfRangeError(msg)
    if value_m < SMALLEST_M:
        msg = (
            f"{what} is {value_m * 1e3:.3g} mm; a cavity starts at {SMALLEST_M * 1e3:g} mm. "
            f"Were inches meant? Write it with its unit, such as '{value_m * 1e3:.3g} in'"
        )
        raise OutOfRangeError(msg)
    if value_m > LARGEST_M:
        msg = (
            f"{what} is {value_m:.4g} m; a cavity ends at {LARGEST_M:g} m. "
            f"Were millimetres meant? Write it with its unit, such as '{value_m:.4g} mm'"
        )
        raise OutOfRangeError(msg)


def _checked_part(what: str, value_m: float, *, below_m: float) -> None:
    if not math.isfinite(value_m) or not 0 <= value_m < below_m:
        msg = f"{what} is {value_m * 1e3:g} mm; it must be from 0 to under {below_m * 1e3:g} mm"
        raise OutOfRangeError(msg)


Place = Literal["open_end", "closed_end", "side", "top", "bottom"]
"""Where reserved room must be. Wires leave a tube and a box at the open end: the top of the one,
the far end of the length of the other."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reserved:
    """A brick of room kept for something that is no cell: board, switch, charger, connector."""

    name: str
    size_m: tuple[float, float, float]
    """Its three edges. Without a place in any order: it may be turned. With one, along length,
    width and height of a box; turned only where it does not go in so. [m]"""
    place: Place | None = None
    """Wall that it must touch; None: wherever it takes least. In a tube only the ends count."""

    def __post_init__(self) -> None:
        if len(self.size_m) != 3 or not all(math.isfinite(x) and x > 0 for x in self.size_m):
            msg = f"reserved room '{self.name}' needs three edges above 0; got {self.size_m} m"
            raise OutOfRangeError(msg)

    @property
    def volume_m3(self) -> float:
        """Room it takes. [m3]"""
        return math.prod(self.size_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rib:
    """A rib along the whole wall of a tube, standing inward."""

    angle_rad: float
    """Where it stands, from the x axis. [rad]"""
    height_m: float
    width_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Channel:
    """Room along the wall of a tube, at +y, kept free for wires."""

    width_m: float
    depth_m: float
    """How far it reaches inward from the wall. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class TubeStop:
    """A length of a tube that something takes over its whole bore."""

    name: str
    length_m: float


def _checked_tube_parts(tube: Tube) -> None:
    for end, named, stop_m in (
        ("top", tube.top_parts, tube.top_stop_m),
        ("bottom", tube.bottom_parts, tube.bottom_stop_m),
    ):
        named_m = sum(part.length_m for part in named)
        if named_m > stop_m + 1e-9:
            msg = (
                f"the named parts of the {end} stop take {named_m * 1e3:g} mm, more than "
                f"{end}_stop_m, {stop_m * 1e3:g} mm; make {end}_stop_m at least their sum"
            )
            raise OutOfRangeError(msg)
    _checked_part("flat_depth_m", tube.flat_depth_m, below_m=tube.bore_m / 2)
    parts = [("rib", rib.height_m, rib.width_m) for rib in tube.ribs]
    if tube.channel is not None:
        parts.append(("channel", tube.channel.depth_m, tube.channel.width_m))
    for name, inward_m, across_m in parts:
        _checked_part(f"{name}, inward from the wall,", inward_m, below_m=tube.bore_m / 2)
        _checked_part(f"{name} width", across_m, below_m=tube.bore_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tube:
    """A round tube, with what stands in it."""

    bore_m: float
    """Inside diameter. [m]"""
    length_m: float
    """Inside length, end stops included. [m]"""
    bottom_stop_m: float = 0.0
    """Length lost to the stop at z = 0. [m]"""
    bottom_parts: tuple[TubeStop, ...] = ()
    """What makes up the stop at z = 0, towards the cells; the rest, below it, is plain stop."""
    top_stop_m: float = 0.0
    """Length lost to the stop at the other end. [m]"""
    top_parts: tuple[TubeStop, ...] = ()
    """What makes up the stop at the other end, from the cells outward; the rest is plain stop."""
    flat_depth_m: float = 0.0
    """How much of the bore a flat along the wall takes, at -y. [m]"""
    channel: Channel | None = None
    ribs: tuple[Rib, ...] = ()
    reserved: tuple[Reserved, ...] = ()
    is_sealed: bool = False
    """No way out for gas: a stop for any cell that may vent."""
    is_rigid: bool = True
    """Whether the wall holds against a swelling pouch."""

    def __post_init__(self) -> None:
        _checked_size("bore_m", self.bore_m)
        _checked_size("length_m", self.length_m)
        _checked_part("bottom_stop_m", self.bottom_stop_m, below_m=self.length_m)
        _checked_part("top_stop_m", self.top_stop_m, below_m=self.length_m - self.bottom_stop_m)
        _checked_tube_parts(self)

    @property
    def is_plain(self) -> bool:
        """Whether the bore is a full circle: no flat, channel or rib."""
        return not self.flat_depth_m and self.channel is None and not self.ribs

    @property
    def volume_m3(self) -> float:
        """Free inside, stops taken off; ribs, flat and channel are not. [m3]"""
        free_m = self.length_m - self.bottom_stop_m - self.top_stop_m
        return math.pi / 4 * self.bore_m**2 * free_m


@dataclass(frozen=True, slots=True, kw_only=True)
class TubeStep:
    """One piece of a stepped tube."""

    bore_m: float
    length_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SteppedTube:
    """A tube whose bore changes, all pieces on one axis, from z = 0 upward."""

    steps: tuple[TubeStep, ...]
    reserved: tuple[Reserved, ...] = ()
    is_sealed: bool = False
    is_rigid: bool = True

    def __post_init__(self) -> None:
        if not self.steps:
            msg = "a stepped tube needs at least one step with a bore and a length"
            raise OutOfRangeError(msg)
        for number, step in enumerate(self.steps, start=1):
            _checked_size(f"bore_m of step {number}", step.bore_m)
            _checked_size(f"length_m of step {number}", step.length_m)

    @property
    def length_m(self) -> float:
        """Length of all steps together. [m]"""
        return sum(step.length_m for step in self.steps)

    @property
    def bore_m(self) -> float:
        """Widest bore. [m]"""
        return max(step.bore_m for step in self.steps)

    @property
    def volume_m3(self) -> float:
        """Free inside. [m3]"""
        return sum(math.pi / 4 * step.bore_m**2 * step.length_m for step in self.steps)


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A box with square corners."""

    length_m: float
    width_m: float
    height_m: float
    reserved: tuple[Reserved, ...] = ()
    is_sealed: bool = False
    is_rigid: bool = True

    def __post_init__(self) -> None:
        for name in ("length_m", "width_m", "height_m"):
            _checked_size(name, getattr(self, name))

    @property
    def size_m(self) -> tuple[float, float, float]:
        """Length, width and height. [m]"""
        return self.length_m, self.width_m, self.height_m

    @property
    def volume_m3(self) -> float:
        """Free inside. [m3]"""
        return math.prod(self.size_m)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MeshCavity:
    """The free inside as a closed surface of triangles, facing outward.

    Made by :func:`packdesign.engineering.geometry.mesh_file.load_mesh_cavity`, which also checks
    that the surface is closed.
    """

    vertices_m: NDArray[np.float64]
    """Corners, shape (n, 3). [m]"""
    faces: NDArray[np.int64]
    """Corner numbers of each triangle, shape (m, 3). [-]"""
    volume_m3: float
    """Volume inside. [m3]"""
    name: str = "mesh"
    is_sealed: bool = False
    is_rigid: bool = True

    def __post_init__(self) -> None:
        if self.vertices_m.ndim != 2 or self.vertices_m.shape[1] != 3 or len(self.faces) < 4:
            msg = f"{self.name}: a closed surface needs corners in 3D and at least 4 triangles"
            raise OutOfRangeError(msg)
        if not math.isfinite(self.volume_m3) or self.volume_m3 <= 0:
            msg = f"{self.name}: the inside has a volume of {self.volume_m3} m3; it must be above 0"
            raise OutOfRangeError(msg)

    @property
    def low_m(self) -> NDArray[np.float64]:
        """Lowest x, y and z. [m]"""
        lowest: NDArray[np.float64] = self.vertices_m.min(axis=0)
        return lowest

    @property
    def size_m(self) -> tuple[float, float, float]:
        """Edges of the box around it. [m]"""
        size: Sequence[float] = np.ptp(self.vertices_m, axis=0).tolist()
        return size[0], size[1], size[2]


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenCavity:
    """Free air: nothing around the pack."""

    is_sealed: bool = False
    is_rigid: bool = False

    @property
    def volume_m3(self) -> float | None:
        """Free air has no volume of its own."""
        return None


Cavity = Tube | SteppedTube | Box | MeshCavity | OpenCavity
