"""Verdict on the time that a motor is given to come to its speed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from packdesign.engineering.demand.actions import DeedResult
from packdesign.foundation.basis import Basis
from packdesign.planning.assess.loading import Loading
from packdesign.planning.brief.schema import Brief
from packdesign.planning.verdicts.judge import slug, spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_run_up"]

_NEAR_ENOUGH: Final = 0.9
"""Share of its settled speed at which a motor has come to it: own choice. [-]"""
_PERCENT: Final = 100.0


def judge_run_up(brief: Brief, loading: Loading) -> Iterator[Verdict]:
    """Judge whether each motor gets to its speed in the time that its actions give it.

    Parameters
    ----------
    brief : Brief
        The brief.
    loading : Loading
        What is asked of the pack.

    Yields
    ------
    Verdict
        "run_up_" with the name of the motor, where one of its actions brings it to a speed.

    Notes
    -----
    A start that is cut short goes on in the next action where that drives the same way; only the
    last action of such a row is judged. What comes after 30 s of a run-up is taken as settled by
    the mission, so a machine that takes longer is told here and nowhere else.
    """
    if loading.mission is None:
        return
    for section in brief.all_motors:
        mine = [
            (action, each) for action, name, each in loading.mission.deeds if name == section.name
        ]
        ends = [pair for pair in _ends_of_rows(mine) if pair[1].reached_fraction is not None]
        if not ends:
            continue
        action, worst = min(ends, key=lambda pair: pair[1].reached_fraction or 0.0)
        reached = _PERCENT * (worst.reached_fraction or 0.0)
        is_near = reached >= _PERCENT * _NEAR_ENOUGH
        ran_s = float(worst.transient.time_s[-1]) if worst.transient is not None else 0.0
        yield Verdict(
            id=f"run_up_{slug(section.name)}",
            status=Status.OK if is_near else Status.CAUTION,
            value=reached,
            limit=_PERCENT * _NEAR_ENOUGH,
            unit="%",
            margin=reached / (_PERCENT * _NEAR_ENOUGH) - 1.0,
            reason=(
                f"{section.name} comes to its speed in '{action}'."
                if is_near
                else f"{section.name} has {reached:.0f} % of its speed after {spoken(ran_s, 's')} "
                f"of '{action}': what the mission says of its work is not what it does."
            ),
            fix=""
            if is_near
            else "Give the action the time that the run-up takes, allow more current, or check "
            "mass, inertia and gear of the load.",
            basis=Basis.PUBLISHED,
            source="coupled transient of motor, load, driver and pack; 90 % of the settled speed: "
            "own choice",
        )


def _ends_of_rows(deeds: Sequence[tuple[str, DeedResult]]) -> Iterator[tuple[str, DeedResult]]:
    """Of actions that go on with each other's run-up, give the last."""
    for place, (action, result) in enumerate(deeds):
        if result.after.settled or not _goes_on(result, deeds[place + 1 : place + 2]):
            yield action, result


def _goes_on(result: DeedResult, after: Sequence[tuple[str, DeedResult]]) -> bool:
    """Whether the next action drives the same way."""
    return bool(after) and after[0][1].after.duty * result.after.duty > 0
