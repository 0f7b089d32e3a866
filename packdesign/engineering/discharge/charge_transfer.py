"""How the charge-transfer resistance of a cell falls with current, as Butler and Volmer say."""

from __future__ import annotations

from typing import Final

import numpy as np
from scipy import constants

from packdesign.engineering.demand.profile import FloatArray

__all__ = ["LEAST_TRANSFER_OHM", "TRANSFER_SCALE", "asinh_share", "thermal_voltage_v"]

TRANSFER_SCALE: Final = 4.0
"""Scale of charge transfer in units of RT/F: 2 for each of the two electrodes in series. [-]"""
LEAST_TRANSFER_OHM: Final = 1e-12
"""Charge transfer is held at this: no resistance is negative, whatever the tables. [ohm]"""
_THERMAL_V_PER_K: Final = TRANSFER_SCALE * constants.R / (constants.N_A * constants.e)


def thermal_voltage_v(temperature_degc: FloatArray | float) -> FloatArray:
    r"""Scale on which charge transfer stops being linear, :math:`4RT/F`. [V]

    Parameters
    ----------
    temperature_degc : float or array
        Temperature of the electrode. [degC]

    Notes
    -----
    The symmetric Butler-Volmer equation, :math:`I = 2 I_0 \sinh(F\eta/2RT)`, any text on
    electrochemistry, holds at each of the two electrodes. Both carry the same current and, which of
    them resists more being unknown from a sheet, are taken to share the drop equally. Published
    physics sets stand between this and one electrode alone.

    Examples
    --------
    >>> round(float(thermal_voltage_v(25.0)) * 1000, 1)
    102.8
    """
    kelvin = np.asarray(temperature_degc, dtype=float) + constants.zero_Celsius
    return np.asarray(_THERMAL_V_PER_K * kelvin)


def asinh_share(reduced: FloatArray) -> FloatArray:
    r"""Share of the small-current resistance that is left at a larger current. [-]

    Parameters
    ----------
    reduced : array
        Small-current drop over ``thermal_voltage_v``, 0 or more. [-]

    Notes
    -----
    :math:`\operatorname{asinh}(x)/x`, the symmetric Butler-Volmer equation solved for the drop.

    Examples
    --------
    >>> asinh_share(np.array([0.0, 1.0])).round(4).tolist()
    [1.0, 0.8814]
    """
    safe = np.maximum(reduced, 1e-9)
    return np.asarray(np.arcsinh(safe) / safe)
