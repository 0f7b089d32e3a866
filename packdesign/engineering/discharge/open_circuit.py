"""The open-circuit voltage over charge, also beyond the ends at which its table stops."""

from __future__ import annotations

from typing import Final

import numpy as np

from packdesign.engineering.demand.profile import FloatArray

__all__ = ["end_slopes_v", "extended_v"]

_END_SOC: Final = 0.05
"""Charge at either end with whose slope the curve goes on. [-]"""


def end_slopes_v(soc: FloatArray, ocv_v: FloatArray) -> tuple[float, float]:
    """Slopes with which an open-circuit voltage goes on below empty and beyond full. [V]

    Parameters
    ----------
    soc, ocv_v : array
        The curve from 0 to 1, rising. Shape (n,). [-], [V]

    Returns
    -------
    tuple of float
        Those of its first and of its last 5 %.

    Notes
    -----
    Full is where a cell is when its sheet ends the charge; a smaller end current puts in a little
    more. And the surface of the particles runs empty before their mean does.
    """
    low_v, high_v = np.interp([_END_SOC, 1.0 - _END_SOC], soc, ocv_v)
    return float(low_v - ocv_v[0]) / _END_SOC, float(ocv_v[-1] - high_v) / _END_SOC


def extended_v(soc: FloatArray, ocv_v: FloatArray, *, at: FloatArray) -> FloatArray:
    """Open-circuit voltage, beyond the ends of its table too. [V]

    Parameters
    ----------
    soc, ocv_v : array
        The curve from 0 to 1, rising. Shape (n,). [-], [V]
    at : array
        Where. Shape (m,) or (). [-]

    Examples
    --------
    >>> line = np.array([0.0, 1.0])
    >>> extended_v(line, 3.0 + line, at=np.array([-0.1, 0.5, 1.1])).round(6).tolist()
    [2.9, 3.5, 4.1]
    """
    below_v, above_v = end_slopes_v(soc, ocv_v)
    beyond_v = below_v * np.minimum(at, 0.0) + above_v * np.maximum(at - 1.0, 0.0)
    return np.asarray(np.interp(at, soc, ocv_v) + beyond_v)
