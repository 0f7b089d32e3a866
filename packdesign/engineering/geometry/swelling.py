"""Room for flat cells to thicken, and whether what they give off can leave: figures, no verdict."""

from __future__ import annotations

from dataclasses import dataclass

from packdesign.engineering.geometry.allowances import Swelling
from packdesign.engineering.geometry.arrangement import Arrangement
from packdesign.engineering.geometry.cavities import Cavity, SteppedTube, Tube

__all__ = ["PouchRoom", "pouch_room"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PouchRoom:
    """What flat cells have and what they need, as fractions of their thickness as new."""

    free_fraction: float
    """Room there is across all cells of a stack; infinite in free air. [-]"""
    swelling: Swelling
    """What service, end of life and a fault ask for, with sources. [-]"""
    edge_clearance_m: float
    """Least clearance kept at sealed edges. [m]"""
    soft_backing_m: float
    """Foam under the stack, fully pressed. [m]"""
    is_sealed: bool
    """No way out for gas."""
    is_rigid: bool
    is_tube: bool

    @property
    def is_trapped(self) -> bool:
        """A sealed rigid wall around cells that may swell and vent: nothing gives way but cells."""
        return self.is_sealed and self.is_rigid


def pouch_room(arrangement: Arrangement, cavity: Cavity) -> PouchRoom | None:
    """Gather what a verdict on flat cells needs.

    Parameters
    ----------
    arrangement : Arrangement
        The pack.
    cavity : Cavity
        What it is in.

    Returns
    -------
    PouchRoom or None
        ``None`` for cylinders.
    """
    if arrangement.free_thickness_fraction is None:
        return None
    allowances = arrangement.allowances
    return PouchRoom(
        free_fraction=arrangement.free_thickness_fraction,
        swelling=allowances.swelling,
        edge_clearance_m=arrangement.least_clearance_m + allowances.pouch_edge_m,
        soft_backing_m=allowances.soft_backing_m,
        is_sealed=cavity.is_sealed,
        is_rigid=cavity.is_rigid,
        is_tube=isinstance(cavity, Tube | SteppedTube),
    )
