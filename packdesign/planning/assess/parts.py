"""Parts of the job asked for by themselves, each with the verdicts that belong to it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from packdesign.planning.assess.charge_study import ChargeStudy, charge_study
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome, Engine, run_discharge
from packdesign.planning.assess.gauging import gauge_of
from packdesign.planning.assess.judge_before_charge import judge_before_charge
from packdesign.planning.assess.judge_wiring import judge_charge
from packdesign.planning.assess.judged import Judged
from packdesign.planning.assess.judgement import judge
from packdesign.planning.assess.loading import Loading, loading_of
from packdesign.planning.assess.service import (
    charge_of,
    design_of,
    gate_of,
)
from packdesign.planning.brief.schema import Brief
from packdesign.planning.cautions import cautions_for, general_cautions
from packdesign.planning.charge_plan.judged import charge_plan_verdicts
from packdesign.planning.charge_plan.plan import ChargePlan
from packdesign.planning.gauge.judged import gauge_verdicts
from packdesign.planning.gauge.service import Gauge
from packdesign.planning.hazards.gate import gate
from packdesign.planning.hazards.hazard import Stage
from packdesign.planning.needs.charger import EMPTY_SOC

__all__ = [
    "JudgedCharge",
    "JudgedDischarge",
    "JudgedGauge",
    "JudgedPart",
    "judged_charge",
    "judged_discharge",
    "judged_gauge",
]

_ON_CHARGE: Final = (Stage.RESPONSE, Stage.DESIGN, Stage.CHARGING)


@dataclass(frozen=True, slots=True, kw_only=True)
class JudgedPart(Judged):
    """What every part carries: the pack, and what is said against it."""

    design: PackDesign
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class JudgedDischarge(JudgedPart):
    """A discharge with the verdicts on the pack under it."""

    loading: Loading
    outcome: DischargeOutcome


@dataclass(frozen=True, slots=True, kw_only=True)
class JudgedCharge(JudgedPart):
    """A charge plan with the verdicts on charger and cell."""

    plan: ChargePlan
    study: ChargeStudy
    """What one looks at beside the plan."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JudgedGauge(JudgedPart):
    """The voltages of the gauge with the verdicts on them."""

    gauge: Gauge


def judged_discharge(
    brief: Brief,
    *,
    engine: Engine = Engine.PYBAMM,
    with_trace: bool = False,
    progress: Callable[[str, float], None] | None = None,
) -> JudgedDischarge:
    """Run the discharge, and judge the pack under it.

    Parameters
    ----------
    brief : Brief
        The brief.
    engine : Engine
        Engine of the likely case.
    with_trace : bool
        Whether the voltage band over time is wanted.
    progress : callable or None
        Told what is being done, and the share behind it.
    """
    tell = progress or _silent
    situation = gate_of(brief)
    tell("layout", 0.05)
    design = design_of(brief)
    tell("demand", 0.15)
    loading = loading_of(brief, design)
    tell("discharge", 0.3)
    outcome = run_discharge(brief, design, loading, engine=engine, with_trace=with_trace)
    judged = judge(brief, design, loading, outcome)
    tell("done", 1.0)
    return JudgedDischarge(
        design=design,
        loading=loading,
        outcome=outcome,
        hazards=gate(situation),
        judged=judged,
        cautions=(*general_cautions(), *cautions_for(situation)),
    )


def judged_charge(
    brief: Brief,
    *,
    start_soc: float | None = None,
    progress: Callable[[str, float], None] | None = None,
) -> JudgedCharge:
    """Plan the charge, and judge charger and cell.

    Parameters
    ----------
    brief : Brief
        The brief.
    start_soc : float or None
        Charge at the start; None is what a full use leaves. [-]
    progress : callable or None
        Told what is being done, and the share behind it.
    """
    tell = progress or _silent
    situation = gate_of(brief)
    tell("layout", 0.05)
    design = design_of(brief)
    tell("charge", 0.2)
    plan = charge_of(brief, design, start_soc=start_soc)
    tell("faster and gentler", 0.8)
    study = charge_study(
        brief, design, plan, start_soc=EMPTY_SOC if start_soc is None else start_soc
    )
    judged = (
        *judge_charge(brief, design),
        *charge_plan_verdicts(plan),
        *judge_before_charge(brief, design),
    )
    tell("done", 1.0)
    return JudgedCharge(
        design=design,
        plan=plan,
        study=study,
        hazards=gate(situation, stages=_ON_CHARGE),
        judged=judged,
        cautions=(*general_cautions(), *cautions_for(situation)),
    )


def judged_gauge(
    brief: Brief, *, progress: Callable[[str, float], None] | None = None
) -> JudgedGauge:
    """Work out the voltages of the gauge, and judge them.

    Parameters
    ----------
    brief : Brief
        The brief.
    progress : callable or None
        Told what is being done, and the share behind it.
    """
    found = judged_discharge(brief, engine=Engine.FAST, progress=progress)
    levels = gauge_of(brief, found.design, found.loading, found.outcome)
    return JudgedGauge(
        design=found.design,
        gauge=levels,
        hazards=gate(gate_of(brief)),  # the checks that say some of them are not shown here
        judged=gauge_verdicts(levels),
        cautions=found.cautions,
    )


def _silent(what: str, share: float) -> None:
    """Tell nobody."""
