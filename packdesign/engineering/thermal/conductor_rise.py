"""How warm a wire gets in air from its own current, with the films of still air around it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from packdesign.engineering.electrical.conductors import (
    conductor_metal,
    settled_conductor_degc,
    wire_diameter_m,
    wire_ohm,
)
from packdesign.engineering.thermal.convection import Body, Shape, film_table_w_per_m2_k
from packdesign.engineering.thermal.radiation import radiation_w_per_m2_k
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["LoneWire", "settled_wire_degc"]

_ROUNDS: Final = 60
_HOTTEST_K: Final = 200.0
_CLOSE_K: Final = 1e-4
_PLASTIC_EMISSIVITY: Final = 0.9  # from memory
_INSULATION_W_PER_M_K: Final = 0.17


def settled_wire_degc(
    *, awg: int, current_a: float, outer_diameter_m: float, ambient_degc: float = 25.0
) -> float:
    """Temperature at which one insulated copper wire settles, alone and level in still air. [degC]

    Parameters
    ----------
    awg : int
        American wire gauge. [-]
    current_a : float
        Steady or rms current. [A]
    outer_diameter_m : float
        Over the insulation, above zero. [m]
    ambient_degc : float
        Air around it. [degC]

    Returns
    -------
    float
        Temperature; infinite where it would pass 200 K above the air. [degC]

    Raises
    ------
    OutOfRangeError
        If the gauge or the diameter is out of range.

    Notes
    -----
    Heat of the highest resistance of `wire_ohm` against convection around a level cylinder
    (Churchill and Chu), radiation and the insulation (0.17 W/(m K), PVC, from memory). A printed
    table for UL1015 wire shows a rise of 65 K where this gives 54 to 60 K, so hold a wire to the
    lower of both. In a bundle, a sleeve or a closed cavity a wire gets far hotter.

    Examples
    --------
    16 AWG in a 3 mm silicone jacket, 10 A:

    >>> round(settled_wire_degc(awg=16, current_a=10.0, outer_diameter_m=0.003))
    37
    """
    if outer_diameter_m <= 0:
        msg = f"outer_diameter_m is {outer_diameter_m}; it must be above 0"
        raise OutOfRangeError(msg)
    alone = LoneWire(awg=awg, outer_diameter_m=outer_diameter_m, ambient_degc=ambient_degc)
    found = ambient_degc + 20.0
    for _ in range(_ROUNDS):
        after = settled_conductor_degc(
            current_a=current_a,
            ohm_per_m=wire_ohm(awg=awg, length_m=1.0).high,
            rise_per_k=conductor_metal("copper").rise_per_k,
            loss_w_per_m_k=alone.loss_w_per_m_k(found),
            ambient_degc=ambient_degc,
        )
        after = min(after, ambient_degc + 2 * _HOTTEST_K)
        if abs(after - found) < _CLOSE_K:
            break
        found = (found + after) / 2
    return found if found - ambient_degc <= _HOTTEST_K else math.inf


@dataclass(frozen=True, slots=True, kw_only=True)
class LoneWire:
    """A wire in still air, for the loss at one temperature of its copper."""

    awg: int
    outer_diameter_m: float
    ambient_degc: float

    def loss_w_per_m_k(self, conductor_degc: float) -> float:
        """Through the insulation and off its outside, per kelvin of the copper. [W/(m K)]

        Parameters
        ----------
        conductor_degc : float
            Temperature of the copper. [degC]
        """
        body = Body(shape=Shape.HORIZONTAL_CYLINDER, length_m=self.outer_diameter_m)
        rises, films = film_table_w_per_m2_k(body, ambient_degc=self.ambient_degc)
        ratio = max(self.outer_diameter_m / wire_diameter_m(awg=self.awg), 1.0)
        insulation = math.log(ratio) / (2 * math.pi * _INSULATION_W_PER_M_K)
        rise = max(conductor_degc - self.ambient_degc, 0.1)
        surface_k, loss = rise, 0.0
        for _ in range(3):
            film = float(np.interp(surface_k, rises, films)) + radiation_w_per_m2_k(
                emissivity=_PLASTIC_EMISSIVITY,
                surface_degc=self.ambient_degc + surface_k,
                surroundings_degc=self.ambient_degc,
            )
            outside = film * math.pi * self.outer_diameter_m
            loss = 1 / (insulation + 1 / outside)
            surface_k = rise * loss / outside
        return loss
