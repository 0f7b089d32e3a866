"""Loads that many tests put on a cell."""

from __future__ import annotations

import numpy as np

from packdesign.engineering.demand.profile import Demand


def hold(current_a: float, *, duration_s: float = 36_000.0) -> Demand:
    """Draw one current, once."""
    return Demand(
        duration_s=np.array([duration_s]),
        current_a=np.array([current_a]),
        power_w=np.zeros(1),
        label=("hold",),
        repeats=False,
    )
