"""What must be left around and between cells, and how tolerances add up.

The defaults come from where each line says; a builder who has measured their own wrap, strip and
foam gives those instead.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, fields
from typing import Final

from packdesign.foundation.errors import OutOfRangeError

__all__ = ["LARGEST_ALLOWANCE_M", "Allowances", "Swelling", "TolerancePart", "ToleranceStack"]

LARGEST_ALLOWANCE_M: Final = 0.05
"""Anything beside the cells that is thicker or wider was written in a wrong unit: own choice. The
brief holds its keys to the same figure. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Swelling:
    """How much a flat cell thickens, as a fraction of its thickness as new."""

    service_fraction: float = 0.04
    """After normal use. GP103450: 10.5 mm new, 10.9 mm after 300 cycles (maker's sheet). [-]"""
    end_of_life_fraction: float = 0.10
    """At the end of its life: 8 to 10 % over 500 cycles (general advice of a pack maker,
    osmbattery.com; weak source), the upper end taken. This much room is kept free. [-]"""
    fault_fraction: float = 0.10
    """Thicker than this, the cell counts as swollen and is taken out of use (ratio 1.10 from
    memory). How far a faulty pouch blows up beyond it is bounded by nothing that was read: a gap
    does not contain it, a vent path does. [-]"""
    hard_can_fraction: float = 0.04
    """Room kept for a hard prismatic can: the GP103450 above is one. [-]"""

    def __post_init__(self) -> None:
        for each in fields(self):
            value = getattr(self, each.name)
            if not math.isfinite(value) or not 0 <= value <= 1:
                msg = f"swelling {each.name} is {value}; it must be from 0 to 1"
                raise OutOfRangeError(msg)


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowances:
    """Room for everything in a pack that is not a bare cell."""

    gap_m: float = 0.0005
    """Least clearance between cells. Chosen here; sellers' spacers give about 1 mm. [m]"""
    wall_gap_m: float = 0.0005
    """Least clearance from the wrapped pack to the wall. Chosen here so that a pack goes in without
    force. [m]"""
    wrap_m: float = 0.0
    """Thickness of an extra wrap on each cell; the maker's sleeve is in the sheet's size. [m]"""
    pack_wrap_m: float = 0.0005
    """Thickness of the shrink around the pack: 0.5 to 1.0 mm around the finished perimeter
    (electrodragon.com page on pack dimensions), taken as 0.5 mm a side. [m]"""
    end_insulator_m: float = 0.0003
    """Insulating paper on a face with strips: about 0.3 mm (same page). [m]"""
    strip_thickness_m: float = 0.00015
    """Common nickel strip is 0.1 to 0.2 mm. [m]"""
    strip_width_m: float = 0.008
    """Common nickel strip for small packs is 8 mm wide. [m]"""
    lead_m: float = 0.003
    """Room for bent leads at the end where wires leave. Common practice, no source. [m]"""
    pouch_tab_m: float = 0.002
    """Room for folded tabs of a flat cell: 1 to 2 mm with a small board (sellers' advice). [m]"""
    pouch_edge_m: float = 0.0005
    """Extra room at each sealed edge of a pouch, so that nothing presses on it: sellers state
    edges to 1 mm, half of it a side. [m]"""
    soft_backing_m: float = 0.0
    """Thickness that foam under a stack of flat cells keeps when fully pressed. [m]"""
    protection_length_m: float = 0.003
    """What a protection board adds to the length where the table gives the bare cell: 2.5 to 3 mm
    (batteries18650.com). [m]"""
    length_tolerance_m: float = 0.0003
    """Length of a cell, plus and minus: 65.2 +/- 0.3 mm of a generic 18650 (machineu.com). [m]"""
    diameter_tolerance_m: float = 0.0002
    """Diameter, plus and minus: 18.3 +/- 0.2 mm of the same cell. [m]"""
    swelling: Swelling = field(default_factory=Swelling)

    def __post_init__(self) -> None:
        for each in fields(self):
            if each.name == "swelling":
                continue
            value = getattr(self, each.name)
            if not math.isfinite(value) or value < 0:
                msg = f"{each.name} is {value * 1e3:g} mm; an allowance must be 0 mm or more"
                raise OutOfRangeError(msg)
            if value > LARGEST_ALLOWANCE_M:
                most_mm = LARGEST_ALLOWANCE_M * 1e3
                msg = f"{each.name} is {value * 1e3:g} mm; an allowance is at most {most_mm:g} mm"
                raise OutOfRangeError(msg)

    @property
    def side_m(self) -> float:
        """From the side of a cell to the wall: pack wrap and clearance. [m]"""
        return self.pack_wrap_m + self.wall_gap_m

    @property
    def face_m(self) -> float:
        """What lies on an end face with a strip: strip and insulator. [m]"""
        return self.strip_thickness_m + self.end_insulator_m

    @property
    def joint_m(self) -> float:
        """Between the ends of two cells in a line: a folded strip and an insulator. [m]"""
        return max(self.gap_m, 2 * self.strip_thickness_m + self.end_insulator_m)


@dataclass(frozen=True, slots=True, kw_only=True)
class TolerancePart:
    """Parts of one kind in a stack."""

    name: str
    count: int
    nominal_m: float
    tolerance_m: float
    """Plus and minus, of one part. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToleranceStack:
    """Parts in a line, and how long they come out together.

    Examples
    --------
    Three cells of 65.2 +/- 0.3 mm: at worst 0.9 mm more, in all likelihood under 0.52 mm.

    >>> cells = TolerancePart(name="cell", count=3, nominal_m=0.0652, tolerance_m=0.0003)
    >>> stack = ToleranceStack(parts=(cells,))
    >>> round(stack.worst_case_m * 1e3, 2), round(stack.root_sum_square_m * 1e3, 2)
    (196.5, 196.12)
    """

    parts: tuple[TolerancePart, ...]

    @property
    def nominal_m(self) -> float:
        """Length with every part at its nominal size. [m]"""
        return sum(part.count * part.nominal_m for part in self.parts)

    @property
    def worst_case_m(self) -> float:
        """Length with every part at its largest. [m]"""
        return sum(part.count * (part.nominal_m + part.tolerance_m) for part in self.parts)

    @property
    def root_sum_square_m(self) -> float:
        """Length that independent parts seldom exceed: nominal plus root of summed squares. [m]"""
        spread = sum(part.count * part.tolerance_m**2 for part in self.parts)
        return self.nominal_m + math.sqrt(spread)
