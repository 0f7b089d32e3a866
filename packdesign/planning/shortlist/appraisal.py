"""One pack, run already, with its verdicts and the figures by which it is ranked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from packdesign.data.cells import Cell
from packdesign.engineering.discharge.datasheet_model import cell_mass_kg
from packdesign.engineering.geometry.cavities import OpenCavity
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.assess.design import PackDesign, design_pack
from packdesign.planning.assess.discharge import DischargeOutcome, run_discharge
from packdesign.planning.assess.judge_electrical import (
    judge_currents,
    judge_run_time,
    judge_voltages,
    peak_current_a,
)
from packdesign.planning.assess.judge_place import judge_heat
from packdesign.planning.assess.judge_wiring import judge_charge
from packdesign.planning.assess.judgement import judge
from packdesign.planning.assess.loading import Loading, loading_of
from packdesign.planning.assess.pack_figures import PackFigures, pack_figures
from packdesign.planning.assess.record import Assessment
from packdesign.planning.assess.service import gauge_of
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.gauge.judged import gauge_verdicts
from packdesign.planning.hazards.gate import gate
from packdesign.planning.needs.cavity import cavity_of
from packdesign.planning.needs.charger import charger_facts
from packdesign.planning.needs.heat import ambient_degc
from packdesign.planning.needs.situation import situation_of_brief
from packdesign.planning.shortlist.figures import (
    RankFigures,
    charge_time_s,
    cycle_life,
    doubts_of,
    safety_margin,
    stops_and_unknowns,
    volume_left_fraction,
)
from packdesign.planning.shortlist.record import CandidateRun, Trial
from packdesign.planning.shortlist.screening import Screened, aged_low_v
from packdesign.planning.verdicts.verdict import Status, Verdict, overall_status

__all__ = ["Appraised", "appraised", "appraised_assessment", "assessed_in_full", "brief_for"]

_COOL_K: Final = 10.0
"""A rise below this is as good as none: own choice. [K]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Appraised:
    """One pack with everything that ranks it."""

    trial: Trial
    pack: PackFigures
    run: CandidateRun
    status: Status
    verdicts: tuple[Verdict, ...]
    figures: RankFigures
    is_exact: bool


def brief_for(brief: Brief, trial: Trial) -> Brief:
    """Write a pack into a brief, as if the builder had named it.

    Parameters
    ----------
    brief : Brief
        The brief, open.
    trial : Trial
        The pack.
    """
    named = (brief.pack or Pack()).model_copy(
        update={
            "cell": trial.cell.name,
            "series": trial.series,
            "parallel": trial.parallel,
        }
    )
    return brief.model_copy(update={"pack": named})


def appraised(brief: Brief, found: Screened, *, cavity_m3: float | None) -> Appraised:
    """Judge a pack as the search ran it.

    Parameters
    ----------
    brief : Brief
        The brief, open.
    found : Screened
        The pack.
    cavity_m3 : float or None
        Free inside of the cavity. [m3]
    """
    design, loading, outcome = found.design, found.loading, found.outcome
    verdicts = tuple(_screen_verdicts(brief, design, loading, outcome))
    pack = replace(
        pack_figures(design),
        arrangement="not laid out yet",
        mass_g=_mass_kg(design) * 1000.0,
        mass_is_estimated=True,
    )
    return Appraised(
        trial=found.trial,
        pack=pack,
        run=_run(loading, outcome),
        status=_at_best_caution(overall_status(verdicts)),
        verdicts=verdicts,
        figures=_figures(
            brief, design, outcome, verdicts, aged_v=found.aged_low_v, cavity_m3=cavity_m3
        ),
        is_exact=False,
    )


def assessed_in_full(brief: Brief, trial: Trial, *, cavity_m3: float | None) -> Appraised:
    """Take a pack the whole way of an assessment, but for its charge plan.

    Parameters
    ----------
    brief : Brief
        The brief, open.
    trial : Trial
        The pack.
    cavity_m3 : float or None
        Free inside of the cavity. [m3]
    """
    own = brief_for(brief, trial)
    design = design_pack(own, trial.cell, series=trial.series, parallel=trial.parallel)
    loading = loading_of(own, design)
    outcome = run_discharge(own, design, loading)
    judged = judge(own, design, loading, outcome)
    if own.monitor is not None:
        judged = (*judged, *_gauge(own, design, loading, outcome))
    situation = situation_of_brief(own, trial.cell, series=trial.series, parallel=trial.parallel)
    verdicts = (*gate(situation), *judged)
    return Appraised(
        trial=trial,
        pack=pack_figures(design),
        run=_run(loading, outcome),
        status=overall_status(verdicts),
        verdicts=verdicts,
        figures=_figures(
            own,
            design,
            outcome,
            verdicts,
            aged_v=aged_low_v(own, design, loading),
            cavity_m3=cavity_m3,
        ),
        is_exact=True,
    )


def appraised_assessment(found: Assessment) -> Appraised:
    """Give the figures that rank a pack from its assessment.

    Parameters
    ----------
    found : Assessment
        The assessment.
    """
    design, brief = found.design, found.brief
    cavity = cavity_of(brief)
    return Appraised(
        trial=Trial(cell=design.cell, series=design.series, parallel=design.parallel),
        pack=pack_figures(design),
        run=_run(found.loading, found.discharge),
        status=found.overall,
        verdicts=found.verdicts,
        figures=_figures(
            brief,
            design,
            found.discharge,
            found.verdicts,
            aged_v=aged_low_v(brief, design, found.loading),
            cavity_m3=None if isinstance(cavity, OpenCavity) else cavity.volume_m3,
        ),
        is_exact=True,
    )


def _at_best_caution(status: Status) -> Status:
    """What was not assessed in full is never fine."""
    return Status.CAUTION if status is Status.OK else status


def _gauge(
    brief: Brief, design: PackDesign, loading: Loading, outcome: DischargeOutcome
) -> tuple[Verdict, ...]:
    """Judge the gauge; that no divider suits the pack stops it as it would stop an assessment."""
    try:
        return gauge_verdicts(gauge_of(brief, design, loading, outcome))
    except OutOfRangeError as error:
        return (
            Verdict(
                id="gauge_divider",
                status=Status.STOP,
                reason=f"{error}".capitalize(),
                fix="Allow the divider a larger drain, or buffer it.",
                basis=Basis.PUBLISHED,
            ),
        )


def _screen_verdicts(
    brief: Brief, design: PackDesign, loading: Loading, outcome: DischargeOutcome
) -> Iterator[Verdict]:
    """Give the verdicts that differ from cell to cell; room was asked about already."""
    yield from judge_voltages(brief, design, loading, outcome)
    yield from judge_currents(design, loading, outcome)
    yield from judge_run_time(brief, loading, outcome)
    yield from judge_heat(brief, design, outcome)
    yield from judge_charge(brief, design)


def _run(loading: Loading, outcome: DischargeOutcome) -> CandidateRun:
    summary = outcome.summary
    return CandidateRun(
        run_time_s=outcome.run_time_s,
        delivered_ah=summary.delivered_ah,
        delivered_wh=summary.delivered_wh,
        min_voltage_v=outcome.min_voltage_v,
        peak_current_a=peak_current_a(loading, outcome),
        rms_current_a=summary.rms_current_a,
        peak_cell_degc=outcome.peak_cell_degc,
        peak_surface_degc=summary.peak_surface_degc,
        ends_by=outcome.ends_by,
    )


def _figures(
    brief: Brief,
    design: PackDesign,
    outcome: DischargeOutcome,
    verdicts: tuple[Verdict, ...],
    *,
    aged_v: float | None,
    cavity_m3: float | None,
) -> RankFigures:
    cell, summary = design.cell, outcome.summary
    stops, unknown = stops_and_unknowns(verdicts)
    safety, margin, name = safety_margin(verdicts)
    charge_a, end_a = _charge_amperes(brief, cell, parallel=design.parallel)
    burst = next((each.margin for each in verdicts if each.id == "burst_current"), None)
    return RankFigures(
        stops=stops,
        unknown=unknown,
        safety=safety,
        margin_fraction=margin,
        margin_name=name,
        run_time_s=summary.run_time_s,
        burst_fraction=burst,
        peak_cell_degc=summary.peak_cell_degc,
        rise_k=max(summary.peak_cell_degc - ambient_degc(brief), _COOL_K),
        mass_kg=_mass_kg(design),
        volume_left_fraction=volume_left_fraction(
            cell, count=design.series * design.parallel, cavity_m3=cavity_m3
        ),
        cycles=cycle_life(cell, summary, parallel=design.parallel, charge_a=charge_a),
        charge_time_s=charge_time_s(design.model, charge_a=charge_a, end_a=end_a),
        price=None,
        aged_low_v=aged_v,
        doubts=doubts_of(cell),
    )


def _charge_amperes(brief: Brief, cell: Cell, *, parallel: int) -> tuple[float, float]:
    """Charge and end current of the pack: the charger's, else the cell's own, else C/3."""
    facts = charger_facts(brief, cell)
    own_a = cell.standard_charge_a or cell.capacity_ah / 3.0
    charge_a = facts.charge_a or own_a * parallel
    return charge_a, facts.end_a or 0.05 * cell.capacity_ah * parallel


def _mass_kg(design: PackDesign) -> float:
    """Mass of the bare cells, by their sheet or their size. [kg]"""
    return design.series * design.parallel * cell_mass_kg(design.cell)[0]
