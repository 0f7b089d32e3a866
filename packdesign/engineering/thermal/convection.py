"""Natural convection of air on the outside of packs: which correlation, which air, which film.

The correlations come from the package ``ht`` by their own names (never through its selector by
method name), imported inside functions. The air is in ``air``, radiation in ``radiation``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Final

import numpy as np

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.thermal.air import Air, air_at
from packdesign.foundation.constants import STANDARD_GRAVITY_M_PER_S2
from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "CORRELATION_SCATTER_FRACTION",
    "Body",
    "Shape",
    "film_table_w_per_m2_k",
    "film_w_per_m2_k",
    "nusselt",
    "nusselt_vertical_plate_laminar_churchill_chu",
    "rayleigh",
]

CORRELATION_SCATTER_FRACTION: Final = 0.2
"""Scatter of natural convection correlations about measurements, from memory of handbooks. [-]"""

_LAMINAR_LIMIT: Final = 1e9


class Shape(StrEnum):
    """How a warm surface stands in the air."""

    HORIZONTAL_CYLINDER = "horizontal cylinder"
    VERTICAL_CYLINDER = "vertical cylinder"
    VERTICAL_PLATE = "vertical plate"
    PLATE_FACING_UP = "plate facing up"
    PLATE_FACING_DOWN = "plate facing down"


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """A surface with the length its correlation asks for."""

    shape: Shape
    length_m: float
    """Diameter of a horizontal cylinder, height of anything vertical, area over perimeter of a
    plate facing up or down. [m]"""
    diameter_m: float | None = None
    """Diameter of a vertical cylinder. [m]"""

    def __post_init__(self) -> None:
        if not self.length_m > 0:
            msg = f"length_m of a {self.shape} is {self.length_m}; it must be above 0"
            raise OutOfRangeError(msg)
        if self.shape is Shape.VERTICAL_CYLINDER and not (self.diameter_m or 0) > 0:
            msg = f"a vertical cylinder needs diameter_m above 0; got {self.diameter_m}"
            raise OutOfRangeError(msg)


def rayleigh(
    *,
    length_m: float,
    rise_k: float,
    air: Air,
    gravity_m_per_s2: float = STANDARD_GRAVITY_M_PER_S2,
) -> float:
    r"""Rayleigh number, :math:`g \beta \Delta T L^3 Pr / \nu^2`. [-]

    Parameters
    ----------
    length_m : float
        Length that the correlation asks for. [m]
    rise_k : float
        Surface above surroundings, zero or more. [K]
    air : Air
        Properties at the film temperature.
    gravity_m_per_s2 : float
        Gravity. [m/s2]

    Returns
    -------
    float
        Rayleigh number. [-]

    Notes
    -----
    Definition; how much buoyancy outweighs what slows and cools the rising air.

    Examples
    --------
    Example 9.4 of Incropera, a 0.1 m pipe at 165 degC in air of 23 degC, prints 5.073e6:

    >>> from packdesign.engineering.thermal.air import Air
    >>> air = Air(conductivity_w_per_m_k=0.0313, kinematic_viscosity_m2_per_s=22.8e-6,
    ...     prandtl=22.8 / 32.8, expansion_per_k=2.725e-3)
    >>> round(rayleigh(length_m=0.1, rise_k=142.0, air=air, gravity_m_per_s2=9.8) / 1e6, 2)
    5.07
    """
    buoyancy = gravity_m_per_s2 * air.expansion_per_k * rise_k * length_m**3
    return buoyancy * air.prandtl / air.kinematic_viscosity_m2_per_s**2


def nusselt_vertical_plate_laminar_churchill_chu(
    *, prandtl: float, rayleigh_number: float
) -> float:
    r"""Nusselt number of a vertical plate in laminar natural convection. [-]

    Parameters
    ----------
    prandtl : float
        Prandtl number at the film temperature. [-]
    rayleigh_number : float
        On the height of the plate, up to 1e9. [-]

    Returns
    -------
    float
        Mean Nusselt number on the height. [-]

    Raises
    ------
    OutOfRangeError
        If the Rayleigh number is above 1e9.

    Notes
    -----
    .. math:: Nu = 0.68 + 0.670\, Ra^{1/4} / [1 + (0.492/Pr)^{9/16}]^{4/9}

    of [1]_, more exact below 1e9 than the formula for all Rayleigh numbers, which is the one that
    ``ht`` has.

    Examples
    --------
    Example 8.3 of Lienhard prints h = 4.26 W/(m2 K) for a wall of 0.3 m at Ra = 7.11e7:

    >>> found = nusselt_vertical_plate_laminar_churchill_chu(prandtl=0.71, rayleigh_number=7.11e7)
    >>> round(found * 0.0267 / 0.3, 2)
    4.26

    References
    ----------
    .. [1] S. W. Churchill, H. H. S. Chu, "Correlating equations for laminar and turbulent free
       convection from a vertical plate", Int. J. Heat Mass Transfer 18 (11) (1975) 1323-1329.
    """
    if rayleigh_number > _LAMINAR_LIMIT:
        msg = f"rayleigh_number is {rayleigh_number:.3g}; the laminar formula holds to 1e9"
        raise OutOfRangeError(msg)
    slowing = (1 + (0.492 / prandtl) ** (9 / 16)) ** (4 / 9)
    return float(0.68 + 0.670 * rayleigh_number**0.25 / slowing)


def nusselt(body: Body, *, prandtl: float, rayleigh_number: float) -> float:
    """Nusselt number of a surface by the correlation of its shape. [-]

    Parameters
    ----------
    body : Body
        Surface and its length.
    prandtl : float
        Prandtl number at the film temperature. [-]
    rayleigh_number : float
        On the length of the body. [-]

    Returns
    -------
    float
        Mean Nusselt number on the length of the body. [-]

    Notes
    -----
    Horizontal cylinder: Churchill and Chu, IJHMT 18 (9) (1975) 1049. Vertical plate: Churchill and
    Chu, the laminar formula up to Ra = 1e9, the other above. Vertical cylinder: the same plate with
    the curvature of Popiel (2008). Plates facing up or down: McAdams, Heat Transmission, 3rd ed.

    Examples
    --------
    The pipe of example 9.4 of Incropera, for which 23.1 follows:

    >>> pipe = Body(shape=Shape.HORIZONTAL_CYLINDER, length_m=0.1)
    >>> round(nusselt(pipe, prandtl=0.697, rayleigh_number=5.073e6), 1)
    23.1
    """
    return _CORRELATIONS[body.shape](body, prandtl, rayleigh_number)


def film_w_per_m2_k(body: Body, *, rise_k: float, ambient_degc: float) -> float:
    """Film coefficient of natural convection on a surface in still air. [W/(m2 K)]

    Parameters
    ----------
    body : Body
        Surface and its length.
    rise_k : float
        Surface above (or below) the air; below 0.01 K it counts as 0.01 K. [K]
    ambient_degc : float
        Air. [degC]

    Returns
    -------
    float
        Film coefficient. [W/(m2 K)]

    Raises
    ------
    OutOfRangeError
        If the film temperature is outside the range of the air formulas.

    Notes
    -----
    `nusselt` with the air of the film; scatter about measurements near 20 per cent.

    Examples
    --------
    An 18.6 mm cell lying in air of 25 degC, 15 K warmer:

    >>> cell = Body(shape=Shape.HORIZONTAL_CYLINDER, length_m=0.0186)
    >>> round(film_w_per_m2_k(cell, rise_k=15.0, ambient_degc=25.0), 1)
    6.0
    """
    size_k = max(abs(rise_k), 0.01)
    air = air_at(film_degc=ambient_degc + rise_k / 2)
    ratio = nusselt(
        body,
        prandtl=air.prandtl,
        rayleigh_number=rayleigh(length_m=body.length_m, rise_k=size_k, air=air),
    )
    return ratio * air.conductivity_w_per_m_k / body.length_m


@lru_cache(maxsize=64)
def film_table_w_per_m2_k(body: Body, *, ambient_degc: float) -> tuple[FloatArray, FloatArray]:
    """Tabulate the film coefficient of one surface against its rise, once per geometry.

    Parameters
    ----------
    body : Body
        Surface and its length.
    ambient_degc : float
        Air. [degC]

    Returns
    -------
    tuple of array
        Rise from 0.1 to 200 in 41 even ratios [K], and film coefficient [W/(m2 K)]; read-only.
    """
    rises = np.geomspace(0.1, 200.0, 41)
    films = np.array(
        [film_w_per_m2_k(body, rise_k=float(rise), ambient_degc=ambient_degc) for rise in rises]
    )
    rises.flags.writeable = films.flags.writeable = False
    return rises, films


def _horizontal_cylinder(_body: Body, prandtl: float, rayleigh_number: float) -> float:
    from ht.conv_free_immersed import Nu_horizontal_cylinder_Churchill_Chu

    return float(Nu_horizontal_cylinder_Churchill_Chu(prandtl, rayleigh_number / prandtl))


def _vertical_plate(_body: Body, prandtl: float, rayleigh_number: float) -> float:
    from ht.conv_free_immersed import Nu_vertical_plate_Churchill

    if rayleigh_number <= _LAMINAR_LIMIT:
        return nusselt_vertical_plate_laminar_churchill_chu(
            prandtl=prandtl, rayleigh_number=rayleigh_number
        )
    return float(Nu_vertical_plate_Churchill(prandtl, rayleigh_number / prandtl))


def _vertical_cylinder(body: Body, prandtl: float, rayleigh_number: float) -> float:
    from ht.conv_free_immersed import Nu_vertical_cylinder_Popiel_Churchill

    grashof = rayleigh_number / prandtl
    return float(
        Nu_vertical_cylinder_Popiel_Churchill(
            prandtl, grashof, body.length_m, body.diameter_m or body.length_m
        )
    )


def _plate_facing_up(_body: Body, prandtl: float, rayleigh_number: float) -> float:
    from ht.conv_free_immersed import Nu_horizontal_plate_McAdams

    return float(Nu_horizontal_plate_McAdams(prandtl, rayleigh_number / prandtl, True))


def _plate_facing_down(_body: Body, prandtl: float, rayleigh_number: float) -> float:
    from ht.conv_free_immersed import Nu_horizontal_plate_McAdams

    return float(Nu_horizontal_plate_McAdams(prandtl, rayleigh_number / prandtl, False))


_CORRELATIONS: Final[dict[Shape, Callable[[Body, float, float], float]]] = {
    Shape.HORIZONTAL_CYLINDER: _horizontal_cylinder,
    Shape.VERTICAL_CYLINDER: _vertical_cylinder,
    Shape.VERTICAL_PLATE: _vertical_plate,
    Shape.PLATE_FACING_UP: _plate_facing_up,
    Shape.PLATE_FACING_DOWN: _plate_facing_down,
}
