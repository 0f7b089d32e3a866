"""One step of many packs at once.

A step has a constant demand and any length. The RC elements, the lag of the surface and the two
heat nodes are carried over it by exact exponentials; what drifts with charge (open-circuit voltage,
resistance) or warmth (the draught of the surface) is taken at the middle of the step, which makes
the step second order in its length.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import constants

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.batch import Batch
from packdesign.engineering.discharge.moment import Moment, State, inside, moment
from packdesign.engineering.thermal.path import loss_share
from packdesign.engineering.thermal.two_node import (
    TwoNodeDecay,
    two_node_decay,
    two_node_settled,
)

__all__ = ["Decays", "Step", "advance", "carried", "decays", "step_decays"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step: where it led, and what flowed. Every array has shape (n,)."""

    state: State
    middle: Moment
    """The moment half way, with the current that stands for the whole step."""

    def rows(self, keep: NDArray[np.intp]) -> Step:
        """Take some of the packs."""
        return Step(state=self.state.rows(keep), middle=self.middle.rows(keep))


@dataclass(frozen=True, slots=True, kw_only=True)
class Decays:
    """What is left of departures after some time, where that does not depend on temperature."""

    step_s: FloatArray
    fast_gone: FloatArray
    fast_mean: FloatArray
    heat: TwoNodeDecay

    def rows(self, keep: NDArray[np.intp]) -> Decays:
        """Take some of the packs, or one pack many times; the length stays."""
        return Decays(
            step_s=self.step_s,
            fast_gone=self.fast_gone[keep],
            fast_mean=self.fast_mean[keep],
            heat=self.heat.rows(keep),
        )


def decays(batch: Batch, step_s: FloatArray) -> Decays:
    """Work out the exponentials of a step.

    Parameters
    ----------
    batch : Batch
        The n packs.
    step_s : array
        Length of the step. Shape (n,) or (). [s]
    """
    fast_gone, fast_mean = _gone(step_s / batch.fast_s)
    return Decays(
        step_s=step_s,
        fast_gone=fast_gone,
        fast_mean=fast_mean,
        heat=two_node_decay(
            cell_j_per_k=batch.cell_j_per_k,
            surface_j_per_k=batch.surface_j_per_k,
            cell_to_surface_w_per_k=batch.cell_to_surface_w_per_k,
            surface_to_air_w_per_k=batch.surface_to_air_w_per_k,
            step_s=step_s,
        ),
    )


def _gone(reduced: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Part of a departure gone after a time in units of its constant, and its mean until then."""
    gone = -np.expm1(-reduced)
    return gone, gone / np.maximum(reduced, 1e-12)


def step_decays(batch: Batch, step_s: FloatArray) -> tuple[Decays, Decays]:
    """Work out the exponentials of half a step and of the whole.

    Parameters
    ----------
    batch : Batch
        The n packs.
    step_s : array
        Length of the step. Shape (n,) or (). [s]
    """
    return decays(batch, step_s / 2), decays(batch, step_s)


def advance(
    batch: Batch,
    state: State,
    *,
    begin: Moment,
    demand_a: FloatArray,
    demand_w: FloatArray,
    over: tuple[Decays, Decays],
) -> Step:
    """Carry every pack over one step of constant demand.

    Parameters
    ----------
    batch : Batch
        The n packs.
    state : State
        Where they are.
    begin : Moment
        Their terminals at that moment.
    demand_a, demand_w : array
        Current and power asked for. Shape (n,) or (). [A], [W]
    over : tuple of Decays
        What :func:`step_decays` gives for the length of the step.

    Returns
    -------
    Step
        The state at the end and the moment of the middle.
    """
    half, whole = over
    half_way = carried(batch, state, begin, half, surface_degc=state.surface_degc)
    middle = moment(
        batch,
        inside(batch, half_way),
        demand_a=demand_a,
        demand_w=demand_w,
        near_ohm=begin.instant_ohm,
    )
    end = carried(batch, state, middle, whole, surface_degc=half_way.surface_degc)
    return Step(state=end, middle=middle)


def carried(
    batch: Batch, state: State, at: Moment, over: Decays, *, surface_degc: FloatArray
) -> State:
    """Carry the state over a time with the current and resistances of one moment.

    Parameters
    ----------
    batch : Batch
        The n packs.
    state : State
        Where they are.
    at : Moment
        Their terminals at the moment that stands for the time.
    over : Decays
        The exponentials of that time.
    surface_degc : array
        Surface whose loss, beyond its share of the reference conductance, is taken. Shape (n,).
        [degC]
    """
    cell_a = at.current_a / batch.parallel
    fast_end_v = batch.fast_ohm * at.rc_factor * cell_a
    slow_end_v = batch.slow_ohm * at.rc_factor * cell_a
    fast_off_v, slow_off_v = state.fast_v - fast_end_v, state.slow_v - slow_end_v
    slow_gone, slow_mean = _gone(over.step_s / (batch.slow_s * at.slow_time_factor))
    rc_v = fast_end_v + slow_end_v + fast_off_v * over.fast_mean + slow_off_v * slow_mean
    lag_off = state.lag - batch.lag_per_a * at.solid_factor * cell_a
    lag_gone = -np.expm1(-over.step_s / (batch.lag_s * at.solid_factor))
    kelvin = state.cell_degc + constants.zero_Celsius
    drop_v = at.instant_ohm * cell_a + rc_v + at.lag_v
    heat_w = cell_a * (drop_v - kelvin * at.entropic_v_per_k)
    rise_k = surface_degc - batch.ambient_degc
    share = loss_share(batch.buoyant_fraction, rise_k)
    cell_end, surface_end = two_node_settled(
        heat_w=heat_w,
        drawn_w=batch.surface_to_air_w_per_k * rise_k * (share - 1.0),
        ambient_degc=batch.ambient_degc,
        cell_to_surface_w_per_k=batch.cell_to_surface_w_per_k,
        surface_to_air_w_per_k=batch.surface_to_air_w_per_k,
    )
    heat = over.heat
    cell_off, surface_off = state.cell_degc - cell_end, state.surface_degc - surface_end
    return State(
        soc=state.soc - cell_a * over.step_s / batch.capacity_as,
        fast_v=state.fast_v - fast_off_v * over.fast_gone,
        slow_v=state.slow_v - slow_off_v * slow_gone,
        lag=state.lag - lag_off * lag_gone,
        cell_degc=cell_end + heat.cell_from_cell * cell_off + heat.cell_from_surface * surface_off,
        surface_degc=surface_end
        + heat.surface_from_cell * cell_off
        + heat.surface_from_surface * surface_off,
    )
