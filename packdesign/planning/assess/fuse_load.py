"""What runs through the fuse when it is the most: the work of a pack that is nearly empty."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from packdesign.engineering.demand.profile import Demand, FloatArray
from packdesign.engineering.demand.worst_window import worst_window_rms_a
from packdesign.engineering.discharge.run import Trace
from packdesign.engineering.electrical.fuse_hold import FUSE_SETTLES_S
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome

__all__ = ["FuseLoad", "fuse_load"]

_ROUNDS: Final = 40
_LOOKS: Final = 6
"""Moments in the last minutes at which the work is taken. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseLoad:
    """Pieces of constant current, one after the other, where they are largest."""

    duration_s: FloatArray
    current_a: FloatArray
    repeats: bool
    steady_a: float
    """Rms current of the hardest stretch in which the fuse warms up. [A]"""

    @property
    def largest_a(self) -> float:
        """Largest current that lasts. [A]"""
        return float(np.max(self.current_a))


def fuse_load(
    design: PackDesign,
    demand: Demand,
    outcome: DischargeOutcome,
    *,
    own_stop_s: float | None = None,
    settles_s: float = FUSE_SETTLES_S,
) -> FuseLoad:
    """Give the currents of the work where they are largest.

    Parameters
    ----------
    design : PackDesign
        The pack.
    demand : Demand
        What is asked of it; what asks for watts draws the more the lower the voltage.
    outcome : DischargeOutcome
        What it does.
    own_stop_s : float or None
        When the device stops by itself; None: not before the pack. [s]
    settles_s : float
        Time in which the fuse warms up. [s]

    Notes
    -----
    Work that repeats is taken with the charge that is left at its end, each piece at the voltage
    that it itself leaves, and its steady current over the last minutes before. Work that does
    not repeat is taken at the lowest voltage that the likely run has in each piece.
    """
    trace = outcome.trace
    if not demand.repeats:
        current_a = _current_a(demand, _as_run_v(demand, trace))
        return FuseLoad(
            duration_s=demand.duration_s,
            current_a=current_a,
            repeats=False,
            steady_a=worst_window_rms_a(
                duration_s=demand.duration_s, current_a=current_a, at_least_s=settles_s
            ),
        )
    end_s = float(trace.time_s[-1])
    if own_stop_s is not None:
        end_s = min(end_s, own_stop_s)
    lasts_s = min(settles_s, end_s - float(trace.time_s[0]))
    squares = [
        worst_window_rms_a(
            duration_s=demand.duration_s,
            current_a=_current_a(demand, _near_empty_v(design, demand, trace, at_s=at_s)),
            at_least_s=settles_s,
            repeats=True,
        )
        ** 2
        for at_s in end_s - lasts_s * (np.arange(_LOOKS) + 0.5) / _LOOKS
    ]
    return FuseLoad(
        duration_s=demand.duration_s,
        current_a=_current_a(demand, _near_empty_v(design, demand, trace, at_s=end_s)),
        repeats=True,
        steady_a=float(np.sqrt(np.mean(squares))),
    )


def _current_a(demand: Demand, voltage_v: FloatArray) -> FloatArray:
    return np.maximum(demand.current_at_a(voltage_v=voltage_v), 0.0)


def _near_empty_v(design: PackDesign, demand: Demand, trace: Trace, *, at_s: float) -> FloatArray:
    """Settled voltage of each piece with the charge that is left at a time of the run. [V]"""
    at = max(int(np.searchsorted(trace.time_s, at_s, side="right")) - 1, 0)
    lowest_v = float(np.min(trace.voltage_v[: at + 1]))
    left = design.source(
        soc=max(float(np.interp(at_s, trace.time_s, trace.soc)), 0.0),
        temperature_degc=float(trace.cell_degc[at]),
        current_a=max(float(trace.current_a[at]), 0.0),
    )
    ohm = left.instant_ohm + sum(left.rc_ohm)
    voltage_v = np.full(demand.power_w.shape, max(left.open_circuit_v, lowest_v))
    for _ in range(_ROUNDS):
        taken_v = ohm * demand.current_at_a(voltage_v=voltage_v)
        voltage_v = np.maximum(left.open_circuit_v - taken_v, lowest_v)
    return voltage_v


def _as_run_v(demand: Demand, trace: Trace) -> FloatArray:
    """Lowest voltage of the run within each piece; after its end the last. [V]"""
    begins_s = np.concatenate([[0.0], np.cumsum(demand.duration_s)[:-1]])
    first = np.searchsorted(trace.time_s, begins_s, side="left")
    reached = np.minimum(first, len(trace.time_s) - 1)
    return np.asarray(np.minimum.reduceat(trace.voltage_v, reached))
