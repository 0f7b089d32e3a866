"""Heat radiated by the outside of a pack, and the emissivity of common finishes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from packdesign.foundation.basis import Band, Basis
from packdesign.foundation.constants import STEFAN_BOLTZMANN_W_PER_M2_K4, ZERO_CELSIUS_K
from packdesign.foundation.errors import OutOfRangeError, UnknownNameError

__all__ = ["FINISHES", "Finish", "finish", "radiation_w_per_m2_k"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """A surface finish as a radiator of heat near room temperature."""

    name: str
    emissivity: Band
    basis: Basis
    source: str


_FLIR = "FLIR emissivity table, scribd 430717570"
_OMEGA = "OMEGA OS100 manual, section 6"
_FINISHES = (
    Finish(
        name="plastic sleeve",
        emissivity=Band(0.90, 0.94, 0.96),
        basis=Basis.PUBLISHED,
        source=f"vinyl tape 0.96: {_FLIR}; lower end for other plastics from memory",
    ),
    Finish(
        name="printed plastic",
        emissivity=Band(0.85, 0.91, 0.95),
        basis=Basis.ASSUMED,
        source="plastics near 0.9, from memory",
    ),
    Finish(
        name="painted",
        emissivity=Band(0.80, 0.93, 0.97),
        basis=Basis.PUBLISHED,
        source="lacquer, white 0.80 to 0.95, matt black 0.97: FLIR T5590 manual, page 491",
    ),
    Finish(
        name="polished aluminium",
        emissivity=Band(0.04, 0.05, 0.06),
        basis=Basis.PUBLISHED,
        source=_FLIR,
    ),
    Finish(
        name="aluminium sheet",
        emissivity=Band(0.05, 0.09, 0.2),
        basis=Basis.PUBLISHED,
        source=f"0.09: {_FLIR} and {_OMEGA}; ends for polish and age from memory",
    ),
    Finish(
        name="anodised aluminium",
        emissivity=Band(0.45, 0.55, 0.8),
        basis=Basis.PUBLISHED,
        source=f"0.55: {_FLIR} and {_OMEGA}; ends from memory",
    ),
    Finish(
        name="galvanised steel",
        emissivity=Band(0.23, 0.255, 0.28),
        basis=Basis.PUBLISHED,
        source=f"{_FLIR} and {_OMEGA}",
    ),
    Finish(
        name="rolled steel",
        emissivity=Band(0.56, 0.61, 0.66),
        basis=Basis.PUBLISHED,
        source=f"{_FLIR} and {_OMEGA}",
    ),
    Finish(
        name="bare nickel",
        emissivity=Band(0.05, 0.10, 0.15),
        basis=Basis.PUBLISHED,
        source="electrolytic nickel: Raytek MI3 manual, page 116",
    ),
)
FINISHES: Final = {entry.name: entry for entry in _FINISHES}


def finish(name: str) -> Finish:
    """Find a finish by name.

    Parameters
    ----------
    name : str
        One of `FINISHES`.

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
    >>> finish("polished aluminium").emissivity.mid
    0.05
    """
    try:
        return FINISHES[name]
    except KeyError:
        raise UnknownNameError(kind="finish", name=name, known=FINISHES) from None


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
