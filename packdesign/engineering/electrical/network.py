r"""How the cells of a pack share the current at one moment: groups in parallel, joined in series.

Every pack is a ladder: level 0 is the negative end, level S the positive one, and each level is a
strip with one node at each of P positions. Cell (s, p) stands between level s and s + 1 at position
p, behind its own resistance and its joints. The whole is one linear system per pack, solved exactly
and for many packs at once. How their charge moves on is in
``discharge.unlike_run``.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import FloatArray
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["NetworkSplit", "PackNetwork", "split_current"]

IntArray = NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True)
class PackNetwork:
    """The wiring of the ladder, the same in all packs; the cells are given with each solve."""

    joint_ohm: float = 0.0
    """Joints and bridge strip in line with every cell. [ohm]"""
    strip_ohm: float = 0.0
    """Strip along a level, from one position to the next; 0 joins them perfectly. [ohm]"""
    negative_position: int = 0
    """Position at which the negative lead meets level 0."""
    positive_position: int = 0
    """Position at which the positive lead meets the last level."""

    def __post_init__(self) -> None:
        if min(self.joint_ohm, self.strip_ohm) < 0:
            msg = f"joint_ohm and strip_ohm must be 0 or more; got {self}"
            raise OutOfRangeError(msg)
        if min(self.negative_position, self.positive_position) < 0:
            msg = f"lead positions count from 0; got {self}"
            raise OutOfRangeError(msg)


@dataclass(frozen=True, slots=True, kw_only=True)
class NetworkSplit:
    """The pack at one moment; all arrays begin with the packs (n)."""

    cell_a: FloatArray
    """Current of each cell, discharge positive. Shape (n, series, parallel). [A]"""
    cell_v: FloatArray
    """Voltage at the terminals of each cell. Shape (n, series, parallel). [V]"""
    pack_v: FloatArray
    """Voltage between the leads. Shape (n,). [V]"""


def split_current(
    network: PackNetwork,
    *,
    emf_v: FloatArray,
    cell_ohm: FloatArray,
    pack_a: FloatArray,
) -> NetworkSplit:
    r"""Split the current of each pack among its cells.

    Parameters
    ----------
    network : PackNetwork
        Joints, strips, leads.
    emf_v : array
        Voltage behind the resistance of each cell. Shape (n, series, parallel). [V]
    cell_ohm : array
        Resistance of each cell, above zero. Same shape. [ohm]
    pack_a : array
        Current of each pack, discharge positive. Shape (n,). [A]

    Returns
    -------
    NetworkSplit
        Currents and voltages.

    Raises
    ------
    OutOfRangeError
        If the shapes do not match, a resistance is not above zero or a lead is off the strip.

    Notes
    -----
    Kirchhoff's laws. With perfect strips each group is a star of sources,
    :math:`V = (\sum E/R - I) / \sum 1/R`; with resistive ones the node potentials of all levels
    are solved together.

    Examples
    --------
    Two cells of 20 and 30 milliohm at the same charge share 10 A as 6 to 4:

    >>> split = split_current(PackNetwork(), emf_v=np.full((1, 1, 2), 3.7),
    ...     cell_ohm=np.array([[[0.020, 0.030]]]), pack_a=np.array([10.0]))
    >>> [round(float(amps), 6) for amps in split.cell_a[0, 0]]
    [6.0, 4.0]
    """
    _refuse_bad_cells(network, emf_v, cell_ohm, pack_a)
    branch_ohm = cell_ohm + network.joint_ohm
    if network.strip_ohm == 0 or emf_v.shape[2] == 1:
        conductance = 1 / branch_ohm
        level_v = (np.sum(emf_v * conductance, axis=2) - pack_a[:, None]) / np.sum(
            conductance, axis=2
        )
        cell_a = (emf_v - level_v[:, :, None]) * conductance
        pack_v = np.sum(level_v, axis=1)
    else:
        node_v = _node_voltages(network, emf_v, branch_ohm, pack_a)
        cell_a = (emf_v - np.diff(node_v, axis=1)) / branch_ohm
        pack_v = node_v[:, -1, network.positive_position]
    return NetworkSplit(cell_a=cell_a, cell_v=emf_v - cell_a * cell_ohm, pack_v=pack_v)


def _node_voltages(
    network: PackNetwork, emf_v: FloatArray, branch_ohm: FloatArray, pack_a: FloatArray
) -> FloatArray:
    """Potential of every node above the negative lead. Shape (n, series + 1, parallel)."""
    packs, series, parallel = emf_v.shape
    nodes = (series + 1) * parallel
    matrix = np.zeros((packs, nodes, nodes))
    source = np.zeros((packs, nodes))
    low = np.arange(series * parallel)
    high = low + parallel
    conductance = (1 / branch_ohm).reshape(packs, -1)
    _join(matrix, low, high, conductance)
    driven = (emf_v / branch_ohm).reshape(packs, -1)
    source[:, high] += driven
    source[:, low] -= driven
    left = np.arange(nodes).reshape(series + 1, parallel)[:, :-1].ravel()
    _join(matrix, left, left + 1, np.full((packs, left.size), 1 / network.strip_ohm))
    every = np.arange(nodes)
    matrix[:, every, every] = -np.sum(matrix, axis=2)
    source[:, series * parallel + network.positive_position] -= pack_a
    ground = network.negative_position
    matrix[:, ground, :] = 0.0
    matrix[:, ground, ground] = 1.0
    source[:, ground] = 0.0
    found: FloatArray = np.linalg.solve(matrix, source[:, :, None])
    return found.reshape(packs, series + 1, parallel)


def _join(matrix: FloatArray, one: IntArray, other: IntArray, conductance: FloatArray) -> None:
    """Enter conductances between pairs of nodes into a matrix under construction."""
    matrix[:, one, other] -= conductance
    matrix[:, other, one] -= conductance


def _refuse_bad_cells(
    network: PackNetwork, emf_v: FloatArray, cell_ohm: FloatArray, pack_a: FloatArray
) -> None:
    if emf_v.ndim != 3 or emf_v.shape != cell_ohm.shape or pack_a.shape != emf_v.shape[:1]:
        msg = (
            "emf_v and cell_ohm must both be (packs, series, parallel) and pack_a (packs,); "
            f"got {emf_v.shape}, {cell_ohm.shape} and {pack_a.shape}"
        )
        raise OutOfRangeError(msg)
    if not np.all(cell_ohm > 0):
        msg = f"cell_ohm must be above 0 everywhere; the least is {np.min(cell_ohm)}"
        raise OutOfRangeError(msg)
    last = emf_v.shape[2] - 1
    if max(network.negative_position, network.positive_position) > last:
        msg = f"lead positions run from 0 to {last}; got {network}"
        raise OutOfRangeError(msg)
