"""The whole job in one call: a brief in, a judged pack with charge plan and gauge out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields
from typing import Final

from packdesign.data.cells import Cell
from packdesign.foundation.errors import BriefError
from packdesign.planning.assess.check_groups import check_groups
from packdesign.planning.assess.computed_facts import with_computed
from packdesign.planning.assess.design import PackDesign, design_pack
from packdesign.planning.assess.discharge import Engine, run_discharge
from packdesign.planning.assess.gauging import gauge_of
from packdesign.planning.assess.judgement import judge
from packdesign.planning.assess.loading import loading_of
from packdesign.planning.assess.own_stop import own_stop_s
from packdesign.planning.assess.record import Assessment, JudgedPack
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.cautions import cautions_for, general_cautions
from packdesign.planning.charge_plan.ending import charge_ending
from packdesign.planning.charge_plan.judged import charge_plan_verdicts
from packdesign.planning.charge_plan.plan import ChargePlan, plan_charge
from packdesign.planning.gauge.judged import gauge_verdicts
from packdesign.planning.hazards.gate import gate
from packdesign.planning.hazards.situation import Situation
from packdesign.planning.needs.cells import cell_table_of, named_cell
from packdesign.planning.needs.charger import (
    EMPTY_SOC,
    charge_conditions,
    charger_facts,
    group_facts,
)
from packdesign.planning.needs.situation import situation_of_brief
from packdesign.planning.needs.source import source_facts
from packdesign.planning.owned.two_load import refuse_impossible

__all__ = [
    "assess",
    "charge_of",
    "design_of",
    "gate_of",
    "judge_pack",
]

Progress = Callable[[str, float], None]
"""Told what is being done, and the share of the work behind it. [-]"""

_JUDGED_SHARE: Final = 0.6
"""Share of the work of an assessment that is done before the charge. [-]"""


def assess(
    brief: Brief,
    *,
    engine: Engine = Engine.FAST,
    cell: Cell | None = None,
    charge: ChargePlan | None = None,
    with_trace: bool = True,
    progress: Progress | None = None,
) -> Assessment:
    """Do the whole job for the pack that a brief names.

    Parameters
    ----------
    brief : Brief
        The brief, with cell, series and parallel.
    engine : Engine
        Engine of the likely discharge.
    cell : Cell or None
        The cell, where it is found already.
    charge : ChargePlan or None
        The charge plan of this very pack, where it is made already.
    with_trace : bool
        Whether the bands shall hold the voltage band over time too. It is on for every caller, for
        a watched run takes finer steps and its band differs in the sixth digit.
    progress : callable or None
        Told how far the work is.

    Returns
    -------
    Assessment
        Hazards, verdicts, discharge, charge plan, gauge.

    Raises
    ------
    InputError
        If the brief cannot be used as written.
    """
    tell = progress or _silent
    judged = judge_pack(brief, engine=engine, cell=cell, with_trace=with_trace, progress=tell)
    tell("charge", _JUDGED_SHARE)
    plan = charge_of(brief, judged.design) if charge is None else charge
    tell("done", 1.0)
    known = {each.name: getattr(judged, each.name) for each in fields(judged)}
    known["judged"] = (*judged.judged, *charge_ending(plan))
    return Assessment(charge=plan, **known)


def judge_pack(
    brief: Brief,
    *,
    engine: Engine = Engine.FAST,
    cell: Cell | None = None,
    with_trace: bool = True,
    progress: Progress | None = None,
) -> JudgedPack:
    """Run and judge the pack that a brief names: an assessment without simulating its charge.

    Parameters
    ----------
    brief : Brief
        The brief, with cell, series and parallel.
    engine : Engine
        Engine of the likely discharge.
    cell : Cell or None
        The cell, where it is found already.
    with_trace : bool
        As for :func:`assess`.
    progress : callable or None
        Told how far the work is.

    Raises
    ------
    InputError
        If the brief cannot be used as written, the figures of its charger among them.
    """
    tell = progress or _silent
    tell("hazards", 0.0)
    found = named_cell(brief, cell_table_of(brief)) if cell is None else cell
    early = situation_of_brief(brief, found, series=_series(brief), parallel=_parallel(brief))
    tell("layout", 0.05)
    design = design_of(brief, cell=found)
    plan = charge_of(brief, design, simulated=False)
    tell("demand", 0.15)
    loading = loading_of(brief, design)
    tell("discharge", 0.3)
    outcome = run_discharge(brief, design, loading, engine=engine, with_trace=with_trace)
    tell("gauge and verdicts", 0.55)
    levels = gauge_of(brief, design, loading, outcome)
    situation = with_computed(early, brief, design, loading, outcome)
    stops_s = None if brief.monitor is None else own_stop_s(outcome.trace, levels)
    judged = (
        *judge(brief, design, loading, outcome, own_stop_s=stops_s),
        *charge_plan_verdicts(plan),
    )
    if brief.monitor is not None:
        judged = (*judged, *gauge_verdicts(levels))
    return JudgedPack(
        brief=brief,
        design=design,
        loading=loading,
        discharge=outcome,
        gauge=levels,
        situation=situation,
        hazards=gate(situation),
        judged=judged,
        cautions=(*general_cautions(), *cautions_for(situation)),
    )


def gate_of(brief: Brief) -> Situation:
    """Collect the facts of a brief for the gate, without computing anything.

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    cell = named_cell(brief, cell_table_of(brief))
    return situation_of_brief(brief, cell, series=_series(brief), parallel=_parallel(brief))


def design_of(brief: Brief, *, cell: Cell | None = None) -> PackDesign:
    """Lay out and model the pack that a brief names.

    Parameters
    ----------
    brief : Brief
        The brief.
    cell : Cell or None
        The cell, where it is found already.

    Raises
    ------
    BriefError
        If it does not name cell and counts, or what was read on its groups cannot be.
    """
    chosen = named_cell(brief, cell_table_of(brief)) if cell is None else cell
    if chosen is None:
        msg = (
            "the brief names no cell; add [pack] with cell, series and parallel, or let "
            "'packdesign shortlist' choose"
        )
        raise BriefError(msg)
    series, parallel = _series(brief), _parallel(brief)
    if series is None:
        msg = "[pack] names a cell but not how many in series; add series (and parallel)"
        raise BriefError(msg)
    check_groups(brief, chosen, series=series, parallel=parallel or 1)
    if brief.measured is not None and brief.measured.two_load is not None:
        reading = brief.measured.two_load
        refuse_impossible(reading, chosen, series=series, parallel=parallel or 1)
    return design_pack(brief, chosen, series=series, parallel=parallel or 1)


def charge_of(
    brief: Brief, design: PackDesign, *, start_soc: float | None = None, simulated: bool = True
) -> ChargePlan:
    """Plan the charge of a pack.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    start_soc : float or None
        Charge at the start; None is what a full use leaves. [-]
    simulated : bool
        Whether to simulate the charge.
    """
    soc = EMPTY_SOC if start_soc is None else start_soc
    return plan_charge(
        design.cell,
        design.model,
        charger_facts(brief),
        charge_conditions(brief, start_soc=soc),
        source=source_facts(brief),
        groups=group_facts(brief),
        simulated=simulated,
    )


def _series(brief: Brief) -> int | None:
    return (brief.pack or Pack()).series


def _parallel(brief: Brief) -> int | None:
    pack = brief.pack or Pack()
    if pack.parallel is None and pack.series is not None:
        return 1
    return pack.parallel


def _silent(what: str, share: float) -> None:
    """Tell nobody."""
