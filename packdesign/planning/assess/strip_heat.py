"""How warm the strip that carries the most gets over the cells it lies on, and how fast."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from packdesign.engineering.electrical.pack_path import PackWiring, hardest_strip_share
from packdesign.engineering.thermal.conductor_time import strip_time_constant_s
from packdesign.engineering.thermal.strip_rise import strip_rise_k
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.wiring import strip_metal_of

__all__ = ["STRIP_RISE_K", "STRIP_SOURCE", "HardestStrip", "hardest_strip"]

STRIP_RISE_K: Final = 20.0
"""Rise that a strip may have over the cells: common practice, no source. [K]"""
STRIP_SOURCE: Final = (
    "heated bar between two cells, one face in still air, the strip that gathers the cells of a "
    "group towards a lead at its one end; 20 K as the limit: common practice, no source"
)
_FILM_W_PER_M2_K: Final = 10.0
"""Still air and radiation off a bright strip, one side: usual handbook figure, from memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HardestStrip:
    """The strip between cells that carries the most."""

    metal: str
    length_m: float
    """Between its joints. [m]"""
    width_m: float
    thickness_m: float
    """Of all layers together. [m]"""
    share: float
    """Of the pack's current. [-]"""

    @property
    def time_s(self) -> float:
        """Time in which it warms up. [s]"""
        return strip_time_constant_s(
            metal=self.metal,
            length_m=self.length_m,
            thickness_m=self.thickness_m,
            film_w_per_m2_k=_FILM_W_PER_M2_K,
        )

    def rise_k(self, pack_a: float, *, after_s: float = math.inf, before_a: float = 0.0) -> float:
        """Rise over the cells. [K]

        Parameters
        ----------
        pack_a : float
            Steady or rms current of the pack. [A]
        after_s : float
            How long it has flowed. [s]
        before_a : float
            Current to which the strip had settled before. [A]

        Notes
        -----
        ``settled + (before - settled) exp(-t / tau)`` with the slowest mode of the strip alone,
        which is 0 to 4 % of the change above the rise: the first of the modes of an evenly heated
        bar with held ends has 32 / pi^3 of it (Carslaw and Jaeger, from memory).
        """
        settled_k, before_k = self._settled_k(pack_a), self._settled_k(before_a)
        return settled_k + (before_k - settled_k) * math.exp(-after_s / self.time_s)

    def _settled_k(self, pack_a: float) -> float:
        return strip_rise_k(
            metal=self.metal,
            current_a=self.share * pack_a,
            length_m=self.length_m,
            width_m=self.width_m,
            thickness_m=self.thickness_m,
            film_w_per_m2_k=_FILM_W_PER_M2_K,
        )


def hardest_strip(brief: Brief, design: PackDesign) -> HardestStrip | None:
    """Give the strip that carries the most; None where the brief tells of none or none is there.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    """
    section = brief.pack.strips if brief.pack is not None else None
    if section is None or design.series * design.parallel == 1:
        return None
    usual = PackWiring(series=1, parallel=1, link_length_m=0.0)
    lengths_m = design.arrangement.series_strip_m
    mean_m = sum(lengths_m) / len(lengths_m) if lengths_m else design.arrangement.body.across_m
    return HardestStrip(
        metal=strip_metal_of(section.material) or usual.strip_metal,
        length_m=section.length_m or mean_m,
        width_m=section.width_m or usual.strip_width_m,
        thickness_m=(section.thickness_m or usual.strip_thickness_m) * (section.layers or 1),
        share=hardest_strip_share(series=design.series, parallel=design.parallel),
    )
