"""How a part of a cell follows temperature by one activation energy."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike
from scipy import constants

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.nodes import READ_AT_DEGC

__all__ = ["arrhenius_factor"]


def arrhenius_factor(j_per_mol: ArrayLike, degc: ArrayLike) -> FloatArray:
    r"""Give a resistance relative to that at 25 degC, where sheets read it. [-]

    Parameters
    ----------
    j_per_mol : float or array
        Activation energy; above 0 the resistance falls with warmth. Shape () or (n,). [J/mol]
    degc : float or array
        Temperature. Shape () or (n,). [degC]

    Notes
    -----
    .. math:: r = \exp\left(\frac{E}{R} \left(\frac{1}{T} - \frac{1}{T_0}\right)\right)

    Examples
    --------
    >>> arrhenius_factor(17000.0, [0.0, 25.0, 45.0]).round(2).tolist()
    [1.87, 1.0, 0.65]
    """
    per_kelvin = 1.0 / (np.asarray(degc, dtype=float) + constants.zero_Celsius)
    apart = per_kelvin - 1.0 / (READ_AT_DEGC + constants.zero_Celsius)
    return np.asarray(np.exp(np.asarray(j_per_mol, dtype=float) / constants.R * apart))
