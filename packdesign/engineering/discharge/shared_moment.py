"""What every cell of a pack carries at one moment, where the cells are unlike."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.batch import Batch
from packdesign.engineering.discharge.charge_transfer import asinh_share
from packdesign.engineering.discharge.moment import Inside, Moment
from packdesign.engineering.electrical.network import NetworkSplit, PackNetwork, split_current

__all__ = ["SharedMoment", "Wiring", "shared_moment"]

_ROUNDS: Final = 2
"""Rounds in which the currents and the charge-transfer resistances settle on each other, from those
a moment ago."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wiring:
    """How the cells of each of n packs are joined."""

    network: PackNetwork
    outside_ohm: float
    """Path from the last strips to the terminals. [ohm]"""
    packs: int
    series: int
    parallel: int

    @property
    def shape(self) -> tuple[int, int, int]:
        """Packs, series, parallel."""
        return self.packs, self.series, self.parallel

    def of_packs(self, rows: FloatArray) -> FloatArray:
        """One figure a cell, as packs, series, parallel.

        Parameters
        ----------
        rows : array
            Shape (packs x series x parallel,).
        """
        return rows.reshape(self.shape)


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedMoment:
    """The cells and the packs that they make."""

    cells: Moment
    """One row a cell."""
    pack_a: FloatArray
    """Shape (packs,). [A]"""
    pack_v: FloatArray
    """At the terminals. Shape (packs,). [V]"""
    beyond: NDArray[np.bool_]
    """Where the power asked for has no solution. Shape (packs,)."""


def shared_moment(
    batch: Batch,
    at: Inside,
    wiring: Wiring,
    *,
    demand_a: float,
    demand_w: float,
    near_a: FloatArray | None = None,
) -> SharedMoment:
    """Share one demand among the cells of every pack.

    Parameters
    ----------
    batch : Batch
        The cells, one row each.
    at : Inside
        What they are inside.
    wiring : Wiring
        How they are joined.
    demand_a : float
        Current asked of each pack. [A]
    demand_w : float
        Power asked of each on top. [W]
    near_a : array, optional
        Current of each cell a moment ago under the same demand; without, an even share. One row a
        cell. [A]

    Notes
    -----
    For given resistances the ladder is linear: every cell carries what it does at no load plus a
    part of the pack's current. Two solutions of Kirchhoff's laws give both, and the terminal
    voltage as a straight line over the current; where power is asked for, that makes a quadratic,
    whose upper root is the one a pack takes.
    """
    inner_v = wiring.of_packs(at.inner_v)
    cell_a = np.zeros(inner_v.shape) if near_a is None else wiring.of_packs(near_a)
    for _ in range(_ROUNDS if near_a is not None else _ROUNDS + 2):
        ohm = _instant_ohm(at, wiring, cell_a)
        at_rest, of_an_ampere = _ends(wiring, inner_v, ohm)
        rest_v = at_rest.pack_v
        pack_ohm = rest_v - of_an_ampere.pack_v + wiring.outside_ohm
        half = (rest_v - pack_ohm * demand_a) / 2
        root = half * half - pack_ohm * demand_w
        pack_a = (rest_v - half - np.sqrt(np.maximum(root, 0.0))) / pack_ohm
        part = of_an_ampere.cell_a - at_rest.cell_a
        cell_a = at_rest.cell_a + part * pack_a[:, None, None]
    cell_v = inner_v - ohm * cell_a
    return SharedMoment(
        cells=Moment(
            current_a=cell_a.ravel(),
            voltage_v=cell_v.ravel(),
            cell_v=cell_v.ravel(),
            beyond=np.zeros(batch.size, dtype=bool),
            reach=at.reach,
            surface=at.surface,
            lag_v=at.lag_v,
            instant_ohm=ohm.ravel(),
            rc_factor=at.rc_factor,
            slow_time_factor=at.slow_time_factor,
            solid_factor=at.solid_factor,
            entropic_v_per_k=at.entropic_v_per_k,
        ),
        pack_a=pack_a,
        pack_v=rest_v - pack_ohm * pack_a,
        beyond=(root < 0) | ((half < 0) & (rest_v > 0)),
    )


def _instant_ohm(at: Inside, wiring: Wiring, cell_a: FloatArray) -> FloatArray:
    reduced = at.transfer_ohm * np.abs(cell_a.ravel()) / at.scale_v
    return wiring.of_packs(at.ohmic_ohm + at.transfer_ohm * asinh_share(reduced))


def _ends(
    wiring: Wiring, inner_v: FloatArray, ohm: FloatArray
) -> tuple[NetworkSplit, NetworkSplit]:
    """Solve the ladder without load and with one ampere from the pack."""
    count = wiring.packs
    both = split_current(
        wiring.network,
        emf_v=np.concatenate([inner_v, inner_v]),
        cell_ohm=np.concatenate([ohm, ohm]),
        pack_a=np.repeat([0.0, 1.0], count),
    )
    return tuple(
        NetworkSplit(cell_a=both.cell_a[rows], cell_v=both.cell_v[rows], pack_v=both.pack_v[rows])
        for rows in (slice(0, count), slice(count, None))
    )  # type: ignore[return-value]
