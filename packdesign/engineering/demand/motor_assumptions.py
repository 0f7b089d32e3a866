"""What is taken for a small motor where nobody says, low, middle and high, and why."""

from __future__ import annotations

from typing import Final

__all__ = [
    "ASSUMED_GEAR_FRACTION",
    "ASSUMED_NO_LOAD_RPM",
    "ASSUMED_NO_LOAD_SHARE",
    "ASSUMED_STALL_A",
    "CONTROLLER_DROP_SHARE",
    "LOCKED_SPREAD_FRACTION",
    "OHMMETER_LOW_SHARE",
]

LOCKED_SPREAD_FRACTION: Final = 0.1
"""Brush drop and a warm winding in a locked-rotor reading (chosen here, no source)."""
OHMMETER_LOW_SHARE: Final = 0.75
"""The brushes' share in the lowest ohmmeter reading may be a quarter of it (chosen here)."""
ASSUMED_NO_LOAD_RPM: Final = (5_000.0, 10_000.0, 20_000.0)
"""No-load speed of a small brushed motor at its voltage, at its own shaft: the makers' sheets
among the check values run from 9 500 to 24 000 rpm (low end widened, chosen here)."""
ASSUMED_NO_LOAD_SHARE: Final = (0.01, 0.04, 0.15)
"""No-load current as a share of the stall current: 0.5 to 14 % over the makers' sheets among the
check values (rounded here)."""
ASSUMED_STALL_A: Final = (0.35, 2.0, 10.0)
"""Stall current of a hobby motor of 3 to 12 V: 0.36 to 10 A over the sellers' sheets among the
check values (middle chosen here)."""
ASSUMED_GEAR_FRACTION: Final = (0.4, 0.65, 0.9)
"""Efficiency of a small gear of unknown make (chosen here; the sheets' stall torques imply 0.38 to
0.84)."""
CONTROLLER_DROP_SHARE: Final = (0.04, 0.10, 0.20)
"""Share of the voltage lost in a brushless motor at its largest current (chosen here)."""
