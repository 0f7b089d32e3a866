"""Packs run side by side through the fast engine, at the ordinary case and at the worst corner.

Ordinary: new cells, full, at the usual air, on the mission until something ends it. Worst corner:
aged, near empty, at the coldest air, through one use. Both on the mission of the brief with the
pieces of each action drawn together; the verdicts are those of an assessment.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from packdesign.engineering.ageing.resistance_growth import resistance_from_capacity
from packdesign.engineering.demand.mission import MissionSummary
from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge.bands import DischargeBands
from packdesign.engineering.discharge.fast_engine import run_batch
from packdesign.engineering.discharge.run import Conditions, PackModel, RunSummary, Trace
from packdesign.foundation.basis import TWO_SIDED_90, Band
from packdesign.foundation.constants import SECONDS_PER_HOUR
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.assess.design import PackDesign, cell_model_of
from packdesign.planning.assess.discharge import DischargeOutcome, Engine, conditions_of
from packdesign.planning.assess.loading import Loading, loading_of
from packdesign.planning.assess.worst_charge import USUAL_WORST_SOC, worst_charge
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.heat import start_degc
from packdesign.planning.shortlist.need import condensed, stretched, voltage_class
from packdesign.planning.shortlist.record import Trial
from packdesign.planning.shortlist.rooms import Rooms
from packdesign.planning.upkeep.life import END_OF_LIFE_CAPACITY

__all__ = ["Screened", "aged_factor", "aged_low_v", "rough_design", "screened"]

_BATCH: Final = 2000
"""Packs run side by side at once: bounds the memory. [-]"""
_LIKE_NMC: Final = 1.42
"""Growth of resistance at 80 % capacity where nothing is published for a family: that of NMC."""
_USES_AT_WORST: Final = 2
_MOST_OF_LEFT: Final = 0.15
"""Most of what the smallest pack has left that the uses at the worst corner may take; longer ones
are shortened, so that the corner stays near the state of charge it is asked for. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Screened:
    """One pack as the search ran it."""

    trial: Trial
    design: PackDesign
    """With the layout of the fullest cavity."""
    loading: Loading
    """Of its class of voltage, its worst moment scaled to its own sag."""
    outcome: DischargeOutcome
    """Without trace; its ranges have no width."""
    aged_low_v: float | None


def rough_design(brief: Brief, trial: Trial, rooms: Rooms) -> PackDesign:
    """Model a pack without laying it out: strips and cooling are those of the fullest cavity.

    Parameters
    ----------
    brief : Brief
        The brief, open.
    trial : Trial
        The pack; its room is known.
    rooms : Rooms
        Answers of geometry.

    Raises
    ------
    OutOfRangeError
        If not one cell of it goes into the cavity.
    """
    room = rooms.of(trial.cell)
    if room.fullest is None or room.thermal is None:
        msg = f"not one {trial.cell.name} goes into the cavity"
        raise OutOfRangeError(msg)
    arrangement = replace(room.fullest, series=trial.series, parallel=trial.parallel)
    path = rooms.path(trial.cell, series=trial.series, parallel=trial.parallel)
    return PackDesign(
        cell=trial.cell,
        arrangement=arrangement,
        path=path,
        model=PackModel(
            cell=cell_model_of(brief, trial.cell),
            series=trial.series,
            parallel=trial.parallel,
            path_ohm=path.ohm.mid,
            thermal=room.thermal,
        ),
    )


def screened(
    brief: Brief,
    trials: Sequence[Trial],
    rooms: Rooms,
    tell: Callable[[str, float], None],
) -> Iterator[Screened]:
    """Run packs side by side.

    Parameters
    ----------
    brief : Brief
        The brief, open.
    trials : sequence of Trial
        The packs.
    rooms : Rooms
        Answers of geometry.
    tell : callable
        Told the share of packs run.
    """
    by_class: dict[int, list[Trial]] = {}
    for trial in trials:
        key = voltage_class(brief, nominal_v=trial.series * trial.cell.nominal_v)
        by_class.setdefault(key, []).append(trial)
    done = 0
    for members in by_class.values():
        members.sort(key=lambda trial: (trial.parallel, trial.cell.capacity_ah))
        designs = [rough_design(brief, trial, rooms) for trial in members]
        stiffest = min(designs, key=_sagging_ohm)  # what even this one cannot do, none can
        loading = loading_of(brief, stiffest)
        for start in range(0, len(members), _BATCH):
            part = slice(start, start + _BATCH)
            yield from _run(brief, members[part], designs[part], stiffest, loading)
            done += len(members[part])
            tell("packs run", done / len(trials))


def _run(
    brief: Brief,
    trials: Sequence[Trial],
    designs: Sequence[PackDesign],
    known: PackDesign,
    loading: Loading,
) -> Iterator[Screened]:
    demand = condensed(loading.demand)
    mean_a = demand.mean_current_a(voltage_v=known.nominal_v)
    largest_ah = max(design.capacity_ah for design in designs)
    conditions = _conditions(brief, designs)
    ordinary = run_batch(
        [design.model for design in designs],
        stretched(demand, longest_s=largest_ah * SECONDS_PER_HOUR / max(mean_a, 1e-6)),
        conditions,
    )
    cornered = _at_worst_corner(brief, designs, demand, loading)
    for trial, design, summary, corner_v, at in zip(
        trials, designs, ordinary, cornered, conditions, strict=True
    ):
        own = _scaled_to(brief, design, known, loading)
        aged_v = _aged_bus_v(brief, design, known, loading)
        lows = [each for each in (corner_v, aged_v) if each is not None]
        yield Screened(
            trial=trial,
            design=design,
            loading=own,
            outcome=_outcome(_with_peak(summary, design, loading.demand), at),
            aged_low_v=min(lows, default=None),
        )


def _conditions(brief: Brief, designs: Sequence[PackDesign]) -> list[Conditions]:
    """Where each run starts and ends: the same for all cells of one cut-off."""
    by_cutoff: dict[float, Conditions] = {}
    for design in designs:
        if design.cell.cutoff_v not in by_cutoff:
            by_cutoff[design.cell.cutoff_v] = conditions_of(brief, design)
    return [by_cutoff[design.cell.cutoff_v] for design in designs]


def _sagging_ohm(design: PackDesign) -> float:
    """Resistance that makes a pack sag, near empty. [ohm]"""
    at = design.source(soc=USUAL_WORST_SOC, temperature_degc=25.0, current_a=design.capacity_ah)
    return at.settled_ohm


def aged_factor(design: PackDesign) -> float:
    """Give the growth of resistance at the end of life, 80 % of capacity. [-]

    Parameters
    ----------
    design : PackDesign
        The pack.
    """
    ratio = resistance_from_capacity(design.cell.family, Band.exact(END_OF_LIFE_CAPACITY))
    return _LIKE_NMC if ratio is None else ratio.mid


def aged_low_v(brief: Brief, design: PackDesign, loading: Loading) -> float | None:
    """Give the lowest voltage of one pack at the worst corner: cold, near empty, aged. [V]

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    loading : Loading
        Its own loading.
    """
    corner_v = _at_worst_corner(brief, [design], condensed(loading.demand), loading)[0]
    aged_v = _aged_bus_v(brief, design, design, loading)
    return min((each for each in (corner_v, aged_v) if each is not None), default=None)


def _at_worst_corner(
    brief: Brief, designs: Sequence[PackDesign], demand: Demand, loading: Loading
) -> list[float | None]:
    """Run one use through aged packs, cold and near empty; None where nothing has a minimum."""
    if demand.minimum_v <= 0:
        return [None] * len(designs)
    cold_degc = start_degc(brief) if loading.worst is None else loading.worst.temperature_degc
    models = [
        replace(
            design.model,
            cell=design.model.cell.aged(
                capacity_fraction=END_OF_LIFE_CAPACITY, resistance_factor=aged_factor(design)
            ),
        )
        for design in designs
    ]
    shares = [worst_charge(brief, model.cell).share for model in models]
    left_ah = min(model.capacity_ah for model in models) * min(shares)
    used_ah = demand.mean_current_a(voltage_v=demand.minimum_v) * demand.period_s / SECONDS_PER_HOUR
    least_ah = 1e-6 * max(used_ah, 1e-9)  # a pack with nothing left is still tried
    taken_ah = max(_MOST_OF_LEFT * left_ah, least_ah)
    short = min(1.0, taken_ah / max(used_ah * _USES_AT_WORST, 1e-9))
    free = replace(demand, minimum_v=0.0, duration_s=demand.duration_s * short)
    starts = [
        Conditions(
            ambient_degc=cold_degc,
            start_degc=cold_degc,
            start_soc=model.cell.soc_within_reach(share, temperature_degc=cold_degc),
            cutoff_v=0.01,
            max_cell_degc=200.0,
            longest_s=_USES_AT_WORST * free.period_s,
        )
        for model, share in zip(models, shares, strict=True)
    ]
    runs = run_batch(models, free, starts)
    return [run.min_voltage_v for run in runs]


def _aged_bus_v(
    brief: Brief, design: PackDesign, known: PackDesign, loading: Loading
) -> float | None:
    """Lowest voltage at a driver when the pack is aged, scaled from the pack that is known."""
    worst = loading.worst
    if worst is None or worst.likely.lowest_bus_v is None:
        return None
    return _bus_v(brief, design, known, worst.likely, worst.temperature_degc, aged_factor(design))


def _bus_v(
    brief: Brief,
    design: PackDesign,
    known: PackDesign,
    summary: MissionSummary,
    temperature_degc: float,
    resistance_factor: float,
) -> float:
    """Scale the sag of one pack to another by their resistance; 0 where it collapses. [V]"""
    soc, other_soc = (
        each.model.cell.soc_within_reach(
            worst_charge(brief, each.model.cell).share, temperature_degc=temperature_degc
        )
        for each in (design, known)
    )
    its = known.source(
        soc=other_soc, temperature_degc=temperature_degc, current_a=known.capacity_ah
    )
    own = design.source(
        soc=soc,
        temperature_degc=temperature_degc,
        current_a=design.capacity_ah,
        resistance_factor=resistance_factor,
    )
    sag_v = summary.voltage_v - float(summary.lowest_bus_v or summary.voltage_v)
    return max(own.open_circuit_v - sag_v * own.settled_ohm / its.settled_ohm, 0.0)


def _scaled_to(brief: Brief, design: PackDesign, known: PackDesign, loading: Loading) -> Loading:
    """Give the loading of the class with the worst moment of this very pack."""
    worst = loading.worst
    if worst is None or worst.likely.lowest_bus_v is None or design is known:
        return loading
    spread = design.model.cell.spread
    unlucky = 1.0 + TWO_SIDED_90 * spread.resistance_fraction
    low_v = _bus_v(brief, design, known, worst.likely, worst.temperature_degc, 1.0)
    bad_v = _bus_v(brief, design, known, worst.likely, worst.temperature_degc, unlucky)
    mission = loading.mission
    if mission is not None:
        mission = replace(mission, summary=replace(mission.summary, lowest_bus_v=None))
    return replace(
        loading,
        mission=mission,
        worst=replace(
            worst,
            charge=worst_charge(brief, design.model.cell),
            likely=replace(worst.likely, lowest_bus_v=low_v),
            unlucky=replace(worst.unlucky, lowest_bus_v=min(bad_v, low_v)),
        ),
    )


def _with_peak(summary: RunSummary, design: PackDesign, demand: Demand) -> RunSummary:
    """Put back the peak that drawing pieces together has levelled."""
    peak_a = demand.peak_current_a(voltage_v=design.cutoff_v)
    return replace(summary, peak_current_a=max(summary.peak_current_a, peak_a))


def _outcome(summary: RunSummary, at: Conditions) -> DischargeOutcome:
    """Dress a summary as the outcome of a run, its trace being no more than start and end."""
    ends = np.array([0.0, summary.run_time_s])
    run_time = Band.exact(summary.run_time_s)
    low = Band.exact(summary.min_voltage_v)
    hot = Band.exact(summary.peak_cell_degc)
    return DischargeOutcome(
        engine=Engine.FAST,
        trace=Trace(
            time_s=ends,
            current_a=np.full(2, summary.rms_current_a),
            voltage_v=np.full(2, summary.min_voltage_v),
            soc=np.array([at.start_soc, summary.end_soc]),
            cell_degc=np.full(2, summary.peak_cell_degc),
            surface_degc=np.full(2, summary.peak_surface_degc),
            ends_by=summary.ends_by,
            known=summary,
        ),
        summary=summary,
        bands=DischargeBands(
            run_time_s=run_time,
            min_voltage_v=low,
            peak_cell_degc=hot,
            peak_surface_degc=Band.exact(summary.peak_surface_degc),
            delivered_ah=Band.exact(summary.delivered_ah),
            ranked_by="run time",
            ranking=(),
            advice="",
            samples=0,
        ),
        run_time_s=run_time,
        min_voltage_v=low,
        peak_cell_degc=hot,
        ends_by=f"{summary.ends_by}",
        air_degc=at.ambient_degc,
    )
