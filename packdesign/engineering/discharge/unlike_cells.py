"""Packs of unlike cells: each with its own capacity, resistance, charge and temperature.

Cells in parallel share the current as their voltages and resistances, the strips and the joints
say; groups in series carry the same. The first cell at a limit ends the pack, however full the
others are. How they run is in :mod:`.unlike_run`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.batch import Batch, stack
from packdesign.engineering.discharge.run import EndReason, PackModel
from packdesign.engineering.discharge.shared_moment import Wiring
from packdesign.engineering.electrical.network import PackNetwork, split_current
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["UnlikeCells", "UnlikePoint", "UnlikeRun"]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnlikeCells:
    """The cells of n packs and how they are joined. Arrays are (n, series, parallel)."""

    pack: PackModel
    """What each pack would be of cells alike."""
    network: PackNetwork
    """Joints, strips and leads between the cells; they are part of the pack's own path."""
    capacity_factor: FloatArray
    """Relative to the pack's cell. [-]"""
    resistance_factor: FloatArray
    """Every resistance, relative to it. [-]"""
    start_soc: FloatArray

    def __post_init__(self) -> None:
        shapes = {each.shape for each in (self.capacity_factor, self.resistance_factor)}
        shapes.add(self.start_soc.shape)
        wanted = (self.pack.series, self.pack.parallel)
        if len(shapes) != 1 or self.start_soc.ndim != 3 or self.start_soc.shape[1:] != wanted:
            msg = f"arrays of cells must all be (packs, {wanted[0]}, {wanted[1]}); got {shapes}"
            raise OutOfRangeError(msg)
        if min(np.min(self.capacity_factor), np.min(self.resistance_factor)) <= 0:
            msg = "factors on capacity and resistance must be above 0"
            raise OutOfRangeError(msg)
        if np.min(self.start_soc) < 0 or np.max(self.start_soc) > 1:
            msg = "start_soc must lie from 0 to 1"
            raise OutOfRangeError(msg)

    def wiring(self) -> Wiring:
        """How they are joined, with what is left of the path outside them."""
        packs, series, parallel = self.start_soc.shape
        ones = np.ones((1, series, parallel))
        alone = split_current(self.network, emf_v=0 * ones, cell_ohm=ones, pack_a=np.ones(1))
        between_ohm = -float(alone.pack_v[0]) - series / parallel
        return Wiring(
            network=self.network,
            outside_ohm=max(self.pack.path_ohm - between_ohm, 0.0),
            packs=packs,
            series=series,
            parallel=parallel,
        )

    def batch(self, *, ambient_degc: float) -> Batch:
        """One row a cell for the fast engine.

        Parameters
        ----------
        ambient_degc : float
            Air around them. [degC]
        """
        one = replace(self.pack, series=1, parallel=1, path_ohm=0.0)
        alike = stack([one], ambient_degc=np.array([ambient_degc]))
        rows = alike.rows(np.zeros(self.start_soc.size, dtype=np.intp))
        capacity, ohm = self.capacity_factor.ravel(), self.resistance_factor.ravel()
        return replace(
            rows,
            capacity_as=rows.capacity_as * capacity,
            ohmic_ohm=rows.ohmic_ohm * ohm,
            transfer_ohm=rows.transfer_ohm * ohm,
            fast_ohm=rows.fast_ohm * ohm,
            slow_ohm=rows.slow_ohm * ohm,
            lag_per_a=rows.lag_per_a / capacity,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class UnlikePoint:
    """The packs at one moment of a run, as a watcher is told it."""

    time_s: float
    pack_v: FloatArray
    """Shape (n,). [V]"""
    cell_a: FloatArray
    """Shape (n, series, parallel). [A]"""
    cell_v: FloatArray
    cell_degc: FloatArray
    soc: FloatArray
    running: NDArray[np.bool_]
    """Packs that had not ended before. Shape (n,)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UnlikeRun:
    """What became of n packs."""

    end_s: FloatArray
    """When the first cell met a limit, or the demand was over. Shape (n,). [s]"""
    reasons: tuple[EndReason, ...]
    """What ended each."""
    group: NDArray[np.intp]
    """Series group of the cell that ended it, from 0; -1 where none did. Shape (n,)."""
    position: NDArray[np.intp]
    """Its place in the group, from 0; -1 where none did. Shape (n,)."""
    end_v: FloatArray
    """Voltage of each at its end. Shape (n,). [V]"""
    delivered_ah: FloatArray
    """Charge each pack gave. Shape (n,). [A h]"""
    soc: FloatArray
    """Charge left in each cell. Shape (n, series, parallel). [-]"""
    largest_pack_a: FloatArray
    """Largest current of each pack. Shape (n,). [A]"""
    largest_cell_a: FloatArray
    """Largest current of any one of its cells. Shape (n,). [A]"""
    peak_cell_degc: FloatArray
    """Of the hottest cell. Shape (n,). [degC]"""
