"""One step of many packs at once.

A step has a constant demand and any length. The RC elements and the two heat nodes are carried over
it by exact exponentials; what drifts with charge (open-circuit voltage, resistance) is taken at the
middle of the step, which makes the step second order in its length.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import constants

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.batch import Batch
from packdesign.engineering.discharge.moment import Moment, State, inside, moment
from packdesign.engineering.thermal.two_node import (
    TwoNodeDecay,
    two_node_decay,
    two_node_settled,
)

__all__ = ["Decays", "Step", "advance", "decays", "step_decays"]


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
    """What is left of departures after some time."""

    step_s: FloatArray
    fast_gone: FloatArray
    slow_gone: FloatArray
    fast_mean: FloatArray
    slow_mean: FloatArray
    heat: TwoNodeDecay


def decays(batch: Batch, step_s: FloatArray) -> Decays:
    """Work out the exponentials of a step.

    Parameters
    ----------
    batch : Batch
        The n packs.
    step_s : array
        Length of the step. Shape (n,) or (). [s]
    """
    fast, slow = step_s / batch.fast_s, step_s / batch.slow_s
    fast_gone, slow_gone = -np.expm1(-fast), -np.expm1(-slow)
    return Decays(
        step_s=step_s,
        fast_gone=fast_gone,
        slow_gone=slow_gone,
        fast_mean=fast_gone / np.maximum(fast, 1e-12),
        slow_mean=slow_gone / np.maximum(slow, 1e-12),
        heat=two_node_decay(
            cell_j_per_k=batch.cell_j_per_k,
            surface_j_per_k=batch.surface_j_per_k,
            cell_to_surface_w_per_k=batch.cell_to_surface_w_per_k,
            surface_to_air_w_per_k=batch.surface_to_air_w_per_k,
            step_s=step_s,
        ),
    )


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
    middle = moment(
        batch,
        inside(batch, _carried(batch, state, begin, half)),
        demand_a=demand_a,
        demand_w=demand_w,
        near_ohm=begin.instant_ohm,
    )
    return Step(state=_carried(batch, state, middle, whole), middle=middle)


def _carried(batch: Batch, state: State, at: Moment, over: Decays) -> State:
    """Carry the state over a time with the current and resistances of ``at``."""
    cell_a = at.current_a / batch.parallel
    settled_v = at.slow_factor * cell_a
    fast_end_v, slow_end_v = batch.fast_ohm * settled_v, batch.slow_ohm * settled_v
    fast_off_v, slow_off_v = state.fast_v - fast_end_v, state.slow_v - slow_end_v
    mean_drop_v = (
        fast_end_v + slow_end_v + fast_off_v * over.fast_mean + slow_off_v * over.slow_mean
    )
    kelvin = state.cell_degc + constants.zero_Celsius
    heat_w = cell_a * (at.instant_ohm * cell_a + mean_drop_v - kelvin * at.entropic_v_per_k)
    cell_end, surface_end = two_node_settled(
        heat_w=heat_w,
        ambient_degc=batch.ambient_degc,
        cell_to_surface_w_per_k=batch.cell_to_surface_w_per_k,
        surface_to_air_w_per_k=batch.surface_to_air_w_per_k,
    )
    heat = over.heat
    cell_off, surface_off = state.cell_degc - cell_end, state.surface_degc - surface_end
    return State(
        soc=state.soc - cell_a * over.step_s / batch.capacity_as,
        fast_v=state.fast_v - fast_off_v * over.fast_gone,
        slow_v=state.slow_v - slow_off_v * over.slow_gone,
        cell_degc=cell_end + heat.cell_from_cell * cell_off + heat.cell_from_surface * surface_off,
        surface_degc=surface_end
        + heat.surface_from_cell * cell_off
        + heat.surface_from_surface * surface_off,
    )
