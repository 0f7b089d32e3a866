"""A brief that leaves its pack open, with the best of its shortlist written into it."""

from __future__ import annotations

from collections.abc import Callable

from packdesign.foundation.errors import InputError
from packdesign.planning.brief.schema import Brief
from packdesign.planning.shortlist.appraisal import brief_for
from packdesign.planning.shortlist.service import best_trial

__all__ = ["with_chosen_pack"]


def with_chosen_pack(
    brief: Brief, *, progress: Callable[[str, float], None] | None = None
) -> tuple[Brief, str]:
    """Give the brief with a pack in it, and the name of that pack where the shortlist chose it.

    Parameters
    ----------
    brief : Brief
        The brief.
    progress : callable or None
        Told how far the work is.

    Returns
    -------
    tuple of Brief and str
        The brief as it is and an empty name where it names its cell.

    Raises
    ------
    InputError
        If it names none and no pack passes.
    """
    if brief.pack is not None and brief.pack.cell is not None:
        return brief, ""
    trial = best_trial(brief, progress=progress)
    if trial is None:
        msg = (
            "the brief names no cell, and no pack of the shortlist passes; 'packdesign shortlist' "
            "says what fell first and what would do"
        )
        raise InputError(msg)
    return brief_for(brief, trial), trial.name
