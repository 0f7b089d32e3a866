"""How hot it gets beside the cells, where fuse and leads are, on the hottest day of use."""

from __future__ import annotations

from typing import Final

from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.heat import ambient_degc, hottest_day_k

__all__ = ["beside_cells_degc", "lead_before_short_degc"]

_UNKNOWN_PLACE_DEGC: Final = 40.0
"""Lead before a short circuit where the brief tells of no air: own choice. [degC]"""


def beside_cells_degc(brief: Brief, outcome: DischargeOutcome) -> float:
    """Give the air beside the cells on the hottest day. [degC]

    Parameters
    ----------
    brief : Brief
        The brief.
    outcome : DischargeOutcome
        What the pack does in its place.

    Notes
    -----
    In the open that of the day. In a cavity the model has no air of its own between cells and wall:
    it is taken as hot as the hottest cell, the most that the cells can make it.
    """
    hotter_k = hottest_day_k(brief)
    if brief.cavity is None or brief.cavity.shape == "open":
        return ambient_degc(brief) + hotter_k
    return max(outcome.peak_cell_degc.mid, ambient_degc(brief)) + hotter_k


def lead_before_short_degc(brief: Brief, outcome: DischargeOutcome) -> float:
    """Give the temperature of the lead when a short circuit begins. [degC]

    Parameters
    ----------
    brief : Brief
        The brief.
    outcome : DischargeOutcome
        What the pack does in its place.

    Notes
    -----
    Of its place; what the load adds to it is left out: 10 K more copper melts some 2 % sooner.
    """
    place_degc, around = beside_cells_degc(brief, outcome), brief.surroundings
    is_known = around is not None and not (
        around.ambient_degc is None and around.ambient_max_degc is None
    )
    return place_degc if is_known else max(place_degc, _UNKNOWN_PLACE_DEGC)
