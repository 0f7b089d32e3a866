"""The fast engine: a demand run through many packs at once, cost by pieces and not by seconds."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from packdesign.engineering.demand.profile import Demand, FloatArray
from packdesign.engineering.discharge.batch import Batch, stack
from packdesign.engineering.discharge.cycles import CycleRun, has_many_cycles, middle_v
from packdesign.engineering.discharge.fleet import Fleet, Watch, at_rest
from packdesign.engineering.discharge.moment import State
from packdesign.engineering.discharge.run import (
    Conditions,
    PackModel,
    RunSummary,
    Trace,
    as_followed,
)
from packdesign.engineering.discharge.tally import Limits, Tally, limits_of

__all__ = ["run_batch", "run_pack", "run_rows"]


def run_batch(
    packs: Sequence[PackModel], demand: Demand, conditions: Sequence[Conditions]
) -> tuple[RunSummary, ...]:
    """Run one demand through many packs.

    Parameters
    ----------
    packs : sequence of PackModel
        The n packs.
    demand : Demand
        What is asked of each.
    conditions : sequence of Conditions
        Where each starts and what ends it, one a pack.

    Returns
    -------
    tuple of RunSummary
        One a pack, in order.
    """
    return run_rows(
        stack(packs, ambient_degc=np.array([each.ambient_degc for each in conditions])),
        demand,
        limits=limits_of(packs, demand, conditions),
        state=at_rest(conditions),
        longest_s=min(each.longest_s for each in conditions),
    ).summaries()


def run_pack(pack: PackModel, demand: Demand, conditions: Conditions) -> Trace:
    """Run one demand through one pack and keep the trace.

    Parameters
    ----------
    pack : PackModel
        The pack.
    demand : Demand
        What is asked of it.
    conditions : Conditions
        Where it starts and what ends it.

    Returns
    -------
    Trace
        Both sides of every jump of the demand, and enough between to draw and to integrate. In a
        run of more than ``cycles.MANY_PIECES`` pieces, sampled cycles and the mean between them.
    """
    points: list[FloatArray] = []
    batch = stack([pack], ambient_degc=np.array([conditions.ambient_degc]))
    state = at_rest([conditions])
    tally = run_rows(
        batch,
        demand,
        limits=limits_of([pack], demand, [conditions]),
        state=state,
        longest_s=conditions.longest_s,
        watch=lambda _, point: points.append(point[:, 0]),
    )
    leaves_out = has_many_cycles(batch, demand, soc=state.soc, longest_s=conditions.longest_s)
    columns = np.array(points).T
    return Trace(
        time_s=columns[0],
        current_a=columns[1],
        voltage_v=columns[2],
        soc=columns[3],
        cell_degc=columns[4],
        surface_degc=columns[5],
        ends_by=tally.reasons[0],
        known=tally.summaries()[0] if leaves_out else None,
    )


def run_rows(
    batch: Batch,
    demand: Demand,
    *,
    limits: Limits,
    state: State,
    longest_s: float,
    watch: Watch | None = None,
) -> Tally:
    """Run one demand through packs that are laid side by side already.

    Parameters
    ----------
    batch : Batch
        The n packs.
    demand : Demand
        What is asked of each.
    limits : Limits
        What ends each.
    state : State
        Where each starts.
    longest_s : float
        Where a demand that repeats is given up. [s]
    watch : callable, optional
        Called at both ends of every step.

    Returns
    -------
    Tally
        The figures of every pack as arrays.
    """
    demand, reason = as_followed(demand, voltage_v=middle_v(batch))
    if has_many_cycles(batch, demand, soc=state.soc, longest_s=longest_s):
        run = CycleRun(demand, longest_s=longest_s, watch=watch)
        return run.run(batch, limits=limits, state=state)
    fleet = Fleet(batch, limits, state, reason=reason, watch=watch)
    for demand_a, demand_w, piece_s in demand.pieces(longest_s=longest_s):
        fleet.piece(demand_a, demand_w, piece_s)
        if fleet.who.size == 0:
            break
    fleet.locate()
    return fleet.tally
