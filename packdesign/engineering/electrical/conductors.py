"""Resistance of wires and strips, and how warm they get from the current they carry.

What the whole current path of a pack adds up to is in ``pack_path``; at which current a conductor
melts is in ``fusing``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from packdesign.data.materials import load_materials
from packdesign.foundation.basis import Band, Basis
from packdesign.foundation.errors import OutOfRangeError, UnknownNameError

__all__ = [
    "WIRE_LAY",
    "ConductorMetal",
    "conductor_metal",
    "resistance_at_temperature_factor",
    "settled_conductor_degc",
    "strip_ohm",
    "wire_area_m2",
    "wire_diameter_m",
    "wire_ohm",
]

_REFERENCE_DEGC: Final = 20.0
_THICKEST_AWG: Final = -3  # 4/0
_THINNEST_AWG: Final = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class ConductorMetal:
    """A metal as a conductor, with the range its sources give."""

    name: str
    resistivity_ohm_m: Band
    """At 20 degC. [ohm m]"""
    rise_per_k: float
    """Growth of the resistance per kelvin, as a fraction of that at 20 degC. [1/K]"""
    basis: Basis
    source: str


_IACS_OHM_M: Final = 1.7241e-8  # annealed copper at 20 degC, IEC 60028, from memory
_IACS_PER_K: Final = 0.00393  # the same
_OTHER_NAMES: Final = {"plated steel": "nickel-plated steel"}

WIRE_LAY: Final = Band(1.0, 1.035, 1.2)
"""Resistance of a stranded wire over that of a solid one of the same gauge. [-]

Low: solid wire. Mid: the 2 to 5 % of stranding (utilitiesbunker.com, AWG current capacity page).
High: maxima printed for UL1015 lead wire, 18 to 20 % above the solid wire in sizes 10 to 22
(GW Instek SPS manual, page 24).
"""


def conductor_metal(name: str) -> ConductorMetal:
    """Find a metal for strips by name.

    Parameters
    ----------
    name : str
        One of the materials of ``data.materials`` that have a resistivity.

    Returns
    -------
    ConductorMetal
        Its figures.

    Raises
    ------
    UnknownNameError
        If there is none of that name.

    Examples
    --------
    >>> conductor_metal("pure nickel").resistivity_ohm_m
    Band(low=6.85e-08, mid=6.99e-08, high=7.8e-08)
    """
    metals = {each.material: each for each in load_materials() if each.resistivity_ohm_m}
    found = metals.get(_OTHER_NAMES.get(name, name))
    if found is None or found.resistivity_ohm_m is None:
        raise UnknownNameError(kind="conductor metal", name=name, known=metals)
    middle = found.resistivity_ohm_m
    return ConductorMetal(
        name=found.material,
        resistivity_ohm_m=Band(
            found.resistivity_low_ohm_m or middle, middle, found.resistivity_high_ohm_m or middle
        ),
        rise_per_k=found.temperature_coefficient_per_k or 0.0,
        basis=found.basis,
        source=found.source,
    )


def resistance_at_temperature_factor(*, rise_per_k: float, conductor_degc: float) -> float:
    r"""Resistance at a temperature over that at 20 degC, :math:`1 + \alpha (T - 20)`. [-]

    Parameters
    ----------
    rise_per_k : float
        Temperature coefficient at 20 degC. [1/K]
    conductor_degc : float
        Temperature of the metal. [degC]

    Returns
    -------
    float
        Factor. [-]

    Notes
    -----
    Linear law, good within a few per cent from -50 to 200 degC for pure metals.

    Examples
    --------
    >>> round(resistance_at_temperature_factor(rise_per_k=0.00393, conductor_degc=70.0), 4)
    1.1965
    """
    return 1 + rise_per_k * (conductor_degc - _REFERENCE_DEGC)


def wire_diameter_m(*, awg: int) -> float:
    r"""Diameter of the solid conductor of a gauge, without insulation. [m]

    Parameters
    ----------
    awg : int
        American wire gauge, -3 (4/0) to 40. [-]

    Returns
    -------
    float
        Diameter. [m]

    Raises
    ------
    OutOfRangeError
        If the gauge is outside -3 to 40.

    Notes
    -----
    :math:`d = 0.127\,\text{mm} \cdot 92^{(36 - n)/39}`, the definition of the gauge in [1]_
    (from memory; agrees to four digits with printed tables, see ``test_conductors``).

    References
    ----------
    .. [1] ASTM B258, "Standard Nominal Diameters ... of AWG Sizes of Solid Round Wires".

    Examples
    --------
    >>> round(wire_diameter_m(awg=16) * 1000, 3)
    1.291
    """
    if not _THICKEST_AWG <= awg <= _THINNEST_AWG:
        msg = (
            f"awg is {awg}; known are {_THICKEST_AWG} (4/0) to {_THINNEST_AWG}. "
            "Give the area of a thicker or thinner conductor as a strip."
        )
        raise OutOfRangeError(msg)
    return float(0.127e-3 * 92 ** ((36 - awg) / 39))


def wire_area_m2(*, awg: int) -> float:
    """Cross section of the solid conductor of a gauge. [m2]

    Parameters
    ----------
    awg : int
        American wire gauge, -3 (4/0) to 40. [-]

    Returns
    -------
    float
        Cross section. [m2]

    Raises
    ------
    OutOfRangeError
        If the gauge is outside -3 to 40.

    Notes
    -----
    Circle of `wire_diameter_m`; strands add to nearly the same copper.

    Examples
    --------
    >>> round(wire_area_m2(awg=16) * 1e6, 3)
    1.309
    """
    return math.pi / 4 * wire_diameter_m(awg=awg) ** 2


def wire_ohm(*, awg: int, length_m: float, conductor_degc: float = 20.0) -> Band:
    """Resistance of a copper wire of one length, one way. [ohm]

    Parameters
    ----------
    awg : int
        American wire gauge, -3 (4/0) to 40. [-]
    length_m : float
        Length of the wire, zero or more. [m]
    conductor_degc : float
        Temperature of the copper. [degC]

    Returns
    -------
    Band
        From a solid wire (low) to the worst printed for stranded lead wire (high). [ohm]

    Raises
    ------
    OutOfRangeError
        If the gauge is unknown or the length negative.

    Notes
    -----
    Copper of 100 % IACS times `WIRE_LAY`.

    Examples
    --------
    A metre of 16 AWG at 20 degC, 13.17 milliohm as solid wire (wire table):

    >>> round(wire_ohm(awg=16, length_m=1.0).low * 1000, 2)
    13.17
    """
    _refuse_negative(length_m=length_m)
    warm = resistance_at_temperature_factor(rise_per_k=_IACS_PER_K, conductor_degc=conductor_degc)
    solid = _IACS_OHM_M * length_m / wire_area_m2(awg=awg) * warm
    return WIRE_LAY.scaled(solid)


def strip_ohm(
    *,
    metal: str,
    length_m: float,
    width_m: float,
    thickness_m: float,
    conductor_degc: float = 20.0,
) -> Band:
    """Resistance of a strip between two joints. [ohm]

    Parameters
    ----------
    metal : str
        A strip metal of ``data.materials``.
    length_m : float
        Distance between the joints, zero or more. [m]
    width_m, thickness_m : float
        Cross section, above zero; thickness of all layers together. [m]
    conductor_degc : float
        Temperature of the metal. [degC]

    Returns
    -------
    Band
        With the resistivity range of the metal. [ohm]

    Raises
    ------
    UnknownNameError
        If the metal is unknown.
    OutOfRangeError
        If a length is negative or the cross section zero.

    Notes
    -----
    Resistivity times length over cross section; crowding near the spot welds is part of the
    joint, not of the strip.

    Examples
    --------
    8 mm by 0.15 mm pure nickel over a 20.2 mm pitch, about 1.18 milliohm:

    >>> strip = strip_ohm(metal="pure nickel", length_m=0.0202, width_m=0.008, thickness_m=0.00015)
    >>> round(strip.mid * 1000, 2)
    1.18
    """
    _refuse_negative(length_m=length_m)
    if min(width_m, thickness_m) <= 0:
        msg = f"a strip needs width and thickness above 0 m; got {width_m} and {thickness_m}"
        raise OutOfRangeError(msg)
    found = conductor_metal(metal)
    warm = resistance_at_temperature_factor(
        rise_per_k=found.rise_per_k, conductor_degc=conductor_degc
    )
    return found.resistivity_ohm_m.scaled(length_m / (width_m * thickness_m) * warm)


def settled_conductor_degc(
    *,
    current_a: float,
    ohm_per_m: float,
    rise_per_k: float,
    loss_w_per_m_k: float,
    ambient_degc: float,
) -> float:
    r"""Temperature a conductor settles at when its own current heats it. [degC]

    Parameters
    ----------
    current_a : float
        Steady or rms current. [A]
    ohm_per_m : float
        Resistance per length at 20 degC. [ohm/m]
    rise_per_k : float
        Temperature coefficient of the metal. [1/K]
    loss_w_per_m_k : float
        Heat given to the air per length and kelvin: film coefficient times perimeter. [W/(m K)]
    ambient_degc : float
        Air around it. [degC]

    Returns
    -------
    float
        Temperature; infinite where the resistance grows faster than the cooling. [degC]

    Raises
    ------
    OutOfRangeError
        If the resistance is negative or the loss not above zero.

    Notes
    -----
    Balance :math:`I^2 R_{20} (1 + \alpha (T - 20)) = G (T - T_{air})`, solved for T. Ends that
    carry heat away into cells and terminals are left out, so a short link runs cooler.

    Examples
    --------
    >>> round(settled_conductor_degc(current_a=10.0, ohm_per_m=0.0132, rise_per_k=0.00393,
    ...     loss_w_per_m_k=0.1, ambient_degc=25.0), 1)
    39.2
    """
    _refuse_negative(ohm_per_m=ohm_per_m)
    if loss_w_per_m_k <= 0:
        msg = f"loss_w_per_m_k is {loss_w_per_m_k}; heat must have somewhere to go (above 0)"
        raise OutOfRangeError(msg)
    at_ambient = ohm_per_m * resistance_at_temperature_factor(
        rise_per_k=rise_per_k, conductor_degc=ambient_degc
    )
    room = loss_w_per_m_k - current_a**2 * ohm_per_m * rise_per_k
    return ambient_degc + current_a**2 * at_ambient / room if room > 0 else math.inf


def _refuse_negative(**values: float) -> None:
    for name, value in values.items():
        if not value >= 0:
            msg = f"{name} is {value}; it must be 0 or more"
            raise OutOfRangeError(msg)
