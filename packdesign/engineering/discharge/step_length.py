"""How long the next step of packs that run side by side may be.

A run asks for little: what a step moves must be so little that its middle stands for all of it. A
trace asks for more, because it is read along straight lines between its points: close points after
a jump of the demand, where the open-circuit voltage bends, and where the cells warm quickly.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.batch import Batch
from packdesign.engineering.discharge.moment import Moment, State

__all__ = ["step_length_s"]

_LARGEST_SOC_STEP: Final = 0.005
"""Most charge a step may move, so that the middle of the step stands for all of it. [-]"""
_SMALL_SOC_STEP: Final = 0.001
"""The same where the open-circuit voltage falls away, and for a trace where it bends. [-]"""
_NEAR_EMPTY: Final = 0.12
"""State of charge at the surface below which the smaller step holds. [-]"""
_NEAR_FULL: Final = (0.97, 1.01)
"""State of charge at the surface between which it holds for a trace: tables bend at 98 %, and go
straight on beyond full. [-]"""
_SMALLEST_SOC_STEP: Final = 0.0003
"""The same for a trace where the curve falls steepest: that of an LFP cell by 40 V for the whole
charge, where others fall by 7. [-]"""
_STEEPEST: Final = (-0.01, 0.035)
"""State of charge at the surface between which that holds; below, the curve is straight. [-]"""
_LARGEST_COOLING_STEP: Final = 0.25
"""Longest step, as a share of the time in which a pack cools, where the loss to the air grows with
the rise: it is taken at the middle of the step. [-]"""
_NO_RISE_K: Final = 0.5
"""Surface so near to the air that the growth no longer matters. [K]"""
_LARGEST_TRACED_RISE_K: Final = 0.5
"""Most a cell warms between two points of a trace: its resistance bends at 0 degC. [K]"""
_CHORD_V: Final = 0.001
"""How far the drop over an RC element may bend away from a straight line between two points. [V]"""
_USUAL_SLOPE_V: Final = 1.0
"""Slope of the open-circuit voltage over the whole charge, by which the lag of the surface counts
there; where it is steeper the steps in charge are small. [V]"""
_LONG_PIECE_S: Final = 60.0
_TRACE_POINTS: Final = 12
"""Fewest steps that a watched piece longer than that is made of."""
_MOST_WARM_POINTS: Final = 400
"""Most steps for warmth alone, of a piece or until the whole charge is gone: a load beyond any pack
warms it without end."""


def step_length_s(
    batch: Batch,
    begin: Moment,
    state: State,
    *,
    piece_s: float,
    left_s: float,
    watched: bool,
) -> float:
    """Length of the next step: all that is left, or an even share of it that moves less. [s]

    Parameters
    ----------
    batch : Batch
        The n packs.
    begin : Moment
        Their terminals at that moment.
    state : State
        Where they are.
    piece_s, left_s : float
        Length of the piece, and what is left of it. [s]
    watched : bool
        Whether a trace is kept.
    """
    moved = np.abs(begin.current_a) / (batch.parallel * batch.capacity_as)
    largest = np.where(begin.surface < _NEAR_EMPTY, _SMALL_SOC_STEP, _LARGEST_SOC_STEP)
    if watched:
        largest = np.where(_between(begin.surface, _NEAR_FULL), _SMALL_SOC_STEP, largest)
        largest = np.where(_between(begin.surface, _STEEPEST), _SMALLEST_SOC_STEP, largest)
    share = float(np.max(moved / largest)) * left_s
    share = max(share, left_s * _cooling_rate(batch, state.surface_degc) / _LARGEST_COOLING_STEP)
    if watched:
        share = max(share, left_s / _traced_s(batch, begin, state, piece_s=piece_s))
    return left_s / max(1, int(np.ceil(share - 1e-9)))


def _between(figure: FloatArray, ends: tuple[float, float]) -> NDArray[np.bool_]:
    return (figure > ends[0]) & (figure < ends[1])


def _traced_s(batch: Batch, begin: Moment, state: State, *, piece_s: float) -> float:
    """Longest step of a trace. [s]"""
    cell_a = begin.current_a / batch.parallel
    longest_s = _straight_s(batch, begin, state, cell_a)
    if piece_s > _LONG_PIECE_S:
        longest_s = min(longest_s, piece_s / _TRACE_POINTS)
    drop_v = begin.instant_ohm * cell_a + state.fast_v + state.slow_v + begin.lag_v
    warming_k_per_s = float(np.max(np.abs(cell_a * drop_v) / batch.cell_j_per_k))
    traced_s = _LARGEST_TRACED_RISE_K / max(warming_k_per_s, 1e-9)
    emptied_s = float(np.min(batch.capacity_as / np.maximum(np.abs(cell_a), 1e-9)))
    return min(longest_s, max(traced_s, min(piece_s, emptied_s) / _MOST_WARM_POINTS))


def _straight_s(batch: Batch, begin: Moment, state: State, cell_a: FloatArray) -> float:
    """Longest step over which what relaxes stays near a straight line. [s]

    A departure D that goes with a time constant bends away from its chord over a step h by
    D (h / time constant)^2 / 8 at most.
    """
    rc_a = begin.rc_factor * cell_a
    lag = batch.lag_per_a * begin.solid_factor * cell_a - state.lag
    departures = (
        (batch.fast_ohm * rc_a - state.fast_v, batch.fast_s),
        (batch.slow_ohm * rc_a - state.slow_v, batch.slow_s * begin.slow_time_factor),
        (_USUAL_SLOPE_V * lag, batch.lag_s * begin.solid_factor),
    )
    return min(
        float(np.min(time_s * np.sqrt(8.0 * _CHORD_V / np.maximum(np.abs(gone_v), 1e-9))))
        for gone_v, time_s in departures
    )


def _cooling_rate(batch: Batch, surface_degc: FloatArray) -> float:
    """One over the time in which the quickest pack cools, of those whose loss grows. [1/s]"""
    grows = batch.buoyant_fraction * (np.abs(surface_degc - batch.ambient_degc) > _NO_RISE_K) > 0
    if not grows.any():
        return 0.0
    mass_j_per_k = batch.cell_j_per_k + batch.surface_j_per_k
    return float(np.max(np.where(grows, batch.surface_to_air_w_per_k / mass_j_per_k, 0.0)))
