"""Physical constants, taken from scipy (CODATA), and exact conversions. Nothing typed by hand."""

from __future__ import annotations

from typing import Final

from scipy import constants

__all__ = [
    "SECONDS_PER_DAY",
    "SECONDS_PER_HOUR",
    "SECONDS_PER_MINUTE",
    "SECONDS_PER_YEAR",
    "STANDARD_GRAVITY_M_PER_S2",
    "STEFAN_BOLTZMANN_W_PER_M2_K4",
    "ZERO_CELSIUS_K",
]

ZERO_CELSIUS_K: Final = float(constants.zero_Celsius)
SECONDS_PER_MINUTE: Final = float(constants.minute)
SECONDS_PER_HOUR: Final = float(constants.hour)
SECONDS_PER_DAY: Final = float(constants.day)
SECONDS_PER_YEAR: Final = float(constants.Julian_year)
STEFAN_BOLTZMANN_W_PER_M2_K4: Final = float(constants.Stefan_Boltzmann)
STANDARD_GRAVITY_M_PER_S2: Final = float(constants.g)
