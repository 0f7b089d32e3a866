"""The result of an assessment: the whole job for one brief and one pack."""

from __future__ import annotations

from dataclasses import dataclass

from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.judged import Judged
from packdesign.planning.assess.loading import Loading
from packdesign.planning.brief.schema import Brief
from packdesign.planning.charge_plan.plan import ChargePlan
from packdesign.planning.gauge.service import Gauge
from packdesign.planning.hazards.situation import Situation
from packdesign.planning.verdicts.verdict import Status, overall_status

__all__ = ["Assessment", "JudgedPack"]


@dataclass(frozen=True, slots=True, kw_only=True)
class JudgedPack(Judged):
    """One pack under its load, with every verdict; all of an assessment but the charge plan."""

    brief: Brief
    design: PackDesign
    loading: Loading
    discharge: DischargeOutcome
    gauge: Gauge
    situation: Situation
    cautions: tuple[str, ...]

    @property
    def overall(self) -> Status:
        """Status of the whole."""
        return overall_status(self.verdicts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Assessment(JudgedPack):
    """Everything that was found out about one pack for one brief."""

    charge: ChargePlan
