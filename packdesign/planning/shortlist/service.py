"""The shortlist in one call: every pack that could be built, searched, run, judged and ranked."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Sequence
from typing import Final

from packdesign.data.cells import Cell
from packdesign.foundation.errors import BriefError
from packdesign.planning.assess.loading import loading_of
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.cells import cell_table_of
from packdesign.planning.needs.mission import has_demand
from packdesign.planning.shortlist.appraisal import (
    NOT_ASSESSED,
    Appraised,
    appraised,
    assessed_in_full,
    without_shared_stops,
)
from packdesign.planning.shortlist.because import because
from packdesign.planning.shortlist.changes import with_known_changes
from packdesign.planning.shortlist.envelope import Envelope, envelope_of, open_brief
from packdesign.planning.shortlist.fallen import fallen_in_run
from packdesign.planning.shortlist.need import Need, need_of
from packdesign.planning.shortlist.ranking import Ranked, ranked
from packdesign.planning.shortlist.record import Candidate, Rejected, Shortlist, Trial
from packdesign.planning.shortlist.rooms import Rooms
from packdesign.planning.shortlist.screening import rough_design, screened
from packdesign.planning.shortlist.search import Search, search
from packdesign.planning.verdicts.verdict import Status

__all__ = ["ASSESSED", "MOST_CANDIDATES", "best_trial", "shortlist"]

Progress = Callable[[str, float], None]
"""Told what is being done, and the share of the work behind it. [-]"""

MOST_CANDIDATES: Final = 10
"""Packs listed unless asked otherwise. [-]"""
ASSESSED: Final = 1
"""Packs assessed in full unless asked otherwise: one takes longer than the whole search. [-]"""
_TRIES: Final = 3
"""Packs assessed in full for each one asked, at most, where an assessment puts some back. [-]"""
_SEVERAL: Final = 2
"""A stop of one pack is its own; the same stop of two is taken for one of the brief. [-]"""
_SCREENED_SHARE: Final = 0.4


def shortlist(
    brief: Brief,
    *,
    most: int = MOST_CANDIDATES,
    exact: int = ASSESSED,
    any_parts: bool = False,
    cells: Sequence[Cell] | None = None,
    progress: Progress | None = None,
) -> Shortlist:
    """Find the best packs of all that could be built for a brief.

    Parameters
    ----------
    brief : Brief
        The brief; a cell it names is asked about with all others.
    most : int
        How many packs to list, each of another cell. [-]
    exact : int
        How many of them, from the first on, to assess in full; the figures of the others are those
        of the search. [-]
    any_parts : bool
        Leave out the board and the charger of the brief: they are bought to suit the pack.
    cells : sequence of Cell or None
        Cells to choose among; None is the shipped table and the brief's own.
    progress : callable or None
        Told how far the work is.

    Returns
    -------
    Shortlist
        Candidates best first, all other packs that were run, and why the other cells fell.

    Raises
    ------
    BriefError
        If nothing in the brief draws current.
    InputError
        If the brief cannot be used as written.
    """
    started_s = time.perf_counter()
    tell = progress or _silent
    wanted = open_brief(brief, any_parts=any_parts)
    if not has_demand(wanted):
        msg = (
            "nothing in the brief draws current, so no pack is better than another; give a [motor] "
            "with a [mission], [[loads]] with watts or amps, or a [load] log"
        )
        raise BriefError(msg)
    rooms = Rooms(wanted)
    found, packs = _screened(wanted, tuple(cells or cell_table_of(wanted)), rooms, tell)
    screened_s = time.perf_counter() - started_s
    order = _with_best_in_full(wanted, packs, exact=min(exact, most), tell=tell)
    tell("done", 1.0)
    first, rest = _best_of_each_cell(order, most=most)
    candidates = _candidates(first, rank_from=1)
    return Shortlist(
        candidates=candidates,
        others=_candidates(rest, rank_from=len(first) + 1),
        rejected=with_known_changes(wanted, _rejected(found, order), rooms),
        considered=found.considered,
        fit=found.fit,
        run=len(packs),
        screened_s=screened_s,
        seconds=time.perf_counter() - started_s,
    )


def best_trial(brief: Brief, *, progress: Progress | None = None) -> Trial | None:
    """Give the cell and counts of the best pack, for a brief that leaves them open.

    Parameters
    ----------
    brief : Brief
        The brief.
    progress : callable or None
        Told how far the work is.

    Returns
    -------
    Trial or None
        None where no pack passes.
    """
    best = shortlist(brief, most=1, exact=1, progress=progress).best
    return None if best is None else best.trial


def _screened(
    brief: Brief, cells: Sequence[Cell], rooms: Rooms, tell: Progress
) -> tuple[Search, list[Appraised]]:
    """Search, run and judge the whole table."""
    envelope = envelope_of(brief)
    tell("demand", 0.0)
    need = _need(brief, cells, rooms, envelope)
    tell("room for every cell", 0.1)
    found = search(brief, cells, rooms, envelope, need)

    def run(what: str, share: float) -> None:
        tell(what, 0.2 + (_SCREENED_SHARE - 0.2) * share)

    packs = [
        appraised(brief, each, cavity_m3=rooms.volume_m3)
        for each in screened(brief, found.trials, rooms, run)
    ]
    return found, packs


def _need(
    brief: Brief,
    cells: Sequence[Cell],
    rooms: Rooms,
    envelope: Envelope,
) -> Need:
    """Work out what the mission takes with the first pack that goes in at all."""
    for cell in cells:
        for series in envelope.series_for(cell):
            if rooms.of(cell).most >= series:
                trial = Trial(cell=cell, series=series, parallel=1)
                design = rough_design(brief, trial, rooms)
                loading = loading_of(brief, design, with_worst=False)
                return need_of(brief, loading, voltage_v=design.nominal_v)
    return Need(energy_wh=None, rms_w=0.0)


def _with_best_in_full(
    brief: Brief, packs: Sequence[Appraised], *, exact: int, tell: Progress
) -> tuple[Ranked, ...]:
    """Rank, and assess the first ones in full until those that come first are all assessed."""
    known = {pack.trial: pack for pack in packs}
    order = ranked(brief, packs)
    for done in range(_TRIES * exact):
        first = [each.pack for each in _best_of_each_cell(order, most=exact)[0]]
        todo = next((each for each in first if not each.is_exact), None)
        if todo is None:
            break
        share = _SCREENED_SHARE + (1 - _SCREENED_SHARE) * min(done / exact, 0.99)
        tell(f"assessing {todo.trial.name}", share)
        known[todo.trial] = assessed_in_full(brief, todo)
        shared = _shared_stops(known.values())
        order = ranked(brief, [_ranked_by(pack, shared) for pack in known.values()])
    return order


def _shared_stops(packs: Iterable[Appraised]) -> frozenset[str]:
    """Verdicts that stop each of the packs assessed, where there are several."""
    stopping = [
        {each.id for each in pack.verdicts if each.status is Status.STOP}
        for pack in packs
        if pack.is_exact
    ]
    if len(stopping) < _SEVERAL:
        return frozenset()
    return frozenset(set.intersection(*stopping)) - {NOT_ASSESSED}


def _ranked_by(pack: Appraised, shared: frozenset[str]) -> Appraised:
    return without_shared_stops(pack, shared) if pack.is_exact else pack


def _best_of_each_cell(order: Sequence[Ranked], *, most: int) -> tuple[list[Ranked], list[Ranked]]:
    """Part the first few, each of another cell and without a stop, from all the others."""
    first: list[Ranked] = []
    rest: list[Ranked] = []
    seen: set[str] = set()
    for each in order:
        name = each.pack.trial.cell.name
        if len(first) < most and name not in seen and not each.pack.figures.stops:
            seen.add(name)
            first.append(each)
        else:
            rest.append(each)
    return first, rest


def _candidates(order: Sequence[Ranked], *, rank_from: int) -> tuple[Candidate, ...]:
    return tuple(
        Candidate(
            trial=each.pack.trial,
            rank=rank_from + place,
            status=each.pack.status,
            because=because(each, above=order[place - 1] if place else None),
            pack=each.pack.pack,
            run=each.pack.run,
            figures=each.pack.figures,
            verdicts=each.pack.verdicts,
            is_exact=each.pack.is_exact,
        )
        for place, each in enumerate(order)
    )


def _rejected(found: Search, order: Sequence[Ranked]) -> tuple[Rejected, ...]:
    """Gather one rejection for each cell without a pack that stands, nearest first."""
    packs = [each.pack for each in order]
    standing = {pack.trial.cell.name for pack in packs if not pack.figures.stops}
    fallen = [*found.rejected, *fallen_in_run(packs, standing)]
    return tuple(
        sorted(fallen, key=lambda each: (-each.stage, each.over_fraction or 0.0, each.cell.name))
    )


def _silent(what: str, share: float) -> None:
    """Tell nobody."""
