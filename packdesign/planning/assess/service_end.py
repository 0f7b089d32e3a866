"""The pack at the end of the service that its brief tells of: its upkeep, and its wear alone."""

from __future__ import annotations

import datetime

from packdesign.engineering.ageing.estimate import AgeingEstimate
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.loading import Loading
from packdesign.planning.assess.worked import worked_pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.upkeep import service_years, upkeep_need_of
from packdesign.planning.upkeep.service import UpkeepPlan, pack_life, plan_upkeep

__all__ = ["upkeep_at_service_end", "wear_at_service_end"]


def upkeep_at_service_end(
    brief: Brief, design: PackDesign, loading: Loading, outcome: DischargeOutcome
) -> UpkeepPlan:
    """Plan the upkeep of a pack, looking at the end of its service alone.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.
    outcome : DischargeOutcome
        What it does.

    Raises
    ------
    OutOfRangeError
        If use or storage lies beyond what is published.
    """
    worked = worked_pack(brief, design, loading, outcome)
    return plan_upkeep(
        design.cell,
        design.model,
        upkeep_need_of(brief, worked),
        today=datetime.date.today(),
        years=(service_years(brief),),
    )


def wear_at_service_end(
    brief: Brief, design: PackDesign, loading: Loading, outcome: DischargeOutcome
) -> AgeingEstimate | None:
    """Estimate what is left of the cells at the end of their service.

    Parameters
    ----------
    brief : Brief
        The brief; it tells of a life.
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.
    outcome : DischargeOutcome
        What it does.

    Returns
    -------
    AgeingEstimate or None
        None where the use lies beyond what is published, or the ageing of the cell is not known.
    """
    need = upkeep_need_of(brief, worked_pack(brief, design, loading, outcome))
    try:
        wear = pack_life(design.cell, design.model, need, years=(service_years(brief),))[0].estimate
    except OutOfRangeError:
        return None
    is_known = wear.capacity_fraction is not None and wear.resistance_ratio is not None
    return wear if is_known else None
