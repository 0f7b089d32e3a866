"""The way heat leaves one cell of a pack, reduced to what the discharge engines solve.

Two nodes per cell: the cell, and what surrounds it and is touched (sleeve, holder, its share of the
wall), then the air. How the figures come out of a geometry is in the modules beside this one.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np

from packdesign.engineering.demand.profile import FloatArray
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["REFERENCE_RISE_K", "ThermalPath", "buoyancy", "loss_share", "loss_slope_share"]

REFERENCE_RISE_K: Final = 15.0
"""Surface above the air at which the conductance to the air of every path stands. [K]"""
_SMOOTH_K: Final = 1e-3
"""Rise below which the fourth root is rounded off, so that it has a slope at zero. [K]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class ThermalPath:
    """Conductances and heat capacities per cell, for the cell that cools worst."""

    cell_to_surface_w_per_k: float
    """From the middle of the cell to the touched or bounding surface. [W/K]"""
    surface_to_air_w_per_k: float
    """From that surface to the surrounding air, convection and radiation together, while it is
    ``REFERENCE_RISE_K`` above the air. [W/K]"""
    buoyant_fraction: float = 0.0
    """Share of it that grows with the fourth root of the rise, as the draught of the warm surface
    itself does; none of a loss to a fan or by conduction. [-]"""
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
        if not 0 <= self.buoyant_fraction <= 1:
            msg = f"buoyant_fraction is {self.buoyant_fraction}; it must lie from 0 to 1"
            raise OutOfRangeError(msg)

    def loss_w(self, rise_k: FloatArray | float) -> FloatArray:
        """Heat that leaves the surface while it is this much above the air. [W]

        Parameters
        ----------
        rise_k : float or array
            Surface above the air; below 0 heat comes in. [K]
        """
        rise = np.asarray(rise_k, dtype=float)
        share = loss_share(self.buoyant_fraction, rise)
        return np.asarray(self.surface_to_air_w_per_k * share * rise)

    def frozen(self, rise_k: float) -> ThermalPath:
        """Make the same path with the loss of one rise at every rise, so that it is linear.

        Parameters
        ----------
        rise_k : float
            Surface above the air. [K]
        """
        share = float(loss_share(self.buoyant_fraction, rise_k))
        w_per_k = self.surface_to_air_w_per_k * share
        return replace(self, surface_to_air_w_per_k=w_per_k, buoyant_fraction=0.0)


def buoyancy(rise_k: Any) -> Any:
    r"""Film of a surface's own draught, relative to that at the reference rise. [-]

    Parameters
    ----------
    rise_k : float, array or symbol
        Surface above or below the air. [K]

    Notes
    -----
    Laminar natural convection goes with :math:`\Delta T^{1/4}` (any text on heat transfer; the
    correlations in ``convection`` do so over the sizes of packs). Written as three square roots of
    :math:`\Delta T^2`, which numpy and PyBaMM's symbols both have and which have a slope at zero.

    Examples
    --------
    Sixteen times the rise, twice the film:

    >>> round(float(buoyancy(16 * REFERENCE_RISE_K)), 6)
    2.0
    """
    reduced = (rise_k / REFERENCE_RISE_K) ** 2 + (_SMOOTH_K / REFERENCE_RISE_K) ** 2
    return np.sqrt(np.sqrt(np.sqrt(reduced)))


def loss_share(buoyant_fraction: Any, rise_k: Any) -> Any:
    """Conductance to the air at a rise, relative to that at the reference rise. [-]

    Parameters
    ----------
    buoyant_fraction : float, array or symbol
        As in `ThermalPath`. [-]
    rise_k : float, array or symbol
        Surface above or below the air. [K]

    Examples
    --------
    >>> round(float(loss_share(0.6, 60.0)), 3), float(loss_share(0.0, 60.0))
    (1.249, 1.0)
    """
    return 1.0 + buoyant_fraction * (buoyancy(rise_k) - 1.0)


def loss_slope_share(buoyant_fraction: FloatArray, rise_k: FloatArray) -> FloatArray:
    """Change of the lost heat with the rise, relative to the conductance at the reference. [-]

    Parameters
    ----------
    buoyant_fraction : array
        As in `ThermalPath`. [-]
    rise_k : array
        Surface above or below the air. [K]

    Notes
    -----
    The derivative of rise times `loss_share`: five fourths of the part that grows.
    """
    return np.asarray(1.0 + buoyant_fraction * (1.25 * buoyancy(rise_k) - 1.0))
