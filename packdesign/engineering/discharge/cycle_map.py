r"""The map that one cycle of a demand makes of a pack's state, applied many times at once.

Over one cycle the RC drops and the temperatures go through a linear map, because their decay over
the period is known exactly; what the cycle adds is read from one run of it:

.. math:: x_{k} = x^* + A^k (x_0 - x^*), \qquad (1 - A) x^* = x_1 - A x_0.

So a block of cycles may be long against the time constants.
"""

from __future__ import annotations

import numpy as np

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.batch import Batch
from packdesign.engineering.discharge.moment import State, inside
from packdesign.engineering.discharge.step import decays
from packdesign.engineering.thermal.two_node import TwoNodeDecay

__all__ = ["after_cycles"]


def after_cycles(
    batch: Batch, start: State, *, begin: State, end: State, period_s: float, cycles: float
) -> State:
    """Carry packs over many cycles, each adding what one cycle added.

    Parameters
    ----------
    batch : Batch
        The n packs.
    start : State
        Where they are.
    begin, end : State
        Both ends of the one cycle that was run.
    period_s : float
        Its length. [s]
    cycles : float
        How many cycles; need not be whole. [-]
    """
    one = decays(batch, np.asarray(period_s))
    many = decays(batch, np.asarray(cycles * period_s))
    fast = _settled(begin.fast_v, end.fast_v, one.fast_gone)
    constant_s = batch.slow_s * inside(batch, begin).slow_time_factor
    slow = _settled(begin.slow_v, end.slow_v, -np.expm1(-period_s / constant_s))
    slow_gone = -np.expm1(-cycles * period_s / constant_s)
    cell, surface = _settled_heat(begin, end, one.heat)
    off_cell, off_surface = start.cell_degc - cell, start.surface_degc - surface
    heat = many.heat
    return State(
        soc=start.soc + cycles * (end.soc - begin.soc),
        fast_v=start.fast_v + (fast - start.fast_v) * many.fast_gone,
        slow_v=start.slow_v + (slow - start.slow_v) * slow_gone,
        cell_degc=cell + heat.cell_from_cell * off_cell + heat.cell_from_surface * off_surface,
        surface_degc=surface
        + heat.surface_from_cell * off_cell
        + heat.surface_from_surface * off_surface,
    )


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
