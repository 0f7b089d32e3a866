"""A pack in its surroundings as plain numbers, and what may be asked of it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from packdesign.engineering.thermal.cell_body import CellBody
from packdesign.engineering.thermal.path import REFERENCE_RISE_K
from packdesign.engineering.thermal.walls import CavityWall
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["CavityHeatCase", "Enclosure"]

_NEIGHBOURS_AROUND: Final = 6


class Enclosure(StrEnum):
    """What stands between the cells and the air."""

    OPEN = "open"
    """Nothing: cells in free air."""
    MESH = "mesh"
    """A cage with large holes: taken as free air, with a wider spread."""
    SEALED = "sealed"
    """A closed wall."""
    VENTED = "vented"
    """A wall with openings: taken as closed, the safe side, with a wide spread upwards and down."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CavityHeatCase:
    """A pack in its surroundings, as plain numbers."""

    cell: CellBody
    cell_count: int
    cells_in_section: int = 1
    """Cells beside one another in one cross section of the cavity."""
    neighbours: int = 0
    """Cells that touch the side of the worst-cooled cell, 0 to 6."""
    mean_neighbours: float | None = None
    """The same, mean over all cells; left out: as for the worst one."""
    cells_to_wall: int = 0
    """Cells between the worst-cooled cell and the wall or the air."""
    cell_gap_m: float = 0.0005
    """Between the sides of neighbouring cells. [m]"""
    enclosure: Enclosure = Enclosure.OPEN
    wall: CavityWall | None = None
    mean_gap_m: float | None = None
    """Between cells and wall; left out: from the room the cells leave in the section. [m]"""
    gap_w_per_m_k: float | None = None
    """Conductivity of what fills the gap; left out: still air. [W/(m K)]"""
    is_upright: bool = False
    """Whether cells in the open stand upright."""
    held_fraction: float = 0.0
    """Share of the outside under a hand. [-]"""
    lead_awg: int | None = None
    """Leads of a pack in the open, which carry heat away like fins; both 0.15 m or longer."""
    fixture_j_per_k: float = 0.0
    """Strips, holder, foam: heat capacity per cell. [J/K]"""
    ambient_degc: float = 25.0
    air_speed_m_per_s: float = 0.0
    """Wind or fan along the outside. [m/s]"""
    expected_rise_k: float = REFERENCE_RISE_K
    """Outside above the air, at which the films are taken. [K]"""
    heat_loss_w_per_k: float | None = None
    """Measured loss per cell from its surface to the air, ``REFERENCE_RISE_K`` above it; replaces
    all computed cooling. [W/K]"""
    added_thermal_mass_j_per_k: float | None = None
    """Measured heat capacity beside the cell, per cell; replaces the computed one. [J/K]"""

    def __post_init__(self) -> None:
        if min(self.cell_count, self.cells_in_section) < 1:
            msg = f"cell_count and cells_in_section must be 1 or more; got {self.cell_count}"
            raise OutOfRangeError(msg)
        needs_wall = self.enclosure in (Enclosure.SEALED, Enclosure.VENTED)
        if needs_wall and self.wall is None and self.heat_loss_w_per_k is None:
            msg = f"a {self.enclosure} cavity needs a wall (or a measured heat_loss_w_per_k)"
            raise OutOfRangeError(msg)
        if not 0 <= self.neighbours <= _NEIGHBOURS_AROUND or self.cells_to_wall < 0:
            msg = (
                f"neighbours is {self.neighbours} (0 to 6) and cells_to_wall is "
                f"{self.cells_to_wall} (0 or more)"
            )
            raise OutOfRangeError(msg)
        if not 0 <= self.held_fraction < 1:
            msg = f"held_fraction is {self.held_fraction}; it must lie from 0 to below 1"
            raise OutOfRangeError(msg)
        if self.air_speed_m_per_s < 0:
            msg = f"air_speed_m_per_s is {self.air_speed_m_per_s}; it must be 0 or more"
            raise OutOfRangeError(msg)
        if self.expected_rise_k <= 0 or self.cell_gap_m <= 0:
            msg = "expected_rise_k and cell_gap_m must be above 0"
            raise OutOfRangeError(msg)

    @property
    def facing_fraction(self) -> float:
        """Share of the cells' sides that faces wall or air; each neighbour hides a sixth. [-]"""
        mean = self.neighbours if self.mean_neighbours is None else self.mean_neighbours
        return max(1 - mean / _NEIGHBOURS_AROUND, 1 / _NEIGHBOURS_AROUND)
