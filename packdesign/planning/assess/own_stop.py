"""When the device stops by itself, which is before its pack is empty."""

from __future__ import annotations

import numpy as np

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.run import Trace
from packdesign.planning.gauge.service import Gauge

__all__ = ["held_below_s", "own_stop_s"]

_STOPPING = ("stop", "hard_cut")
_MILLI = 1e-3
_ROUNDING_V = 1e-9


def own_stop_s(trace: Trace, gauge: Gauge) -> float | None:
    """Time from the start until the device acts on its stop or its hard cut. [s]

    Parameters
    ----------
    trace : Trace
        The likely run.
    gauge : Gauge
        What the firmware is given: counts, and how long the reading must stay below them.

    Returns
    -------
    float or None
        None where the run ends before it.

    Notes
    -----
    For a device that reads true. What the firmware takes off starts below its limit is not in the
    run.
    """
    acts = [
        held_below_s(
            trace.time_s, trace.voltage_v, below_v=each.acts_v, hold_s=each.hold_ms * _MILLI
        )
        for each in gauge.firmware
        if each.name in _STOPPING
    ]
    return min((at_s for at_s in acts if at_s is not None), default=None)


def held_below_s(
    time_s: FloatArray, voltage_v: FloatArray, *, below_v: float, hold_s: float
) -> float | None:
    """Time at which a voltage has stayed below a threshold for long enough. [s]

    Parameters
    ----------
    time_s, voltage_v : array
        A run, straight between its points; two points at one time are a step. Shape (n,).
    below_v : float
        The threshold. [V]
    hold_s : float
        How long. [s]

    Returns
    -------
    float or None
        None where it never does. Where a run leaves uses out, no nearer than those that it shows.

    Examples
    --------
    A dip of one second does not count, the fall to 5 V does:

    >>> time_s = np.array([0.0, 10.0, 10.0, 11.0, 11.0, 20.0, 30.0])
    >>> voltage_v = np.array([8.0, 8.0, 4.0, 4.0, 8.0, 7.0, 5.0])
    >>> held_below_s(time_s, voltage_v, below_v=6.0, hold_s=2.0)
    27.0
    """
    # Two points at one time may stand a rounding the wrong way round.
    in_order_s = np.maximum.accumulate(time_s)
    time_s, voltage_v = _with_crossings(in_order_s, voltage_v, at_v=below_v)
    begins = time_s[time_s <= time_s[-1] - hold_s]
    if not begins.size:
        return None
    last = np.searchsorted(time_s, begins + hold_s, side="right")
    at_end = np.interp(begins + hold_s, time_s, voltage_v)
    highest = np.array(
        [
            max(float(voltage_v[first:end].max()), float(end_v))
            for first, (end, end_v) in enumerate(zip(last.tolist(), at_end, strict=True))
        ]
    )
    held = np.flatnonzero(highest <= below_v + _ROUNDING_V)
    return float(begins[held[0]]) + hold_s if held.size else None


def _with_crossings(
    time_s: FloatArray, voltage_v: FloatArray, *, at_v: float
) -> tuple[FloatArray, FloatArray]:
    """Add the points at which a run falls through a voltage."""
    high, low = voltage_v[:-1], voltage_v[1:]
    falls = np.flatnonzero((high > at_v) & (low < at_v) & (np.diff(time_s) > 0))
    share = (high[falls] - at_v) / (high[falls] - low[falls])
    crossed_s = time_s[falls] + share * np.diff(time_s)[falls]
    return np.insert(time_s, falls + 1, crossed_s), np.insert(voltage_v, falls + 1, at_v)
