"""The way heat leaves one cell of a pack, reduced to what the discharge engines solve.

Two nodes per cell: the cell, and what surrounds it and is touched (sleeve, holder, its share of the
wall), then the air. How the figures come out of a geometry is in the modules beside this one.
"""

from __future__ import annotations

from dataclasses import dataclass

from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["ThermalPath"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ThermalPath:
    """Conductances and heat capacities per cell, for the cell that cools worst."""

    cell_to_surface_w_per_k: float
    """From the middle of the cell to the touched or bounding surface. [W/K]"""
    surface_to_air_w_per_k: float
    """From that surface to the surrounding air, convection and radiation together. [W/K]"""
    surface_j_per_k: float
    """Heat capacity of what is heated beside the cell itself, per cell. [J/K]"""
    spread_fraction: float = 0.3
    """How far the conductance to the air may be off, as a fraction of it. [-]"""
    basis: Basis = Basis.PUBLISHED

    def __post_init__(self) -> None:
        values = (self.cell_to_surface_w_per_k, self.surface_to_air_w_per_k, self.surface_j_per_k)
        if min(values) <= 0:
            msg = f"conductances and heat capacity must be above 0; got {values}"
            raise OutOfRangeError(msg)
