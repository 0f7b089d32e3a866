"""The time after the build in one call: life, storing, carrying, label, when it is worn out."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome, Engine, run_discharge
from packdesign.planning.assess.gauging import gauge_of
from packdesign.planning.assess.judge_life import judge_carrying, judge_life
from packdesign.planning.assess.loading import Loading, loading_of
from packdesign.planning.assess.parts import JudgedPart
from packdesign.planning.assess.record import Assessment
from packdesign.planning.assess.service import design_of, gate_of
from packdesign.planning.assess.worked import worked_pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.cautions import cautions_for, general_cautions
from packdesign.planning.gauge.service import Gauge
from packdesign.planning.hazards.gate import gate
from packdesign.planning.hazards.hazard import Stage
from packdesign.planning.hazards.situation import Situation
from packdesign.planning.hazards.transport import FREE_WH, largest_capacity_ah
from packdesign.planning.needs.upkeep import health_of, service_years, upkeep_need_of
from packdesign.planning.upkeep.life import USUAL_YEARS
from packdesign.planning.upkeep.retire import PackHealth, reasons_to_retire
from packdesign.planning.upkeep.service import UpkeepPlan, plan_upkeep
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["KeptPack", "kept_after", "kept_pack"]

_AFTER_THE_BUILD: Final = (
    Stage.RESPONSE, Stage.STORAGE, Stage.CARRYING, Stage.REPAIR, Stage.DISPOSAL,
)  # fmt: skip
_READ_AT_DEGC: Final = 20.0
_READ_FOR_S: Final = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPack(JudgedPart):
    """A pack with all that its owner needs to know after the build."""

    plan: UpkeepPlan
    storage_v: float
    """Whole pack at rest at its storage charge. [V]"""
    free_ah: float
    """Capacity at which a pack of this voltage reaches the 100 Wh of the passenger rules. [A h]"""
    retire_now: tuple[str, ...]
    """Reasons found to retire it, empty where none is known."""


def kept_pack(
    brief: Brief,
    *,
    today: datetime.date,
    progress: Callable[[str, float], None] | None = None,
) -> KeptPack:
    """Plan the time after the build of the pack that a brief names.

    Parameters
    ----------
    brief : Brief
        The brief.
    today : date
        Day from which the storage runs.
    progress : callable or None
        Told what is being done, and the share behind it.

    Raises
    ------
    InputError
        If the brief cannot be used as written, or its storage lies beyond what is published.
    """
    tell = progress or _silent
    situation = gate_of(brief)
    tell("layout", 0.05)
    design = design_of(brief)
    tell("demand", 0.2)
    loading = loading_of(brief, design)
    tell("discharge", 0.4)
    outcome = run_discharge(brief, design, loading, engine=Engine.FAST)
    tell("years ahead", 0.9)
    try:
        levels = gauge_of(brief, design, loading, outcome)
    except OutOfRangeError:
        levels = None  # the command that shows the gauge says why
    found = _kept(_Work(brief, design, loading, outcome, levels), situation, today=today)
    tell("done", 1.0)
    return found


def kept_after(judged: Assessment, *, today: datetime.date) -> KeptPack:
    """Plan the time after the build of a pack that is judged already.

    Parameters
    ----------
    judged : Assessment
        The judged pack.
    today : date
        Day from which the storage runs.

    Raises
    ------
    OutOfRangeError
        If use or storage lies beyond what is published.
    """
    work = _Work(judged.brief, judged.design, judged.loading, judged.discharge, judged.gauge)
    return _kept(work, judged.situation, today=today)


@dataclass(frozen=True, slots=True)
class _Work:
    """One pack at its work."""

    brief: Brief
    design: PackDesign
    loading: Loading
    outcome: DischargeOutcome
    gauge: Gauge | None
    """None where it cannot be worked out."""


def _kept(work: _Work, situation: Situation, *, today: datetime.date) -> KeptPack:
    brief, design = work.brief, work.design
    cell = design.cell
    worked = worked_pack(brief, design, work.loading, work.outcome)
    plan = plan_upkeep(
        cell,
        design.model,
        upkeep_need_of(brief, worked, divider_a=_divider_a(work)),
        today=today,
        years=tuple(sorted({*USUAL_YEARS, service_years(brief)})),
    )
    new_ohm = model_from_datasheet(cell).pulse_ohm(
        soc=0.5, temperature_degc=_READ_AT_DEGC, current_a=cell.capacity_ah, pulse_s=_READ_FOR_S
    )
    health = health_of(brief, cell, new_cell_ohm=new_ohm)
    return KeptPack(
        design=design,
        plan=plan,
        storage_v=design.model.cell.ocv_at(plan.storage.target_soc) * design.series,
        free_ah=largest_capacity_ah(limit_wh=FREE_WH, nominal_v=cell.nominal_v * design.series),
        retire_now=reasons_to_retire(health),
        hazards=gate(situation, stages=_AFTER_THE_BUILD),
        judged=(
            *judge_life(brief, design, work.loading, work.outcome),
            *judge_carrying(brief, design),
            *_retire(health),
        ),
        cautions=(*general_cautions(), *cautions_for(situation)),
    )


def _divider_a(work: _Work) -> float | None:
    levels = work.gauge
    return None if levels is None else levels.divider.drain_a(pack_v=levels.thresholds.full_v)


def _retire(health: PackHealth) -> Iterator[Verdict]:
    reasons = reasons_to_retire(health)
    if not reasons:
        return
    at_once = bool(health.swollen_dented_or_leaking or health.below_floor)
    yield Verdict(
        id="retire_now",
        status=Status.STOP if at_once else Status.CAUTION,
        reason=f"There are reasons to retire this pack: {'; '.join(reasons)}.",
        fix="Make it safe and hand it in, as told below.",
        basis=Basis.PUBLISHED,
        source="80 % of capacity or 200 % of resistance: TWAICE encyclopedia, undated; the floor: "
        "published figures, the strictest",
    )


def _silent(what: str, share: float) -> None:
    """Tell nobody."""
