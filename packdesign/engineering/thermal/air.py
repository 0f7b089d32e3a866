"""Air as natural convection needs it, from the 1976 standard atmosphere of ``fluids``."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from scipy import constants

from packdesign.foundation.constants import ZERO_CELSIUS_K
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["Air", "air_at"]

_AIR_KG_PER_MOL: Final = 0.0289644  # U.S. Standard Atmosphere 1976, sea level
_COLDEST_K: Final = 180.0
_HOTTEST_K: Final = 900.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """Air at the film temperature, half way between surface and surroundings."""

    conductivity_w_per_m_k: float
    kinematic_viscosity_m2_per_s: float
    prandtl: float
    expansion_per_k: float


def air_at(*, film_degc: float, pressure_pa: float = constants.atm) -> Air:
    """Properties of air at a film temperature.

    Parameters
    ----------
    film_degc : float
        Mean of surface and surroundings, -93 to 627. [degC]
    pressure_pa : float
        Air pressure. [Pa]

    Returns
    -------
    Air
        Conductivity, viscosity, Prandtl number, expansion.

    Raises
    ------
    OutOfRangeError
        If the temperature is outside the range.

    Notes
    -----
    Viscosity, conductivity and density by the 1976 U.S. Standard Atmosphere as ``fluids`` has it;
    heat capacity 7/2 R per mole, the value of the same standard; expansion 1/T of an ideal gas.

    Examples
    --------
    Handbooks print 0.0263 W/(m K) at 300 K:

    >>> round(air_at(film_degc=26.85).conductivity_w_per_m_k, 4)
    0.0263
    """
    from fluids.atmosphere import ATMOSPHERE_1976

    kelvin = film_degc + ZERO_CELSIUS_K
    if not _COLDEST_K <= kelvin <= _HOTTEST_K:
        msg = f"film_degc is {film_degc}; the air formulas hold from -93 to 627 degC"
        raise OutOfRangeError(msg)
    viscosity = float(ATMOSPHERE_1976.viscosity(kelvin))
    conductivity = float(ATMOSPHERE_1976.thermal_conductivity(kelvin))
    heat_j_per_kg_k = 3.5 * constants.R / _AIR_KG_PER_MOL
    return Air(
        conductivity_w_per_m_k=conductivity,
        kinematic_viscosity_m2_per_s=viscosity
        / float(ATMOSPHERE_1976.density(kelvin, pressure_pa)),
        prandtl=viscosity * heat_j_per_kg_k / conductivity,
        expansion_per_k=1 / kelvin,
    )
