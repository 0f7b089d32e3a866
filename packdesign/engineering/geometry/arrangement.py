"""The arrangement record: where each cell sits, which way round, how it is joined, what is left.

How arrangements are found is in :mod:`packdesign.engineering.geometry.arrange`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from packdesign.data.cells import Cell
from packdesign.engineering.geometry.allowances import Allowances, ToleranceStack
from packdesign.engineering.geometry.body import CellBody

__all__ = ["Arrangement", "CellPlacement", "PlacedReserve", "Point", "SeriesLink"]

Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class CellPlacement:
    """One cell in the frame of its cavity."""

    centre_m: Point
    axis: Point
    """Unit vector: of a cylinder from minus to plus, of a flat cell towards its tabs. [-]"""
    normal: Point
    """Unit vector through the thickness of a flat cell; across the axis of a cylinder. [-]"""
    positive_m: Point
    """Where the plus terminal is. [m]"""
    negative_m: Point
    """Where the minus terminal is. [m]"""
    group: int
    """Number of its parallel group, 0 being the most negative. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeriesLink:
    """The strip from the plus side of one group to the minus side of the next."""

    from_group: int
    start_m: Point
    end_m: Point
    length_m: float
    """Length of the current path. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedReserve:
    """Where room is kept for something that is no cell, by its lowest and highest corner."""

    name: str
    low_m: Point
    high_m: Point
    is_below: bool = False
    """Whether it lies below the cells in a tube: at the closed end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrangement:
    """A pack laid out. One that does not fit is a value too: it says what is missing."""

    name: str
    """In words: "3 side by side, 2 layers"."""
    kind: str
    """Short name of the pattern: "end_to_end", "side_by_side", "triangle", "square", "hex",
    "ring", "crosswise", "staggered", "mixed", "stacked", "flat", "mesh"."""
    cell: Cell
    body: CellBody
    allowances: Allowances
    series: int
    parallel: int
    placements: tuple[CellPlacement, ...]
    """In the order of the series path, group by group."""
    links: tuple[SeriesLink, ...]
    """The strips between groups, from minus to plus."""
    parallel_strip_m: float
    """Length of the strips that join the cells of groups, both sides, all groups. [m]"""
    tap_points_m: tuple[Point, ...]
    """Where each balance tap joins: minus of the pack first, plus last; series + 1 of them. [m]"""
    tap_lead_m: tuple[float, ...]
    """Straight length from each tap to where the wires leave; add slack. [m]"""
    exit_point_m: Point
    """Where the wires leave. [m]"""
    between_cells_m: float
    """Least clearance between two cells; infinite for one cell. [m]"""
    wall_clearance_m: float
    """Least clearance from the wrapped pack to the wall; infinite in free air. [m]"""
    envelope_low_m: Point
    """Lowest corner of the box around the wrapped pack. [m]"""
    envelope_size_m: Point
    """Edges of that box. [m]"""
    length_left_m: float
    """Length left over along the axis of a tube, or along the tightest edge of a box; negative
    where it does not fit, infinite in free air. [m]"""
    cell_mass_kg: float | None
    """All cells; ``None`` where the mass of one is not known. [kg]"""
    strip_mass_kg: float
    """All strips. [kg]"""
    centre_of_mass_m: Point
    """Of the cells. [m]"""
    energy_wh_per_l: float | None
    """Nominal energy by litre of cavity; ``None`` in free air. [W h/L]"""
    fits: bool
    shortfall_m: Mapping[str, float] = field(default_factory=dict)
    """What is missing, by name ("bore", "length", "width", "height"), where it does not fit. [m]"""
    reasons: tuple[str, ...] = ()
    """In words: why it does not fit, and what was assumed of sizes."""
    reserves: tuple[PlacedReserve, ...] = ()
    length_stack: ToleranceStack | None = None
    """How the length along the tube comes out with tolerances, where cells stand in a line."""
    free_thickness_fraction: float | None = None
    """Room that flat cells have to thicken, as a fraction of their thickness as new. [-]"""

    @property
    def least_clearance_m(self) -> float:
        """Least clearance to the wall or between cells. [m]"""
        return min(self.between_cells_m, self.wall_clearance_m)

    @property
    def count(self) -> int:
        """Number of cells. [-]"""
        return len(self.placements)

    @property
    def mass_kg(self) -> float | None:
        """Cells and strips; board, wires and shell are not in it. [kg]"""
        return None if self.cell_mass_kg is None else self.cell_mass_kg + self.strip_mass_kg

    @property
    def energy_wh(self) -> float:
        """Nominal energy: capacity times nominal voltage of all cells. [W h]"""
        return self.count * self.cell.capacity_ah * self.cell.nominal_v

    @property
    def series_strip_m(self) -> tuple[float, ...]:
        """Length of each strip between groups, from minus to plus. [m]"""
        return tuple(link.length_m for link in self.links)
