r"""The map that one cycle of a demand makes of a pack's state, applied many times at once.

Over one cycle the RC drops, the lag of the surface and the temperatures go through a linear map,
because their decay over the period is known exactly (that of the temperatures about where they are,
for the loss to the air grows with the rise); what the cycle adds is read from one run of it:

.. math:: x_{k} = x^* + A^k (x_0 - x^*), \qquad (1 - A) x^* = x_1 - A x_0.

So a block of cycles may be long against the time constants. What a cycle adds changes along a
block; it is taken to change evenly from the cycle at its start to the one after its end.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.batch import Batch
from packdesign.engineering.discharge.cycle_sweep import Swept
from packdesign.engineering.discharge.moment import State, inside
from packdesign.engineering.discharge.step import decays
from packdesign.engineering.thermal.path import loss_slope_share
from packdesign.engineering.thermal.two_node import TwoNodeDecay

__all__ = ["block_sums", "carried"]


def carried(
    batch: Batch, start: State, *, swept: Swept, at: NDArray[np.intp], period_s: float
) -> State:
    """Carry packs from knot to knot, each block of cycles adding what those at its ends add.

    Parameters
    ----------
    batch : Batch
        The n packs.
    start : State
        Where they are at the first knot. Arrays of shape (n,).
    swept : Swept
        The cycle at each knot, as it was run from where the pack was thought to be there.
    at : array
        Cycles before each knot. Shape (knots, n). [-]
    period_s : float
        Length of a cycle. [s]

    Returns
    -------
    State
        Where they are at each knot. Arrays of shape (knots, n).

    Notes
    -----
    A cycle in which a limit was met stands for nothing; the last whole one is taken for it.
    """
    begin, end = swept.begin, swept.end
    by_knot = _cooling_as_at(batch, begin.surface_degc)
    one = decays(by_knot, np.asarray(period_s))
    cell_star, surface_star = _settled_heat(begin, end, one.heat)
    within = inside(batch, begin)
    slow_s, lag_s = batch.slow_s * within.slow_time_factor, batch.lag_s * within.solid_factor
    read = np.stack(
        [
            end.soc - begin.soc,
            _settled(begin.fast_v, end.fast_v, one.fast_gone),
            _settled(begin.slow_v, end.slow_v, -np.expm1(-period_s / slow_s)),
            _settled(begin.lag, end.lag, -np.expm1(-period_s / lag_s)),
            cell_star,
            surface_star,
            slow_s,
            lag_s,
        ]
    )
    read = np.take_along_axis(read, _last_whole(swept.broken)[None], axis=1)
    cycles = np.diff(at, axis=0)
    soc_by, fast, slow, lag, cell, surface, slow_s, lag_s = _mean_over_blocks(read, cycles)
    w_per_k = by_knot.surface_to_air_w_per_k
    by_block = replace(by_knot, surface_to_air_w_per_k=(w_per_k[:-1] + w_per_k[1:]) / 2)
    many = decays(by_block, cycles * period_s)
    relaxes_to = np.stack([fast, slow, lag])
    kept = np.exp(-cycles * period_s / np.stack([slow_s, lag_s]))
    kept = np.concatenate([1.0 - many.fast_gone[None], kept])
    heat = many.heat
    soc, relaxing = np.empty(at.shape), np.empty((3, *at.shape))
    degc = np.empty((2, *at.shape))
    soc[0], relaxing[:, 0] = start.soc, (start.fast_v, start.slow_v, start.lag)
    degc[:, 0] = start.cell_degc, start.surface_degc
    soc[1:] = start.soc + np.cumsum(cycles * soc_by, axis=0)
    for k in range(len(cycles)):
        off = relaxing[:, k] - relaxes_to[:, k]
        relaxing[:, k + 1] = relaxes_to[:, k] + off * kept[:, k]
        off_cell, off_surface = degc[0, k] - cell[k], degc[1, k] - surface[k]
        degc[0, k + 1] = (
            cell[k] + heat.cell_from_cell[k] * off_cell + heat.cell_from_surface[k] * off_surface
        )
        degc[1, k + 1] = (
            surface[k]
            + heat.surface_from_cell[k] * off_cell
            + heat.surface_from_surface[k] * off_surface
        )
    fast_v, slow_v, surface_lag = relaxing
    return State(
        soc=soc,
        fast_v=fast_v,
        slow_v=slow_v,
        lag=surface_lag,
        cell_degc=degc[0],
        surface_degc=degc[1],
    )


def block_sums(swept: Swept, at: NDArray[np.intp]) -> FloatArray:
    """What every block of cycles adds up to, from the cycles at its ends.

    Parameters
    ----------
    swept : Swept
        The cycle at each knot; the last whole one is taken for a broken one.
    at : array
        Cycles before each knot. Shape (knots, n). [-]

    Returns
    -------
    array
        Rows as ``swept.sums``. Shape (3, knots - 1, n).
    """
    whole = np.take_along_axis(swept.sums, _last_whole(swept.broken)[None], axis=1)
    cycles = np.diff(at, axis=0)
    return cycles * _mean_over_blocks(whole, cycles)


def _mean_over_blocks(read: FloatArray, cycles: NDArray[np.intp]) -> FloatArray:
    """Mean over the cycles of each block; of a block of one, that cycle."""
    weight = np.maximum(cycles - 1, 0) / (2 * np.maximum(cycles, 1))
    return np.asarray(read[:, :-1] + weight * (read[:, 1:] - read[:, :-1]))


def _cooling_as_at(batch: Batch, surface_degc: FloatArray) -> Batch:
    """Take the loss to the air as linear about the surfaces at the knots. Shape (knots, n)."""
    slope = loss_slope_share(batch.buoyant_fraction, surface_degc - batch.ambient_degc)
    return replace(batch, surface_to_air_w_per_k=batch.surface_to_air_w_per_k * slope)


def _last_whole(broken: NDArray[np.bool_]) -> NDArray[np.intp]:
    """Place of the last unbroken cycle at or before each knot; the first where there is none."""
    places = np.arange(len(broken))[:, None]
    return np.maximum.accumulate(np.where(broken, 0, places), axis=0)


def _settled(begin: FloatArray, end: FloatArray, gone: FloatArray) -> FloatArray:
    """Where a decaying quantity would settle if each cycle added what this one did."""
    return begin + (end - begin) / np.maximum(gone, 1e-12)


def _settled_heat(begin: State, end: State, heat: TwoNodeDecay) -> tuple[FloatArray, FloatArray]:
    """Where both temperatures would settle if each cycle heated as this one did."""
    rise_cell = end.cell_degc - begin.cell_degc
    rise_surface = end.surface_degc - begin.surface_degc
    a, b = 1.0 - heat.cell_from_cell, -heat.cell_from_surface
    c, d = -heat.surface_from_cell, 1.0 - heat.surface_from_surface
    determinant = np.maximum(a * d - b * c, 1e-15)
    cell = begin.cell_degc + (d * rise_cell - b * rise_surface) / determinant
    surface = begin.surface_degc + (a * rise_surface - c * rise_cell) / determinant
    return cell, surface
