"""What the mission takes, and the demand of packs of about one voltage.

The demand of motors depends on the pack through its voltage and its sag. For the search it is
worked out once for each class of voltage, with the stiffest pack of the class; the packs that
come out on top get their own.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import Demand
from packdesign.foundation.constants import SECONDS_PER_HOUR
from packdesign.planning.assess.judge_electrical import wished_run_time_s
from packdesign.planning.assess.loading import Loading
from packdesign.planning.brief.schema import Brief

__all__ = ["Need", "condensed", "need_of", "stretched", "voltage_class"]

_CLASS_RATIO: Final = 1.25
"""Packs within this ratio of nominal voltage share one demand: with a duty set by the driver, a
load of constant torque takes the same current at any of them; own choice."""
_HIGH_SHARE: Final = 0.7
"""Pieces over this share of the peak within one action are kept apart as its peak; own choice."""

_MOST_LOG_PIECES: Final = 400
_MOST_PIECES: Final = 800
_MOST_USES: Final = 80
_FEWEST_USES: Final = 12
"""Pieces and uses that the longest run of a search is made of: bounds its time; own choice. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """What the mission takes from the pack, nearly the same for every pack."""

    energy_wh: float | None
    """For the time wished; None where the brief wishes none. [W h]"""
    rms_w: float
    """Root-mean-square power, for a first count in parallel. [W]"""


def need_of(brief: Brief, loading: Loading, *, voltage_v: float) -> Need:
    """Give what the mission takes at one pack voltage.

    Parameters
    ----------
    brief : Brief
        The brief.
    loading : Loading
        What is asked of the pack.
    voltage_v : float
        Voltage of the pack. [V]
    """
    demand = loading.demand
    time_s = wished_run_time_s(brief, loading.demand)
    mean_w = demand.mean_current_a(voltage_v=voltage_v) * voltage_v
    return Need(
        energy_wh=None if time_s is None else mean_w * time_s / SECONDS_PER_HOUR,
        rms_w=demand.rms_current_a(voltage_v=voltage_v) * voltage_v,
    )


def voltage_class(brief: Brief, *, nominal_v: float) -> int:
    """Give the class of a pack voltage; without motors the demand is the same for all.

    Parameters
    ----------
    brief : Brief
        The brief.
    nominal_v : float
        Nominal voltage of the pack. [V]
    """
    if brief.log_given or not brief.all_motors:
        return 0
    return round(math.log(nominal_v) / math.log(_CLASS_RATIO))


def condensed(demand: Demand) -> Demand:
    """Draw neighbouring pieces of one action together: one for its peak, one for the rest.

    Charge, energy and length of every action stay; a search needs no more. A log, which has no
    actions, is drawn together by equal numbers of pieces.

    Parameters
    ----------
    demand : Demand
        Pieces of constant demand.

    Examples
    --------
    >>> amps = np.array([9.0, 8.0, 2.0, 2.2])
    >>> fine = Demand(duration_s=np.ones(4), current_a=amps, power_w=np.zeros(4),
    ...               label=("start",) * 4)
    >>> condensed(fine).current_a.tolist(), condensed(fine).duration_s.tolist()
    ([8.5, 2.1], [2.0, 2.0])
    """
    groups = _by_action(demand)
    if len(set(demand.label)) == 1 and len(demand.label) > _MOST_LOG_PIECES:
        groups = np.array_split(np.arange(len(demand.label)), _MOST_LOG_PIECES)
    share = [demand.duration_s[each] / demand.duration_s[each].sum() for each in groups]
    return replace(
        demand,
        duration_s=np.array([demand.duration_s[each].sum() for each in groups]),
        current_a=np.array(
            [part @ demand.current_a[each] for part, each in zip(share, groups, strict=True)]
        ),
        power_w=np.array(
            [part @ demand.power_w[each] for part, each in zip(share, groups, strict=True)]
        ),
        label=tuple(demand.label[int(each[0])] for each in groups),
    )


def _by_action(demand: Demand) -> list[NDArray[np.intp]]:
    """Positions of the pieces of each run of one action, those near its peak first."""
    amps = demand.current_at_a(voltage_v=max(demand.minimum_v, 1.0))
    edges = [k for k in range(1, len(amps)) if demand.label[k] != demand.label[k - 1]]
    groups = []
    for inside in np.split(np.arange(len(amps)), edges):
        high = amps[inside] >= _HIGH_SHARE * np.max(amps[inside])
        groups += [part for part in (inside[high], inside[~high]) if part.size]
    return groups


def stretched(demand: Demand, *, longest_s: float) -> Demand:
    """Do fewer and longer uses of the device in the same time, at the same mean demand.

    Parameters
    ----------
    demand : Demand
        What is asked, condensed.
    longest_s : float
        Longest run to expect. [s]

    Notes
    -----
    The state of charge and the mean heat stay; what a pulse does within its first seconds does not,
    and is taken from the worst moment instead.

    Examples
    --------
    >>> use = Demand(duration_s=np.array([10.0]), current_a=np.array([1.0]),
    ...              power_w=np.zeros(1), label=("hold",))
    >>> stretched(use, longest_s=80000.0).period_s
    1000.0
    """
    if not demand.repeats:
        return demand
    uses = min(max(_MOST_PIECES / len(demand.label), _FEWEST_USES), _MOST_USES)
    factor = max(longest_s / (uses * demand.period_s), 1.0)
    return replace(demand, duration_s=demand.duration_s * factor)
