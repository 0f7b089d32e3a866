"""Verdict on a measured log as the load: whether the pack carries it to its end."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from packdesign.foundation.basis import Basis
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.loading import Loading
from packdesign.planning.verdicts.judge import spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_log"]

_AT_ONCE_S: Final = 60.0
"""A pack that ends sooner, and before the log, has failed at once: own choice. [s]"""
_WHOLE: Final = 1.0 - 1e-9
"""A log that lacks less than this was whole: the steps of a run add up to its last digits. [-]"""


def judge_log(loading: Loading, outcome: DischargeOutcome) -> Iterator[Verdict]:
    """Judge how far the pack carries a log; nothing to say of a load that repeats.

    Parameters
    ----------
    loading : Loading
        What is asked of the pack.
    outcome : DischargeOutcome
        What it does.

    Yields
    ------
    Verdict
        "log_met", in seconds, where even a pack at the good end of its band ends before the log: a
        stop where it ends at once, else a caution, for a log may well go on to an empty pack.
    """
    log_s, runs_s = loading.demand.period_s, outcome.run_time_s
    if loading.demand.repeats or runs_s.high >= log_s * _WHOLE:
        return
    at_once = runs_s.mid < _AT_ONCE_S
    yield Verdict(
        id="log_met",
        status=Status.STOP if at_once else Status.CAUTION,
        value=runs_s.mid,
        limit=log_s,
        unit="s",
        margin=runs_s.mid / log_s - 1.0,
        reason=(
            f"The log lasts {spoken(log_s, 's')}; the pack ends "
            f"{'at once, ' if at_once else ''}after {spoken(runs_s.mid, 's')} ({outcome.ends_by})."
        ),
        fix="Use a stiffer or larger pack, start it fuller or warmer, or use a log that asks less.",
        basis=Basis.PUBLISHED,
        source="discharge of the pack under the log",
    )
