"""How many cells of each size go into the cavity; one question to geometry for each size."""

from __future__ import annotations

import math
from collections.abc import Hashable, Mapping
from dataclasses import dataclass, replace

from packdesign.data.cells import Cell
from packdesign.engineering.electrical.pack_path import PackPath
from packdesign.engineering.geometry.arrange import arrangements, most_cells
from packdesign.engineering.geometry.arrangement import Arrangement
from packdesign.engineering.geometry.cavities import Box, OpenCavity, Tube
from packdesign.engineering.thermal.path import ThermalPath
from packdesign.foundation.errors import InputError, OutOfRangeError
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.cavity import allowances_of, cavity_of
from packdesign.planning.needs.heat import thermal_path_of
from packdesign.planning.needs.wiring import pack_path_of

__all__ = ["Room", "Rooms"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """What geometry says of one size of cell."""

    most: float
    """Cells that go in at most; infinite in free air. [-]"""
    fullest: Arrangement | None
    """How they lie then; None where none goes in."""
    thermal: ThermalPath | None
    """Way of the heat of the worst-cooled cell in it."""
    problem: str = ""
    """Why nothing is known: the size is missing."""


class Rooms:
    """Answers of geometry for one brief, each size asked once.

    Parameters
    ----------
    brief : Brief
        The brief.
    """

    def __init__(self, brief: Brief) -> None:
        self._brief = brief
        self.cavity = cavity_of(brief)
        self._known: dict[Hashable, Room] = {}
        self._paths: dict[Hashable, PackPath] = {}
        self._missing: dict[Hashable, Mapping[str, float]] = {}

    @property
    def is_open(self) -> bool:
        """Whether the pack lies in free air."""
        return isinstance(self.cavity, OpenCavity)

    @property
    def volume_m3(self) -> float | None:
        """Free inside; None in free air. [m3]"""
        return None if isinstance(self.cavity, OpenCavity) else self.cavity.volume_m3

    def of(self, cell: Cell) -> Room:
        """Give the room for cells of this size.

        Parameters
        ----------
        cell : Cell
            The cell.
        """
        key = self.size_of(cell)
        if key not in self._known:
            self._known[key] = self._asked(cell)
        return self._known[key]

    @staticmethod
    def size_of(cell: Cell) -> tuple[Hashable, ...]:
        """Give what geometry asks of a cell: the same for all of one size.

        Parameters
        ----------
        cell : Cell
            The cell.
        """
        return (
            cell.form,
            cell.size_code,
            cell.diameter_m,
            cell.length_m,
            cell.thickness_m,
            cell.width_m,
        )

    def nearest_m(self, cell: Cell, *, series: int) -> Mapping[str, float]:
        """Give what is missing for so many cells in the arrangement that misses by least. [m]

        Parameters
        ----------
        cell : Cell
            The cell.
        series : int
            How many. [-]

        Returns
        -------
        mapping
            By the name of the edge; empty where nothing is missing or nobody knows. [m]
        """
        key = (self.size_of(cell), series)
        if key not in self._missing:
            self._missing[key] = self._nearest(cell, series)
        return self._missing[key]

    def _nearest(self, cell: Cell, series: int) -> Mapping[str, float]:
        if not isinstance(self.cavity, Tube | Box):
            return {}
        try:
            allowances = allowances_of(self._brief, cell)
            found = arrangements(
                cell, self.cavity, series=series, parallel=1, allowances=allowances
            )
        except InputError:
            return {}
        return found[0].shortfall_m

    def path(self, cell: Cell, *, series: int, parallel: int) -> PackPath:
        """Give the way of the current in a pack with the strips of the fullest cavity.

        Parameters
        ----------
        cell : Cell
            A cell that goes in.
        series, parallel : int
            Groups in series, and cells in each. [-]
        """
        fullest = self.of(cell).fullest
        if fullest is None:
            msg = f"not one {cell.name} goes into the cavity"
            raise OutOfRangeError(msg)
        links_m = fullest.series_strip_m
        mean_mm = round(sum(links_m) / len(links_m) * 1000.0) if links_m else 0
        key = (series, parallel, mean_mm)
        if key not in self._paths:
            self._paths[key] = pack_path_of(
                self._brief, replace(fullest, series=series, parallel=parallel)
            )
        return self._paths[key]

    def _asked(self, cell: Cell) -> Room:
        allowances = allowances_of(self._brief, cell)
        try:
            if self.is_open:
                most = math.inf
                fullest: Arrangement | None = arrangements(
                    cell, self.cavity, series=1, parallel=1, allowances=allowances
                )[0]
            else:
                most, fullest = most_cells(cell, self.cavity, allowances)
        except InputError as error:
            return Room(most=0, fullest=None, thermal=None, problem=str(error))
        if fullest is None:
            return Room(most=0, fullest=None, thermal=None)
        return Room(most=most, fullest=fullest, thermal=self._thermal(fullest))

    def _thermal(self, fullest: Arrangement) -> ThermalPath:
        try:
            return thermal_path_of(self._brief, fullest)
        except OutOfRangeError:  # no gap to the wall left over: take that of a pack that is too big
            return thermal_path_of(self._brief, replace(fullest, fits=False))
