"""When the device stops by itself, which is before its pack is empty."""

from __future__ import annotations

import numpy as np

from packdesign.engineering.discharge.run import Trace
from packdesign.planning.gauge.service import Gauge

__all__ = ["own_stop_s"]


def own_stop_s(trace: Trace, gauge: Gauge) -> float | None:
    """Time from the start until the charge of the device's own stop is reached. [s]

    Parameters
    ----------
    trace : Trace
        The likely run.
    gauge : Gauge
        Voltages at which the device acts, and the charge left at each.

    Returns
    -------
    float or None
        None where the run ends before it.

    Notes
    -----
    By charge, not by voltage: a start that sags under the stop is waited for by its hold time.
    """
    left = gauge.thresholds.stop.soc_fraction
    if float(np.min(trace.soc)) > left:
        return None
    falling = np.minimum.accumulate(trace.soc)
    return float(np.interp(-left, -falling, trace.time_s))
