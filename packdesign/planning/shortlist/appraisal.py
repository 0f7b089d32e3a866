"""One pack, run already, with its verdicts and the figures by which it is ranked."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

from packdesign.data.cells import Cell
from packdesign.engineering.discharge.datasheet_model import cell_mass_kg
from packdesign.engineering.geometry.cavities import OpenCavity
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import InputError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.judge_electrical import (
    judge_currents,
    judge_run_time,
    judge_voltages,
    peak_current_a,
)
from packdesign.planning.assess.judge_log import judge_log
from packdesign.planning.assess.judge_overload import judge_overload
from packdesign.planning.assess.judge_place import judge_heat
from packdesign.planning.assess.judge_wiring import judge_charge
from packdesign.planning.assess.loading import Loading
from packdesign.planning.assess.pack_figures import PackFigures, pack_figures
from packdesign.planning.assess.record import JudgedPack
from packdesign.planning.assess.service import judge_pack
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.cavity import cavity_of
from packdesign.planning.needs.charger import charger_facts
from packdesign.planning.needs.heat import ambient_degc
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

__all__ = [
    "NOT_ASSESSED",
    "Appraised",
    "appraised",
    "appraised_assessment",
    "assessed_in_full",
    "brief_for",
    "without_shared_stops",
]

NOT_ASSESSED: Final = "not_assessed"
"""Verdict on a pack with which the brief cannot be assessed at all."""

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
    shared: frozenset[str] = frozenset()
    """Verdicts that stop every pack of the brief, and so do not rank this one."""

    @property
    def own_stops(self) -> tuple[Verdict, ...]:
        """Verdicts that stop this pack and not every one."""
        return tuple(
            each
            for each in self.verdicts
            if each.status is Status.STOP and each.id not in self.shared
        )


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


def assessed_in_full(brief: Brief, pack: Appraised) -> Appraised:
    """Take a pack the whole way of an assessment, but for simulating its charge.

    Parameters
    ----------
    brief : Brief
        The brief, open.
    pack : Appraised
        The pack as the search has it.

    Returns
    -------
    Appraised
        Where the brief cannot be assessed with this pack, as it was with a stop that says why.
    """
    try:
        return appraised_assessment(judge_pack(brief_for(brief, pack.trial), cell=pack.trial.cell))
    except InputError as error:
        refused = Verdict(
            id=NOT_ASSESSED,
            status=Status.STOP,
            reason=f"Cannot be assessed: {error}.",
            fix="Change the part of the brief that the message names.",
            basis=Basis.PUBLISHED,
        )
        return replace(
            pack,
            status=Status.STOP,
            verdicts=(refused, *pack.verdicts),
            figures=replace(pack.figures, stops=pack.figures.stops + 1),
        )


def without_shared_stops(pack: Appraised, shared: frozenset[str]) -> Appraised:
    """Leave stops that every pack has out of what ranks a pack; its status keeps them.

    Parameters
    ----------
    pack : Appraised
        The pack.
    shared : frozenset of str
        Verdicts that stop every pack assessed: of the device, the charger, the cavity itself.
    """
    fewer = replace(pack, shared=shared)
    return replace(fewer, figures=replace(pack.figures, stops=len(fewer.own_stops)))


def appraised_assessment(found: JudgedPack) -> Appraised:
    """Give the figures that rank a pack from its assessment.

    Parameters
    ----------
    found : JudgedPack
        The assessment; of the charge no more than its quick closed form counts.
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


def _screen_verdicts(
    brief: Brief, design: PackDesign, loading: Loading, outcome: DischargeOutcome
) -> Iterator[Verdict]:
    """Give the verdicts that differ from cell to cell; room was asked about already."""
    yield from judge_overload(loading)
    yield from judge_voltages(brief, design, loading, outcome)
    yield from judge_currents(design, loading, outcome)
    yield from judge_run_time(brief, loading, outcome)
    yield from judge_log(loading, outcome)
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
        price=None if cell.price is None else cell.price * design.series * design.parallel,
        currency=cell.currency,
        aged_low_v=aged_v,
        doubts=doubts_of(cell),
    )


def _charge_amperes(brief: Brief, cell: Cell, *, parallel: int) -> tuple[float, float]:
    """Charge and end current of the pack: the charger's, else the cell's own, else C/3."""
    facts = charger_facts(brief)
    own_a = cell.standard_charge_a or cell.capacity_ah / 3.0
    charge_a = facts.charge_a or own_a * parallel
    return charge_a, facts.end_a or 0.05 * cell.capacity_ah * parallel


def _mass_kg(design: PackDesign) -> float:
    """Mass of the bare cells, by their sheet or their size. [kg]"""
    return design.series * design.parallel * cell_mass_kg(design.cell)[0]
