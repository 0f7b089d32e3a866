"""A shortlist as plain rows, to pass between processes and to stand in tables."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from packdesign.planning.shortlist.ranking import pareto_front
from packdesign.planning.shortlist.record import Candidate, Rejected, Shortlist

__all__ = ["shortlist_rows"]


def shortlist_rows(found: Shortlist) -> dict[str, Any]:
    """Give the rows of a shortlist.

    Parameters
    ----------
    found : Shortlist
        What the search found.
    """
    every: Sequence[Any] = (*found.candidates, *found.others)  # a front asks for figures only
    return {
        "candidates": [_candidate(each) for each in found.candidates],
        "others": [_candidate(each) for each in found.others],
        "rejected": [_rejected(each) for each in found.rejected],
        "front": [each.trial.name for each in pareto_front(every, by=("run_time", "mass"))],
        "considered": found.considered,
        "fit": found.fit,
        "seconds": found.seconds,
    }


def _candidate(each: Candidate) -> dict[str, Any]:
    figures = each.figures
    return {
        "name": each.trial.name,
        "cell": each.trial.cell.name,
        "series": each.trial.series,
        "parallel": each.trial.parallel,
        "rank": each.rank,
        "status": each.status.value,
        "run_time_s": each.run.run_time_s.mid,
        "mass_g": each.pack.mass_g,
        "energy_wh": each.pack.energy_wh,
        "peak_cell_degc": each.run.peak_cell_degc.mid,
        "min_voltage_v": each.run.min_voltage_v.mid,
        "margin_percent": 100 * figures.margin_fraction,
        "charge_time_s": figures.charge_time_s,
        "because": list(each.because),
        "is_exact": each.is_exact,
    }


def _rejected(each: Rejected) -> dict[str, Any]:
    return {
        "cell": each.cell.name,
        "pack": each.pack,
        "limit": each.limit,
        "reason": each.reason,
        "change": each.change,
    }
