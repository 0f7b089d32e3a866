"""Heat radiated by the outside of a pack, and the emissivity of common finishes."""

from __future__ import annotations

from dataclasses import dataclass

from packdesign.data.materials import load_materials
from packdesign.foundation.basis import Band, Basis
from packdesign.foundation.constants import STEFAN_BOLTZMANN_W_PER_M2_K4, ZERO_CELSIUS_K
from packdesign.foundation.errors import OutOfRangeError, UnknownNameError

__all__ = ["Finish", "finish", "finish_names", "radiation_w_per_m2_k"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """A surface finish as a radiator of heat near room temperature."""

    name: str
    emissivity: Band
    basis: Basis
    source: str


_OWN_FINISHES = (
    Finish(
        name="plastic",
        emissivity=Band(0.85, 0.91, 0.95),
        basis=Basis.ASSUMED,
        source="plastics near 0.9, from memory",
    ),
)


def finish_names() -> tuple[str, ...]:
    """Every finish that `finish` knows."""
    named = [each.material for each in load_materials() if each.emissivity is not None]
    return (*(each.name for each in _OWN_FINISHES), *named)


def finish(name: str) -> Finish:
    """Find a finish by name.

    Parameters
    ----------
    name : str
        "plastic", or a surface of ``data.materials``.

    Returns
    -------
    Finish
        Its emissivity.

    Raises
    ------
    UnknownNameError
        If there is none of that name.

    Examples
    --------
    >>> finish("aluminium, polished").emissivity
    Band(low=0.04, mid=0.05, high=0.06)
    """
    for own in _OWN_FINISHES:
        if own.name == name:
            return own
    for each in load_materials():
        if each.material == name and each.emissivity is not None:
            middle = each.emissivity
            band = Band(each.emissivity_low or middle, middle, each.emissivity_high or middle)
            return Finish(name=name, emissivity=band, basis=each.basis, source=each.source)
    raise UnknownNameError(kind="finish", name=name, known=finish_names())


def radiation_w_per_m2_k(
    *, emissivity: float, surface_degc: float, surroundings_degc: float
) -> float:
    r"""Radiation to large surroundings as a film coefficient. [W/(m2 K)]

    Parameters
    ----------
    emissivity : float
        Of the surface, 0 to 1. [-]
    surface_degc, surroundings_degc : float
        Temperatures. [degC]

    Returns
    -------
    float
        Heat per area over the temperature difference. [W/(m2 K)]

    Raises
    ------
    OutOfRangeError
        If the emissivity is outside 0 to 1.

    Notes
    -----
    :math:`\varepsilon \sigma (T_s + T_w)(T_s^2 + T_w^2)`, exact for a small convex body in large
    surroundings of one temperature (Stefan and Boltzmann).

    Examples
    --------
    Example 9.4 of Incropera, a 0.1 m pipe at 438 K in a room of 296 K, 441 W per metre:

    >>> film = radiation_w_per_m2_k(emissivity=0.85, surface_degc=164.85, surroundings_degc=22.85)
    >>> round(film * 142.0 * 3.14159 * 0.1)
    441
    """
    if not 0 <= emissivity <= 1:
        msg = f"emissivity is {emissivity}; it must lie between 0 and 1"
        raise OutOfRangeError(msg)
    warm, cool = surface_degc + ZERO_CELSIUS_K, surroundings_degc + ZERO_CELSIUS_K
    return emissivity * STEFAN_BOLTZMANN_W_PER_M2_K4 * (warm + cool) * (warm**2 + cool**2)
