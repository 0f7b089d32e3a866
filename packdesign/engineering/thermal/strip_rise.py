"""How warm a short strip gets between the two cells that it joins, which take most of its heat."""

from __future__ import annotations

import math
from typing import Final

from packdesign.engineering.electrical.conductors import (
    conductor_metal,
    resistance_at_temperature_factor,
)
from packdesign.foundation.constants import ZERO_CELSIUS_K
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["strip_conductivity_w_per_m_k", "strip_rise_k"]

_LORENZ_W_OHM_PER_K2: Final = 2.44e-8  # Sommerfeld value, textbooks on metals, from memory
_WARM_DEGC: Final = 60.0  # resistance is taken at this: warmer than most strips are meant to be


def strip_rise_k(
    *,
    metal: str,
    current_a: float,
    length_m: float,
    width_m: float,
    thickness_m: float,
    film_w_per_m2_k: float,
) -> float:
    r"""Rise of the middle of a strip over the cells at its ends. [K]

    Parameters
    ----------
    metal : str
        A strip metal of ``data.materials``.
    current_a : float
        Steady or rms current in this strip. [A]
    length_m : float
        Between the joints, above zero. [m]
    width_m, thickness_m : float
        Cross section, above zero; thickness of all layers together. [m]
    film_w_per_m2_k : float
        What the air takes off its open face, zero or more. [W/(m2 K)]

    Returns
    -------
    float
        Rise. [K]

    Raises
    ------
    OutOfRangeError
        If a size is not above zero, or the film is negative.
    UnknownNameError
        If the metal is unknown.

    Notes
    -----
    A bar heated evenly, ends held at the temperature of the cells, one face in air:
    :math:`\frac{q}{h w}\left(1 - \frac{1}{\cosh(m L / 2)}\right)` with :math:`q = I^2 \rho / A` and
    :math:`m^2 = h w / (k A)`; without air :math:`q L^2 / (8 k A)`. The conductivity k follows from
    the resistivity by the law of Wiedemann and Franz, some 20 % high for nickel.

    Examples
    --------
    8 by 0.15 mm nickel over 20 mm at 10 A:

    >>> round(strip_rise_k(metal="pure nickel", current_a=10.0, length_m=0.02, width_m=0.008,
    ...     thickness_m=0.00015, film_w_per_m2_k=10.0), 1)
    3.9
    """
    if min(length_m, width_m, thickness_m) <= 0 or film_w_per_m2_k < 0:
        msg = (
            "a strip needs length, width and thickness above 0 and a film of 0 or more; got "
            f"{length_m}, {width_m}, {thickness_m} and {film_w_per_m2_k}"
        )
        raise OutOfRangeError(msg)
    resistivity = _warm_ohm_m(metal)
    area_m2 = width_m * thickness_m
    conducts = strip_conductivity_w_per_m_k(metal) * area_m2
    heat_w_per_m = current_a**2 * resistivity / area_m2
    loss_w_per_m_k = film_w_per_m2_k * width_m
    half = math.sqrt(loss_w_per_m_k / conducts) * length_m / 2
    if half < 1e-3:
        return heat_w_per_m * length_m**2 / (8 * conducts)
    return heat_w_per_m / loss_w_per_m_k * (1 - 1 / math.cosh(half))


def strip_conductivity_w_per_m_k(metal: str) -> float:
    r"""Heat conductivity of a strip metal, from its resistivity. [W/(m K)]

    Parameters
    ----------
    metal : str
        A strip metal of ``data.materials``.

    Raises
    ------
    UnknownNameError
        If the metal is unknown.

    Notes
    -----
    Law of Wiedemann and Franz, :math:`k = L T / \rho`, at 60 degC; some 20 % high for nickel.

    Examples
    --------
    >>> round(strip_conductivity_w_per_m_k("pure nickel"))
    84
    """
    return _LORENZ_W_OHM_PER_K2 * (_WARM_DEGC + ZERO_CELSIUS_K) / _warm_ohm_m(metal)


def _warm_ohm_m(metal: str) -> float:
    """Highest resistivity of a warm strip. [ohm m]"""
    found = conductor_metal(metal)
    warm = resistance_at_temperature_factor(rise_per_k=found.rise_per_k, conductor_degc=_WARM_DEGC)
    return found.resistivity_ohm_m.high * warm
