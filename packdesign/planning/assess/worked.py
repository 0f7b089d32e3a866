"""What a pack does in its work, as far as its ageing depends on it."""

from __future__ import annotations

from typing import Final

from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.hardest_stretch import peak_lasts_s
from packdesign.planning.assess.judge_electrical import (
    peak_current_a,
    wished_run_time_s,
)
from packdesign.planning.assess.loading import Loading
from packdesign.planning.assess.worst_charge import worst_charge
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.heat import coldest_degc
from packdesign.planning.needs.upkeep import WorkedPack
from packdesign.planning.upkeep.aged_burst import Burst
from packdesign.planning.verdicts.current import LONGEST_BURST_S

__all__ = ["worked_pack"]

_SHORTEST_BURST_S: Final = 0.05
_LEAST_SOC: Final = 0.01
"""A burst at no charge at all has no meaning; own choice. [-]"""
_COLD_DEGC: Final = -20.0
"""Down to where a burst is tried, where no colder day is told: cells discharge to -20 degC by most
sheets. [degC]"""


def worked_pack(
    brief: Brief, design: PackDesign, loading: Loading, outcome: DischargeOutcome
) -> WorkedPack:
    """Sum up the work of a pack for the plan of its upkeep.

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
    """
    return WorkedPack(
        cell=design.cell,
        parallel=design.parallel,
        full_v=design.full_v,
        rms_a=outcome.summary.rms_current_a,
        run_time_s=outcome.run_time_s.mid,
        wished_s=wished_run_time_s(brief, loading.demand),
        burst=_burst(brief, design, loading, outcome),
    )


def _burst(
    brief: Brief, design: PackDesign, loading: Loading, outcome: DischargeOutcome
) -> Burst | None:
    """The hardest moment near empty; None where nothing has a least voltage."""
    peak_a = peak_current_a(loading, outcome)
    if loading.demand.minimum_v <= 0 or peak_a <= 0:
        return None
    length_s = max(peak_lasts_s(design, loading, outcome, peak_a=peak_a), _SHORTEST_BURST_S)
    return Burst(
        current_a=peak_a,
        length_s=min(length_s, LONGEST_BURST_S),
        soc=max(worst_charge(brief, design.model.cell).share, _LEAST_SOC),
        needed_v=loading.demand.minimum_v,
        coldest_degc=min(_COLD_DEGC, coldest_degc(brief)),
    )
