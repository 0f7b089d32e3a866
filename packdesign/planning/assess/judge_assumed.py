"""Verdicts on what a brief leaves open: each figure assumed, so that it can be looked up."""

from __future__ import annotations

from collections.abc import Iterator

from packdesign.foundation.basis import Basis
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.assumptions import assumptions_of
from packdesign.planning.verdicts.judge import slug
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_assumed"]


def judge_assumed(brief: Brief) -> Iterator[Verdict]:
    """Name each figure that nobody gave and that the whole judgement leans on.

    Parameters
    ----------
    brief : Brief
        The brief.

    Yields
    ------
    Verdict
        "assumed_" and whose figure it is; a caution each.
    """
    for each in assumptions_of(brief):
        yield Verdict(
            id=f"assumed_{slug(each.about)}",
            status=Status.CAUTION,
            reason=each.says,
            fix=each.ask,
            basis=Basis.ASSUMED,
            source="left out of the brief",
        )
