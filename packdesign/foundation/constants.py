"""Physical constants, taken from scipy (CODATA), and exact conversions. Nothing typed by hand."""

from __future__ import annotations

from typing import Final

from scipy import constants

__all__ = [
    "SECONDS_PER_HOUR",
    "STANDARD_GRAVITY_M_PER_S2",
    "STEFAN_BOLTZMANN_W_PER_M2_K4",
    "ZERO_CELSIUS_K",
]

ZERO_CELSIUS_K: Final = float(constants.zero_Celsius)
SECONDS_PER_HOUR: Final = float(constants.hour)
STEFAN_BOLTZMANN_W_PER_M2_K4: Final = float(constants.Stefan_Boltzmann)
STANDARD_GRAVITY_M_PER_S2: Final = float(constants.g)
