"""The likely run alone: what a slider shows at once, before ranges, checks and charge are known."""

from __future__ import annotations

from dataclasses import dataclass

from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge.fast_engine import run_pack
from packdesign.engineering.discharge.run import RunSummary, Trace
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import conditions_of, end_words
from packdesign.planning.assess.loading import loading_of
from packdesign.planning.assess.service import design_of
from packdesign.planning.brief.schema import Brief

__all__ = ["LikelyRun", "likely_run"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LikelyRun:
    """The discharge of one pack with every input at its middle, by the fast engine."""

    brief: Brief
    design: PackDesign
    demand: Demand
    trace: Trace
    summary: RunSummary
    ends_by: str
    """The limit that ended it, in words, with the device where it is a rail."""


def likely_run(brief: Brief) -> LikelyRun:
    """Run the demand of a brief through its pack once.

    Parameters
    ----------
    brief : Brief
        The brief, with cell, series and parallel.

    Returns
    -------
    LikelyRun
        Its figures are those of an assessment to four digits; the assessment has the last word.

    Raises
    ------
    InputError
        If the brief cannot be used as written.
    """
    design = design_of(brief)
    demand = loading_of(brief, design, with_worst=False).demand
    trace = run_pack(design.model, demand, conditions_of(brief, design))
    summary = trace.summary()
    return LikelyRun(
        brief=brief,
        design=design,
        demand=demand,
        trace=trace,
        summary=summary,
        ends_by=end_words(summary, demand),
    )
