"""What the thresholds of a pack are made from: cells, rail, sag, and what the builder has set."""

from __future__ import annotations

import functools
import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.gauge.loaded import LoadedCurve, loaded_curve

__all__ = ["GaugePack", "Wished"]

_SOFTENED_FRACTION: Final = 0.5
"""Share of what a start draws beyond the working current that is left of it when firmware softens
it; chosen here, and told to the builder. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wished:
    """Voltages per cell that the builder has set, in place of those worked out here."""

    warn_v: float | None = None
    limit_v: float | None = None
    stop_v: float | None = None
    hard_cut_v: float | None = None


@dataclass(frozen=True, kw_only=True)
class GaugePack:
    """What the thresholds are made from; without slots, for it keeps its curve."""

    series: int
    family: str
    cell_full_v: float
    cell_cutoff_v: float
    open_circuit_v: Callable[[float], float]
    """Open-circuit voltage of a cell at a state of charge from 0 to 1, rising. [V]"""
    lasting_ohm: Callable[[float], float]
    """Resistance of the pack at its terminals that a lasting load meets at a state of charge, aged
    and cold as it may get. [ohm]"""
    sudden_ohm: Callable[[float], float]
    """The same for a load that has only come on, while the firmware still averages. [ohm]"""
    working_a: float
    """Current while the device works steadily. [A]"""
    peak_a: float
    """Largest current of a start. [A]"""
    start_s: float = 1.0
    """How long a start lasts. [s]"""
    capacity_ah: float = math.inf
    """Charge of the full pack, worn as it may get; infinite: it never sinks. [A h]"""
    rail_minimum_v: float = 0.0
    """Least pack voltage at which everything on the pack still works. [V]"""
    behind_fraction: float = 0.0
    """Charge by which the weakest group runs empty before the others, as a share of the capacity,
    where nothing but the sum of the groups is seen. [-]"""
    wished: Wished = Wished()
    sagged_when: str = ""
    """Temperature and age of the cells that the resistances hold for, in words."""

    def __post_init__(self) -> None:
        if self.series < 1 or not 0 < self.cell_cutoff_v < self.cell_full_v:
            msg = (
                "a gauge needs 1 or more in series and 0 < cut-off < full voltage; got "
                f"{self.series}, {self.cell_cutoff_v} V and {self.cell_full_v} V"
            )
            raise OutOfRangeError(msg)
        if not 0 <= self.working_a <= self.peak_a:
            msg = (
                "a gauge needs 0 <= working <= peak current; got "
                f"{self.working_a} A and {self.peak_a} A"
            )
            raise OutOfRangeError(msg)

    @functools.cached_property
    def curve(self) -> LoadedCurve:
        """The pack under its working load."""
        return loaded_curve(
            series=self.series,
            open_circuit_v=self.open_circuit_v,
            lasting_ohm=self.lasting_ohm,
            sudden_ohm=self.sudden_ohm,
            working_a=self.working_a,
        )

    @property
    def softened_a(self) -> float:
        """Largest current of a start from the limit on, where firmware softens it. [A]"""
        return self.working_a + _SOFTENED_FRACTION * (self.peak_a - self.working_a)

    @property
    def floor_v(self) -> float:
        """Lowest pack voltage at which no cell is under its cut-off and the rails hold. [V]"""
        return max(self.series * self.cell_cutoff_v, self.weakest_v, self.rail_minimum_v)

    @property
    def weakest_v(self) -> float:
        """Pack voltage under the working load while its weakest group is at its cut-off. [V]

        The other groups stand higher, by the charge that they have more.
        """
        if not self.behind_fraction:
            return self.series * self.cell_cutoff_v
        curve = self.curve
        soc = curve.soc_at(self.series * self.cell_cutoff_v)
        other_v = curve.at(min(soc + self.behind_fraction, 1.0)) / self.series
        return self.cell_cutoff_v + (self.series - 1) * max(other_v, self.cell_cutoff_v)
