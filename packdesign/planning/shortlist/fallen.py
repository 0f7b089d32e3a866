"""Which limit fell first for a cell that was run, in its best try, and by how much."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from packdesign.foundation.spoken_time import spoken_time
from packdesign.planning.shortlist.appraisal import Appraised
from packdesign.planning.shortlist.record import Rejected, Stage
from packdesign.planning.verdicts.verdict import Verdict

__all__ = ["fallen_in_run"]

_PERCENT: Final = 100.0
_WORDS: Final = {
    "voltage_min_": "sags to {value:.1f} V at the worst moment; {device} needs {limit:.1f} V",
    "voltage_max_": "reaches {value:.1f} V; {device} bears {limit:.1f} V",
    "continuous_current": "{value:.1f} A steady is {over} above its rating of {limit:g} A",
    "burst_current": "{value:.1f} A at the peak is {over} above its rating of {limit:g} A",
    "charge_current": "{value:.2f} A of charge is {over} above the {limit:g} A it takes",
    "run_time": "runs {runs} of the {wished} wished, {over} short",
}
"""How each limit fell, by the start of its name."""


def fallen_in_run(packs: Iterable[Appraised], standing: set[str]) -> list[Rejected]:
    """Give one rejection for each cell that was run and of which no pack stands.

    Parameters
    ----------
    packs : iterable of Appraised
        All packs that were run.
    standing : set of str
        Names of cells with a pack that nothing stops.
    """
    best: dict[str, Appraised] = {}
    for pack in packs:
        name = pack.trial.cell.name
        if name in standing or not pack.figures.stops:
            continue
        if name not in best or _how_far(pack) < _how_far(best[name]):
            best[name] = pack
    return [_rejection(pack) for pack in best.values()]


def _how_far(pack: Appraised) -> tuple[int, float]:
    """Sort tries of a cell: fewest stops, then the least excess."""
    worst = min((each.margin or 0.0 for each in pack.own_stops), default=0.0)
    return pack.figures.stops, -worst


def _rejection(pack: Appraised) -> Rejected:
    verdict = pack.own_stops[0]
    trial = pack.trial
    return Rejected(
        cell=trial.cell,
        series=trial.series,
        parallel=trial.parallel,
        stage=Stage.RUN,
        limit=verdict.id,
        reason=_words(verdict),
        over_fraction=None if verdict.margin is None else max(-verdict.margin, 0.0),
        change=verdict.fix,
    )


def _words(verdict: Verdict) -> str:
    value, limit, margin = verdict.value, verdict.limit, verdict.margin
    if value is None or limit is None or margin is None:
        return verdict.reason.rstrip(".")
    over = f"{-margin * _PERCENT:.0f} %"
    for start, words in _WORDS.items():
        if verdict.id.startswith(start):
            device = verdict.id.removeprefix(start).replace("_", " ")
            return words.format(
                value=value,
                limit=limit,
                over=over,
                device=device,
                runs=spoken_time(value),
                wished=spoken_time(limit),
            )
    return verdict.reason.rstrip(".")
