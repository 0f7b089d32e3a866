"""A cell as a body that makes heat: its surfaces and how well heat reaches them."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from packdesign.data.materials import find_material
from packdesign.foundation.basis import Band
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["CellBody", "radial_conductivity"]


def radial_conductivity() -> Band:
    """Across the layers of a wound or stacked cell of which nothing is known. [W/(m K)]

    Examples
    --------
    >>> radial_conductivity()
    Band(low=0.2, mid=1.0, high=1.5)
    """
    found = find_material("cylindrical cell, across")
    middle = found.conductivity_w_per_m_k or 1.0
    return Band(
        found.conductivity_low_w_per_m_k or middle,
        middle,
        found.conductivity_high_w_per_m_k or middle,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class CellBody:
    """Outer size of one cell; round if it has a diameter, flat if it has width and thickness."""

    length_m: float
    """Height of a round cell, longest side of a flat one. [m]"""
    diameter_m: float | None = None
    width_m: float | None = None
    thickness_m: float | None = None
    radial_w_per_m_k: Band = field(default_factory=radial_conductivity)
    """Conductivity across the layers. [W/(m K)]"""

    def __post_init__(self) -> None:
        flat = self.width_m is not None and self.thickness_m is not None
        if (self.diameter_m is None) != flat:
            msg = (
                "a cell has either diameter_m, or width_m and thickness_m; got "
                f"{self.diameter_m}, {self.width_m} and {self.thickness_m}"
            )
            raise OutOfRangeError(msg)
        if min(self.length_m, self.across_m, self.diameter_m or self.width_m or 0.0) <= 0:
            msg = f"sizes of a cell must be above 0 m; got {self}"
            raise OutOfRangeError(msg)

    @property
    def is_round(self) -> bool:
        """Whether the cell is a cylinder."""
        return self.diameter_m is not None

    @property
    def across_m(self) -> float:
        """Diameter, or thickness of a flat cell. [m]"""
        return self.diameter_m or self.thickness_m or 0.0

    @property
    def side_perimeter_m(self) -> float:
        """Around the cell, square to its length. [m]"""
        if self.diameter_m is not None:
            return math.pi * self.diameter_m
        return 2 * ((self.width_m or 0.0) + (self.thickness_m or 0.0))

    @property
    def section_m2(self) -> float:
        """Area square to its length. [m2]"""
        if self.diameter_m is not None:
            return math.pi / 4 * self.diameter_m**2
        return (self.width_m or 0.0) * (self.thickness_m or 0.0)

    @property
    def side_m2(self) -> float:
        """Area of the side, without the two ends. [m2]"""
        return self.side_perimeter_m * self.length_m

    @property
    def to_surface_w_per_k(self) -> Band:
        r"""From the mean temperature of the cell to its surface. [W/K]

        Heat made evenly in a cylinder leaves the mean :math:`q / (8 \pi k L)` above the surface, in
        a slab of thickness t cooled on both faces of area A :math:`q t / (12 k A)`. The middle of
        the cell is warmer again: twice as far above the surface in a cylinder, half as far again
        in a slab.
        """
        if self.is_round:
            return self.radial_w_per_m_k.scaled(8 * math.pi * self.length_m)
        face = (self.width_m or 0.0) * self.length_m
        return self.radial_w_per_m_k.scaled(12 * face / self.across_m)
