"""Where the tables of a cell's model stand: states of charge and temperatures, for all the same."""

from __future__ import annotations

from typing import Final

import numpy as np

from packdesign.engineering.demand.profile import FloatArray

__all__ = ["OCV_NODES", "READ_AT_DEGC", "SOC_GRID", "TEMPERATURE_GRID_DEGC"]

READ_AT_DEGC: Final = 25.0
"""Temperature for which sheets give capacity and resistance. [degC]"""
SOC_GRID: Final[FloatArray] = np.linspace(0.0, 1.0, 401)
"""States of charge at which every table of a model stands. [-]"""
TEMPERATURE_GRID_DEGC: Final[FloatArray] = np.linspace(-30.0, 120.0, 151)
"""Cell temperatures at which every table of a model stands. [degC]"""

OCV_NODES: Final = (0.0, 0.1, 0.2, 0.4, 0.7, 1.0)
"""States of charge at which a log moves the open-circuit voltage, straight lines between: close
where published curves differ most, so that each is held by what the curves differ by there. [-]"""
