"""How fast wires and strips follow the heat of their current: the time constant of each."""

from __future__ import annotations

import math
from typing import Final

from packdesign.engineering.electrical.conductors import wire_area_m2
from packdesign.engineering.thermal.conductor_rise import LoneWire
from packdesign.engineering.thermal.strip_rise import strip_conductivity_w_per_m_k
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["strip_time_constant_s", "wire_time_constant_s"]

_COPPER_J_PER_M3_K: Final = 3.45e6
"""Heat capacity of copper per volume: the value of IEC 60949, from memory. [J/(m3 K)]"""
_PLASTIC_J_PER_M3_K: Final = 1.4e6
"""The same of wire insulation: PVC and silicone rubber 1.4e6 to 1.8e6, handbooks, from memory; the
low end makes the time short. [J/(m3 K)]"""
_STRIP_J_PER_M3_K: Final = 2.4e6
"""The same of a strip: aluminium's, the least of the strip metals (nickel 3.9e6, steel 3.8e6);
handbooks, from memory. [J/(m3 K)]"""
_RISE_K: Final = 60.0
"""Rise at which a wire gives off its heat here: a hard-worked wire; a cooler one is slower. Own
choice. [K]"""


def wire_time_constant_s(*, awg: int, outer_diameter_m: float, ambient_degc: float = 25.0) -> float:
    r"""Time constant of one insulated copper wire, alone and level in still air. [s]

    Parameters
    ----------
    awg : int
        American wire gauge. [-]
    outer_diameter_m : float
        Over the insulation, no less than the conductor's. [m]
    ambient_degc : float
        Air around it. [degC]

    Returns
    -------
    float
        Time. [s]

    Raises
    ------
    OutOfRangeError
        If the gauge is unknown or the insulation thinner than nothing.

    Notes
    -----
    :math:`\tau = C / G`: heat capacity of copper and insulation over what convection, radiation and
    insulation let out at a rise of 60 K, each per length; one body of one temperature, as for any
    lumped cooling (Newton's law). A bundle cools less and is slower, so this is the short side.

    Examples
    --------
    18 AWG in a silicone jacket of 2.3 mm follows within a minute:

    >>> 20 < wire_time_constant_s(awg=18, outer_diameter_m=0.0023) < 60
    True
    """
    copper_m2 = wire_area_m2(awg=awg)
    plastic_m2 = math.pi / 4 * outer_diameter_m**2 - copper_m2
    if plastic_m2 < 0:
        msg = f"outer_diameter_m is {outer_diameter_m}; it must not be below the conductor's"
        raise OutOfRangeError(msg)
    stores_j_per_m_k = copper_m2 * _COPPER_J_PER_M3_K + plastic_m2 * _PLASTIC_J_PER_M3_K
    alone = LoneWire(awg=awg, outer_diameter_m=outer_diameter_m, ambient_degc=ambient_degc)
    return stores_j_per_m_k / alone.loss_w_per_m_k(ambient_degc + _RISE_K)


def strip_time_constant_s(
    *, metal: str, length_m: float, thickness_m: float, film_w_per_m2_k: float
) -> float:
    r"""Time constant of a strip between two cells that hold its ends at their temperature. [s]

    Parameters
    ----------
    metal : str
        A strip metal of ``data.materials``.
    length_m : float
        Between the joints, above zero. [m]
    thickness_m : float
        Of all layers together, above zero. [m]
    film_w_per_m2_k : float
        What the air takes off its open face, zero or more. [W/(m2 K)]

    Returns
    -------
    float
        Time of the slowest of its modes. [s]

    Raises
    ------
    OutOfRangeError
        If a size is not above zero, or the film is negative.
    UnknownNameError
        If the metal is unknown.

    Notes
    -----
    :math:`1/\tau = \pi^2 k / (c L^2) + h / (c d)`, c per volume: first mode of a bar with both ends
    held (Carslaw and Jaeger, "Conduction of Heat in Solids", from memory), and its open face.

    Examples
    --------
    20 mm of nickel, 0.15 mm thick, follow within two seconds:

    >>> round(strip_time_constant_s(metal="pure nickel", length_m=0.02, thickness_m=0.00015,
    ...     film_w_per_m2_k=10.0), 1)
    1.1
    """
    if min(length_m, thickness_m) <= 0 or film_w_per_m2_k < 0:
        msg = (
            "a strip needs length and thickness above 0 and a film of 0 or more; got "
            f"{length_m}, {thickness_m} and {film_w_per_m2_k}"
        )
        raise OutOfRangeError(msg)
    conducts = strip_conductivity_w_per_m_k(metal)
    ends_per_s = math.pi**2 * conducts / (_STRIP_J_PER_M3_K * length_m**2)
    face_per_s = film_w_per_m2_k / (_STRIP_J_PER_M3_K * thickness_m)
    return 1 / (ends_per_s + face_per_s)
