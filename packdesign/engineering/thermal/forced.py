"""Air blown along the outside of a pack, and how it adds to the pack's own draught.

The correlation comes from the package ``ht`` by its own name, imported inside the function.
"""

from __future__ import annotations

from typing import Final

from packdesign.engineering.thermal.air import Air

__all__ = ["forced_film_w_per_m2_k", "mixed_film_w_per_m2_k"]

_MIXED_POWER: Final = 3.0
"""Forced and natural films add in this power (Incropera, section 9.9, from memory)."""


def forced_film_w_per_m2_k(*, along_m: float, air_speed_m_per_s: float, air: Air) -> float:
    r"""Film coefficient of air blown along a surface, mean over its length. [W/(m2 K)]

    Parameters
    ----------
    along_m : float
        Length of the surface in the direction of the air. [m]
    air_speed_m_per_s : float
        Undisturbed speed, 0 or more. [m/s]
    air : Air
        Properties at the film temperature.

    Notes
    -----
    Laminar layer on a plate, :math:`Nu = 0.664 Re^{1/2} Pr^{1/3}` (Pohlhausen 1921). Air from the
    side, an edge, a rough wall or a layer that has turned turbulent give more, so along the longest
    side it is the least that a wind of unknown direction takes.

    Examples
    --------
    Example 7.1 of Incropera (from memory), a plate of 0.5 m in thin air, prints h = 4.18:

    >>> air = Air(conductivity_w_per_m_k=0.0364, kinematic_viscosity_m2_per_s=5.21e-4,
    ...     prandtl=0.687, expansion_per_k=2.3e-3)
    >>> round(forced_film_w_per_m2_k(along_m=0.5, air_speed_m_per_s=10.0, air=air), 2)
    4.18
    """
    from ht.conv_external import Nu_horizontal_plate_laminar_Baehr

    reynolds = air_speed_m_per_s * along_m / air.kinematic_viscosity_m2_per_s
    ratio = float(Nu_horizontal_plate_laminar_Baehr(reynolds, air.prandtl))
    return ratio * air.conductivity_w_per_m_k / along_m


def mixed_film_w_per_m2_k(*, natural: float, forced: float) -> float:
    """Film coefficient where a pack's own draught and blown air work together. [W/(m2 K)]

    Parameters
    ----------
    natural, forced : float
        Each on its own, 0 or more. [W/(m2 K)]

    Examples
    --------
    >>> round(mixed_film_w_per_m2_k(natural=6.0, forced=6.0), 2)
    7.56
    """
    return float((natural**_MIXED_POWER + forced**_MIXED_POWER) ** (1 / _MIXED_POWER))
