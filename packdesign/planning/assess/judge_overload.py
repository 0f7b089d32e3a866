"""Verdict on a load that the pack cannot give at any voltage."""

from __future__ import annotations

from collections.abc import Iterator

from packdesign.foundation.basis import Basis
from packdesign.planning.assess.loading import Loading
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_overload"]


def judge_overload(loading: Loading) -> Iterator[Verdict]:
    """Say where motor, rails and loads together are beyond the pack.

    Parameters
    ----------
    loading : Loading
        What is asked of the pack.

    Yields
    ------
    Verdict
        "load_beyond_pack", a stop.
    """
    if not loading.beyond:
        return
    yield Verdict(
        id="load_beyond_pack",
        status=Status.STOP,
        reason=f"{'. '.join(loading.beyond)}.",
        fix="Ask for less at one time, or use more cells in series or in parallel.",
        basis=Basis.PUBLISHED,
        source="steady state of pack, wires, driver, motor and rails",
    )
