"""Inertia of simple bodies about the axis they turn on.

Formulas of any mechanics text (from memory). Add bodies on one shaft.
"""

from __future__ import annotations

from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "disc_kg_m2",
    "ring_kg_m2",
    "rod_about_centre_kg_m2",
    "rod_about_end_kg_m2",
    "tube_kg_m2",
]


def _checked(**values: float) -> None:
    for what, value in values.items():
        if not value > 0:
            msg = f"{what} is {value}; it must be above 0"
            raise OutOfRangeError(msg)


def rod_about_centre_kg_m2(*, mass_kg: float, length_m: float) -> float:
    """Thin rod that turns about its middle, m L^2 / 12. [kg m2]

    Parameters
    ----------
    mass_kg : float
        Mass. [kg]
    length_m : float
        Whole length. [m]

    Examples
    --------
    >>> rod_about_centre_kg_m2(mass_kg=0.12, length_m=1.0)
    0.01
    """
    _checked(mass_kg=mass_kg, length_m=length_m)
    return mass_kg * length_m**2 / 12


def rod_about_end_kg_m2(*, mass_kg: float, length_m: float) -> float:
    """Thin rod that turns about one end, m L^2 / 3. [kg m2]

    Parameters
    ----------
    mass_kg : float
        Mass. [kg]
    length_m : float
        Whole length. [m]

    Examples
    --------
    >>> rod_about_end_kg_m2(mass_kg=0.03, length_m=1.0)
    0.01
    """
    _checked(mass_kg=mass_kg, length_m=length_m)
    return mass_kg * length_m**2 / 3


def disc_kg_m2(*, mass_kg: float, radius_m: float) -> float:
    """Solid disc or cylinder about its axis, m r^2 / 2. [kg m2]

    Parameters
    ----------
    mass_kg : float
        Mass. [kg]
    radius_m : float
        Outer radius. [m]

    Examples
    --------
    >>> disc_kg_m2(mass_kg=2.0, radius_m=0.1)
    0.010000000000000002
    """
    _checked(mass_kg=mass_kg, radius_m=radius_m)
    return mass_kg * radius_m**2 / 2


def ring_kg_m2(*, mass_kg: float, radius_m: float) -> float:
    """Thin ring about its axis, m r^2. [kg m2]

    Parameters
    ----------
    mass_kg : float
        Mass. [kg]
    radius_m : float
        Mean radius. [m]

    Examples
    --------
    >>> ring_kg_m2(mass_kg=1.0, radius_m=0.1)
    0.010000000000000002
    """
    _checked(mass_kg=mass_kg, radius_m=radius_m)
    return mass_kg * radius_m**2


def tube_kg_m2(*, mass_kg: float, outer_radius_m: float, inner_radius_m: float) -> float:
    """Thick tube about its axis, m (r_o^2 + r_i^2) / 2. [kg m2]

    Parameters
    ----------
    mass_kg : float
        Mass. [kg]
    outer_radius_m : float
        Outer radius. [m]
    inner_radius_m : float
        Inner radius, below the outer one. [m]

    Examples
    --------
    >>> round(tube_kg_m2(mass_kg=1.0, outer_radius_m=0.1, inner_radius_m=0.08), 4)
    0.0082
    """
    _checked(mass_kg=mass_kg, outer_radius_m=outer_radius_m)
    if not 0 <= inner_radius_m < outer_radius_m:
        msg = f"inner_radius_m is {inner_radius_m}; it must be 0 or more and below {outer_radius_m}"
        raise OutOfRangeError(msg)
    return mass_kg * (outer_radius_m**2 + inner_radius_m**2) / 2
