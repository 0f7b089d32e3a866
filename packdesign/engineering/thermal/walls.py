"""The wall of a cavity as the heat of the pack meets it: size, material, what it holds."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from packdesign.engineering.thermal.convection import Body, Shape
from packdesign.foundation.basis import Band, Basis
from packdesign.foundation.errors import OutOfRangeError, UnknownNameError

__all__ = ["WALL_MATERIALS", "CavityWall", "Section", "WallMaterial", "wall_material"]

_HANDBOOK: Final = "usual handbook figures, from memory"


@dataclass(frozen=True, slots=True, kw_only=True)
class WallMaterial:
    """A wall material as heat sees it."""

    name: str
    conductivity_w_per_m_k: Band
    j_per_m3_k: float
    """Heat capacity per volume. [J/(m3 K)]"""
    finish: str
    """Usual surface, one of the finishes of ``radiation``."""
    basis: Basis = Basis.ASSUMED
    source: str = _HANDBOOK


_MATERIALS = (
    WallMaterial(
        name="printed plastic",
        conductivity_w_per_m_k=Band(0.08, 0.16, 0.25),
        j_per_m3_k=1.6e6,
        finish="plastic",
        source="PLA, PETG and ABS, low end for walls with infill; from memory",
    ),
    WallMaterial(
        name="PVC",
        conductivity_w_per_m_k=Band(0.15, 0.17, 0.19),
        j_per_m3_k=1.3e6,
        finish="plastic",
    ),
    WallMaterial(
        name="polycarbonate",
        conductivity_w_per_m_k=Band(0.19, 0.20, 0.22),
        j_per_m3_k=1.45e6,
        finish="plastic",
    ),
    WallMaterial(
        name="nylon",
        conductivity_w_per_m_k=Band(0.23, 0.25, 0.30),
        j_per_m3_k=1.9e6,
        finish="plastic",
    ),
    WallMaterial(
        name="wood",
        conductivity_w_per_m_k=Band(0.10, 0.14, 0.19),
        j_per_m3_k=1.0e6,
        finish="lacquer, white",
    ),
    WallMaterial(
        name="carbon fibre",
        conductivity_w_per_m_k=Band(0.4, 0.7, 1.2),
        j_per_m3_k=1.5e6,
        finish="lacquer, white",
        source="across the fibres; from memory",
    ),
    WallMaterial(
        name="aluminium",
        conductivity_w_per_m_k=Band(130.0, 167.0, 210.0),
        j_per_m3_k=2.42e6,
        finish="aluminium, sheet",
        source="6061 in the middle, other alloys at the ends; from memory",
    ),
    WallMaterial(
        name="steel",
        conductivity_w_per_m_k=Band(40.0, 50.0, 60.0),
        j_per_m3_k=3.7e6,
        finish="steel, rolled",
    ),
    WallMaterial(
        name="stainless steel",
        conductivity_w_per_m_k=Band(14.0, 15.0, 17.0),
        j_per_m3_k=4.0e6,
        finish="steel, rolled",
    ),
)
WALL_MATERIALS: Final = {entry.name: entry for entry in _MATERIALS}


class Section(StrEnum):
    """Cross section of a cavity."""

    TUBE = "tube"
    BOX = "box"


@dataclass(frozen=True, slots=True, kw_only=True)
class CavityWall:
    """A closed wall around a pack; its length is that beside the cells."""

    section: Section
    inner_width_m: float
    """Inner diameter of a tube, inner width of a box. [m]"""
    inner_height_m: float | None = None
    """Inner height of a box, upright when the box lies as used. [m]"""
    length_m: float
    """Length of wall beside the cells. [m]"""
    thickness_m: float
    material: str = "printed plastic"
    finish: str | None = None
    """Outer finish where it is not the usual one of the material."""
    is_upright: bool = False
    """Whether the length of the cavity stands vertical."""
    beyond_m: float = 0.0
    """Bare wall of the same kind that runs on past the cells, both ends together. [m]"""

    def __post_init__(self) -> None:
        if self.section == Section.BOX and self.inner_height_m is None:
            msg = "a box needs inner_height_m; got None"
            raise OutOfRangeError(msg)
        sizes = (self.inner_width_m, self.inner_height_m or 1.0, self.length_m, self.thickness_m)
        if min(sizes) <= 0 or self.beyond_m < 0:
            msg = (
                "a wall needs width, height, length and thickness above 0 and beyond_m of 0 or "
                f"more; got {sizes} and {self.beyond_m}"
            )
            raise OutOfRangeError(msg)

    @property
    def inner_area_m2(self) -> float:
        """Open cross section. [m2]"""
        if self.section == Section.TUBE:
            return math.pi / 4 * self.inner_width_m**2
        return self.inner_width_m * (self.inner_height_m or 0.0)

    @property
    def inner_perimeter_m(self) -> float:
        """Around the inside. [m]"""
        if self.section == Section.TUBE:
            return math.pi * self.inner_width_m
        return 2 * (self.inner_width_m + (self.inner_height_m or 0.0))

    @property
    def outer_perimeter_m(self) -> float:
        """Around the outside. [m]"""
        if self.section == Section.TUBE:
            return math.pi * (self.inner_width_m + 2 * self.thickness_m)
        return self.inner_perimeter_m + 8 * self.thickness_m

    @property
    def metal_area_m2(self) -> float:
        """Cross section of the wall itself. [m2]"""
        return self.thickness_m * (self.inner_perimeter_m + self.outer_perimeter_m) / 2

    @property
    def through_w_per_k(self) -> float:
        """Conductance through the wall beside the cells. [W/K]"""
        conductivity = wall_material(self.material).conductivity_w_per_m_k.mid
        if self.section == Section.TUBE:
            ratio = 1 + 2 * self.thickness_m / self.inner_width_m
            return 2 * math.pi * conductivity * self.length_m / math.log(ratio)
        mean = (self.inner_perimeter_m + self.outer_perimeter_m) / 2
        return conductivity * mean * self.length_m / self.thickness_m

    @property
    def heat_j_per_k(self) -> float:
        """Heat capacity of the wall beside the cells. [J/K]"""
        volume = self.metal_area_m2 * self.length_m
        return wall_material(self.material).j_per_m3_k * volume

    def outer_faces(self) -> tuple[tuple[Body, float], ...]:
        """Give the outer surfaces for convection, each with its area beside the cells in m2."""
        width = self.inner_width_m + 2 * self.thickness_m
        if self.section == Section.TUBE:
            area = math.pi * width * self.length_m
            if self.is_upright:
                tall = self.length_m + self.beyond_m
                body = Body(shape=Shape.VERTICAL_CYLINDER, length_m=tall, diameter_m=width)
            else:
                body = Body(shape=Shape.HORIZONTAL_CYLINDER, length_m=width)
            return ((body, area),)
        height = (self.inner_height_m or 0.0) + 2 * self.thickness_m
        if self.is_upright:
            body = Body(shape=Shape.VERTICAL_PLATE, length_m=self.length_m + self.beyond_m)
            return ((body, 2 * (width + height) * self.length_m),)
        flat = width * self.length_m
        plate_m = flat / (2 * (width + self.length_m))
        return (
            (Body(shape=Shape.VERTICAL_PLATE, length_m=height), 2 * height * self.length_m),
            (Body(shape=Shape.PLATE_FACING_UP, length_m=plate_m), flat),
            (Body(shape=Shape.PLATE_FACING_DOWN, length_m=plate_m), flat),
        )


def wall_material(name: str) -> WallMaterial:
    """Find a wall material by name.

    Parameters
    ----------
    name : str
        One of `WALL_MATERIALS`.

    Returns
    -------
    WallMaterial
        Its figures.

    Raises
    ------
    UnknownNameError
        If there is none of that name.

    Examples
    --------
    >>> wall_material("aluminium").conductivity_w_per_m_k.mid
    167.0
    """
    try:
        return WALL_MATERIALS[name]
    except KeyError:
        raise UnknownNameError(kind="wall material", name=name, known=WALL_MATERIALS) from None
