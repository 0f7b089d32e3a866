"""Every verdict on one pack under its own load, in the order in which a builder meets them."""

from __future__ import annotations

from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.judge_electrical import (
    judge_currents,
    judge_run_time,
    judge_voltages,
    peak_current_a,
)
from packdesign.planning.assess.judge_place import judge_fit, judge_heat
from packdesign.planning.assess.judge_wiring import judge_charge, judge_wiring
from packdesign.planning.assess.loading import Loading
from packdesign.planning.brief.schema import Brief
from packdesign.planning.verdicts.verdict import Verdict

__all__ = ["judge"]


def judge(
    brief: Brief, design: PackDesign, loading: Loading, outcome: DischargeOutcome
) -> tuple[Verdict, ...]:
    """Judge one pack.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.
    outcome : DischargeOutcome
        What it does under that.
    """
    peak_a = peak_current_a(loading, outcome)
    return (
        *judge_fit(design.arrangement),
        *judge_voltages(brief, design, loading, outcome),
        *judge_currents(design, loading, outcome),
        *judge_run_time(brief, loading, outcome),
        *judge_heat(brief, design, outcome),
        *judge_wiring(brief, design, outcome, peak_a=peak_a),
        *judge_charge(brief, design),
    )
