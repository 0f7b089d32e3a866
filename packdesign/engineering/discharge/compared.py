"""What of a log a model that is fitted to it is compared with, and at which times."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import Demand, FloatArray
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.replay import LoggedRun, log_demand
from packdesign.engineering.discharge.run import Conditions, PackModel

__all__ = ["POINTS", "Compared", "compared", "compared_s", "longest_rest_s"]

POINTS: Final = 300
"""How many times there are."""
_RELAXED: Final = 5.0
"""Time constants of rest after which every part of the model has relaxed to 1 %. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """One log as a fit sees it."""

    start: Conditions
    demand: Demand
    time_s: FloatArray
    """From the start of the log. Shape (POINTS,). [s]"""
    cell_v: FloatArray
    """Shape (POINTS,). [V]"""
    rested_v: float | None
    """Of a cell before the first load; None where the log does not begin with a rest. [V]"""
    surface_degc: FloatArray | None
    """Shape (POINTS,); None where the log has no temperature. [degC]"""


def compared(run: LoggedRun, pack: PackModel, *, longest_s: float) -> Compared:
    """Take from a log what a model is compared with.

    Parameters
    ----------
    run : LoggedRun
        The log and where it starts.
    pack : PackModel
        The pack that it was taken from.
    longest_s : float
        How much of a rest after a load counts. [s]
    """
    log = run.log
    time_s = log.time_s - log.time_s[0]
    grid_s = compared_s(time_s, log.at_rest, longest_s=longest_s)
    cell_v = np.interp(grid_s, time_s, log.voltage_v) / pack.series
    degc = log.temperature_degc
    return Compared(
        start=run.start,
        demand=log_demand(log),
        time_s=grid_s,
        cell_v=cell_v,
        rested_v=float(cell_v[0]) if log.at_rest[0] else None,
        surface_degc=None if degc is None else np.interp(grid_s, time_s, degc),
    )


def longest_rest_s(cell: CellModel, conditions: Conditions) -> float:
    """How long a rest after a load tells something that the model has. [s]

    Parameters
    ----------
    cell : CellModel
        The cell.
    conditions : Conditions
        Where the log starts.

    Notes
    -----
    What a voltage still does after that is slower than every part of the model (hysteresis, charge
    that evens out through an electrode); compared on it, a fit would take it for open-circuit
    voltage and charge.
    """
    parts = cell.relaxing_at(soc=conditions.start_soc, temperature_degc=conditions.start_degc)
    return _RELAXED * max(time_s for _, time_s in parts)


def compared_s(time_s: FloatArray, at_rest: NDArray[np.bool_], *, longest_s: float) -> FloatArray:
    """Times to compare at, evenly over everything but the later part of rests. [s]

    Parameters
    ----------
    time_s : array
        Time of the log, from 0. Shape (n,). [s]
    at_rest : array
        Whether each sample is at rest. Shape (n,).
    longest_s : float
        How much of a rest after a load counts. A rest before every load tells one voltage, and
        counts no longer than that either, nor than all that comes after it. [s]

    Returns
    -------
    array
        Shape (POINTS,).

    Examples
    --------
    >>> hour = np.array([0.0, 600.0, 1800.0, 2000.0, 3600.0])
    >>> rests = np.array([False, False, True, True, True])
    >>> float(compared_s(hour, rests, longest_s=1500.0)[-1])
    2000.0
    """
    loaded = np.flatnonzero(~at_rest)
    since = np.searchsorted(loaded, np.arange(len(time_s)), side="right") - 1
    loaded_s = np.where(since >= 0, time_s[loaded[np.maximum(since, 0)]], time_s)
    counts = time_s[1:] - loaded_s[1:] <= longest_s
    if loaded.size:
        first_s = time_s[loaded[0]]
        counts &= time_s[1:] >= first_s - min(longest_s, time_s[-1] - first_s)
    counted_s = np.concatenate([[0.0], np.cumsum(np.diff(time_s) * counts)])
    wanted_s = np.linspace(0.0, counted_s[-1], POINTS)
    after = np.clip(np.searchsorted(counted_s, wanted_s), 1, len(time_s) - 1)
    back_s = counted_s[after] - wanted_s
    return np.asarray(time_s[after] - back_s)
