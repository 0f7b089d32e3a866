"""The discharge of one pack under its own demand, by the engine asked for, with its band."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge.bands import DischargeBands, discharge_bands
from packdesign.engineering.discharge.run import Conditions, EndReason, RunSummary, Trace
from packdesign.engineering.discharge.tally import LIMIT_REASONS
from packdesign.foundation.basis import Band
from packdesign.foundation.errors import InputError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.loading import Loading
from packdesign.planning.assess.steady_heat import SteadyHeat, steady_heat
from packdesign.planning.assess.weakest_group import WeakestGroup, weakest_group
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.heat import ambient_degc, start_degc

__all__ = ["DischargeOutcome", "Engine", "conditions_of", "end_words", "run_discharge"]


class Engine(StrEnum):
    """Which engine runs the likely case; the band always comes from the fast one."""

    FAST = "fast"
    PYBAMM = "pybamm"
    PHYSICS = "physics"


@dataclass(frozen=True, slots=True, kw_only=True)
class DischargeOutcome:
    """One discharge with its band, all of a pack whose cells are alike: verdicts are held to it.

    ``run_time_s``, ``ends_by`` and the low end of ``min_voltage_v`` are those of the pack as it is;
    :attr:`as_it_ends` is what to show of it.
    """

    engine: Engine
    trace: Trace
    summary: RunSummary
    bands: DischargeBands
    run_time_s: Band
    """Until the first cell is at a limit: of the pack as it is, unlike cells and all. [s]"""
    min_voltage_v: Band
    peak_cell_degc: Band
    ends_by: str
    """The limit that ended it, in words, with the device where it is a rail."""
    air_degc: float
    """Air around the device that its temperatures hold for. [degC]"""
    weakest: WeakestGroup | None = None
    """What the differences among the cells take; None for one cell."""
    steady: SteadyHeat | None = None
    """Where the heat settles if the device is used on and on; None where it was not asked for."""

    @property
    def as_it_ends(self) -> DischargeOutcome:
        """The same, cut off where something measured says that this very pack ends.

        A pack that ends early once is levelled or mended and runs to the end again, so nothing is
        judged by it.
        """
        weakest = self.weakest
        if weakest is None or not weakest.cuts_the_run:
            return self
        share, ends_by, end_v = weakest.share.mid, weakest.ends_by, weakest.end_v
        trace = self.trace.ended_at(share, ends_by, end_v=end_v)
        summary = trace.summary()
        return replace(
            self,
            trace=trace,
            summary=summary,
            bands=self.bands.ended_at(share, ends_by, end_v=end_v),
            min_voltage_v=_around(
                replace(self.min_voltage_v, high=summary.min_voltage_v), summary.min_voltage_v
            ),
            peak_cell_degc=_around(self.peak_cell_degc, summary.peak_cell_degc),
        )


def conditions_of(brief: Brief, design: PackDesign) -> Conditions:
    """Give where the run starts and what ends it.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack; a protection board that trips above the cells' cut-off ends the run there.
    """
    soc = brief.start.soc_fraction if brief.start is not None else None
    board = brief.pack.protection if brief.pack is not None else None
    cutoff_v = design.cell.cutoff_v
    if board is not None and board.kind == "board" and board.undervoltage_trip_v is not None:
        cutoff_v = max(cutoff_v, board.undervoltage_trip_v)
    return Conditions(
        ambient_degc=ambient_degc(brief),
        start_degc=start_degc(brief),
        start_soc=1.0 if soc is None else soc,
        cutoff_v=cutoff_v,
    )


def run_discharge(
    brief: Brief,
    design: PackDesign,
    loading: Loading,
    *,
    engine: Engine = Engine.FAST,
    with_trace: bool = False,
) -> DischargeOutcome:
    """Run the demand through the pack.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.
    engine : Engine
        Which engine runs the likely case.
    with_trace : bool
        Whether the bands shall hold the voltage band over time too; with the fast engine they
        always do, for its likely run is one of theirs.

    Raises
    ------
    InputError
        If the physics engine is asked for and no published parameter set fits the cell.
    """
    conditions = conditions_of(brief, design)
    is_fast = engine is Engine.FAST
    bands = discharge_bands(
        design.model, loading.demand, conditions, with_trace=with_trace or is_fast
    )
    trace = bands.trace if is_fast else None
    if trace is None:
        trace = _run(design, loading, conditions, engine)
    summary = trace.summary()
    weakest = weakest_group(
        brief, design, loading.demand, conditions, is_ended=summary.ends_by in LIMIT_REASONS
    )
    alike_s = _around(bands.run_time_s, summary.run_time_s)
    lowest_v = _around(bands.min_voltage_v, summary.min_voltage_v)
    ends_by = end_words(summary, loading.demand)
    if weakest is not None and weakest.cuts_the_run:
        ends_by = weakest.end_words
        lowest_v = replace(lowest_v, low=min(lowest_v.low, weakest.end_v))
    return DischargeOutcome(
        engine=engine,
        trace=trace,
        summary=summary,
        bands=bands,
        run_time_s=alike_s if weakest is None else weakest.of_the_pack(alike_s),
        weakest=weakest,
        min_voltage_v=lowest_v,
        peak_cell_degc=_around(bands.peak_cell_degc, summary.peak_cell_degc),
        ends_by=ends_by,
        air_degc=conditions.ambient_degc,
        steady=steady_heat(design, trace, ambient_degc=conditions.ambient_degc),
    )


def end_words(summary: RunSummary, demand: Demand) -> str:
    """Say what ended a run, with the device where it is a rail.

    Parameters
    ----------
    summary : RunSummary
        The run.
    demand : Demand
        What was asked of the pack.
    """
    if summary.ends_by is EndReason.RAIL and demand.minimum_v_device:
        return f"{summary.ends_by} ({demand.minimum_v_device})"
    return str(summary.ends_by)


def _run(design: PackDesign, loading: Loading, conditions: Conditions, engine: Engine) -> Trace:
    if engine is Engine.PYBAMM:
        from packdesign.engineering.discharge.pybamm_engine import run_pack_pybamm

        return run_pack_pybamm(design.model, loading.demand, conditions)
    from packdesign.engineering.discharge.physics_engine import physics_set_for, run_pack_physics

    if physics_set_for(design.cell) is None:
        msg = (
            f"no published physics parameter set fits {design.cell.name}; "
            "use the engine 'fast' or 'pybamm'"
        )
        raise InputError(msg)
    return run_pack_physics(design.model, loading.demand, conditions, design.cell)


def _around(band: Band, mid: float) -> Band:
    """Put the likely case into its band; another engine may differ from the band's by a little."""
    return replace(band, low=min(band.low, mid), mid=mid, high=max(band.high, mid))
