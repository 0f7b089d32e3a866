"""Where the heat settles if the device is used on and on, one pack after the other."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from packdesign.engineering.discharge.run import Trace
from packdesign.engineering.thermal.steady import HeatCycle, settled_cycle, time_until_cell_s
from packdesign.planning.assess.design import PackDesign

__all__ = ["SteadyHeat", "steady_heat"]

_PERIOD_S: Final = 60.0
_SETTLED_FRACTION: Final = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class SteadyHeat:
    """Temperatures of the middle cell and of the surface when nothing gets warmer any more."""

    heat_w: float
    """Heat of one cell, mean over the run with its rests. [W]"""
    cell_degc: float
    surface_degc: float
    settles_after_s: float
    """Time until all but 5 % of the rise is there. [s]"""
    cell_limit_after_s: float | None
    """Time until the cell reaches its highest discharge temperature; None: it never does. [s]"""


def steady_heat(design: PackDesign, trace: Trace, *, ambient_degc: float) -> SteadyHeat | None:
    """Find where the temperatures of a pack would settle at the mean heat of a run.

    Parameters
    ----------
    design : PackDesign
        The pack.
    trace : Trace
        One run of it, rests included.
    ambient_degc : float
        Air around it. [degC]

    Returns
    -------
    SteadyHeat or None
        None where the run has no length.

    Notes
    -----
    What left the surface and what stayed in cell and surface is the heat made: a balance over the
    run, so it does not matter how finely the currents of the trace are drawn.
    """
    run_s = float(trace.time_s[-1] - trace.time_s[0])
    if run_s <= 0:
        return None
    path, cell = design.model.thermal, design.model.cell
    gone_j = float(np.trapezoid(path.loss_w(trace.surface_degc - ambient_degc), trace.time_s))
    kept_j = cell.heat_capacity_j_per_k * float(trace.cell_degc[-1] - trace.cell_degc[0])
    kept_j += path.surface_j_per_k * float(trace.surface_degc[-1] - trace.surface_degc[0])
    heat_w = max((gone_j + kept_j) / run_s, 0.0)
    cycle = HeatCycle(
        duration_s=np.array([_PERIOD_S]),
        heat_w=np.array([heat_w]),
        cell_j_per_k=cell.heat_capacity_j_per_k,
        path=path,
        ambient_degc=ambient_degc,
    )
    settled = settled_cycle(cycle)
    limit_degc = design.cell.discharge_max_degc
    after_s = math.inf
    if limit_degc is not None and settled.highest_cell_degc > limit_degc:
        after_s = time_until_cell_s(cycle, limit_degc=limit_degc)
    return SteadyHeat(
        heat_w=heat_w,
        cell_degc=settled.highest_cell_degc,
        surface_degc=settled.highest_surface_degc,
        settles_after_s=-math.log(1.0 - _SETTLED_FRACTION) * settled.slowest_time_s,
        cell_limit_after_s=after_s if math.isfinite(after_s) else None,
    )
