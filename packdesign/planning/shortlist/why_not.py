"""Why one cell is not on the shortlist, and the smallest change that would admit it.

Currents and ramps are found by trying; the rest follows from the limit (:mod:`.changes`).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from packdesign.data.cells import Cell
from packdesign.foundation.errors import InputError
from packdesign.planning.brief.change import changed_brief
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.cells import cell_table_of
from packdesign.planning.shortlist.change import Change
from packdesign.planning.shortlist.changes import known_change, lower_minimum
from packdesign.planning.shortlist.envelope import open_brief
from packdesign.planning.shortlist.record import Rejected, Stage
from packdesign.planning.shortlist.rooms import Rooms
from packdesign.planning.shortlist.service import shortlist

__all__ = ["explained", "why_not"]

_TRIES: Final = 6
"""Halvings in which a current or a ramp is found: to 1/64 of its range."""
_LEAST_CURRENT: Final = 0.1
_LONGEST_RAMP: Final = 8.0
"""Farthest that a current limit or a ramp is turned, as shares of what it is; own choice. [-]"""
_MOST_STEPS: Final = 6
"""Limits that are moved one after the other for one cell; own choice. [-]"""
_TRIED: Final = ("voltage_min_", "burst_current", "continuous_current")
"""Limits of which the change is found by trying."""


def why_not(brief: Brief, name: str, *, any_parts: bool = False) -> Rejected | None:
    """Say why one cell is not on the shortlist, and what would admit it.

    Parameters
    ----------
    brief : Brief
        The brief.
    name : str
        Maker and part number, or the part number alone.
    any_parts : bool
        Leave out board and charger, as in :func:`.service.shortlist`.

    Returns
    -------
    Rejected or None
        None where a pack of it passes.

    Raises
    ------
    UnknownNameError
        If there is no such cell.
    """
    cell = cell_table_of(brief).find(name)
    found = shortlist(brief, any_parts=any_parts, cells=(cell,), most=1, exact=1)
    if found.best is not None or not found.rejected:
        return None
    return explained(brief, found.rejected[0], any_parts=any_parts)


def explained(brief: Brief, fallen: Rejected, *, any_parts: bool = False) -> Rejected:
    """Add the smallest change that admits a cell: change upon change, until a pack of it passes.

    Parameters
    ----------
    brief : Brief
        The brief.
    fallen : Rejected
        The cell that fell.
    any_parts : bool
        Leave out board and charger.

    Returns
    -------
    Rejected
        With ``admits`` true where the brief was changed, run and a pack of the cell assessed in
        full; else false, and the words say what falls next.
    """
    if fallen.admits is not None:
        return fallen  # explained already
    wanted = open_brief(brief, any_parts=any_parts)
    steps: list[Change] = []
    here = fallen
    for _ in range(_MOST_STEPS):
        changes = _changes_for(changed_brief(wanted, _keys(steps)), here)
        if not changes or not changes[0].keys:
            return _not_admitted(fallen, steps, here, changes[0] if changes else None)
        try:
            change, then = _first_that_admits(wanted, fallen.cell, steps, changes)
        except InputError as error:
            steps.append(changes[0])
            told = f"{_words(steps)}; but then: {error}"
            return replace(fallen, change=told, keys=_keys(steps), admits=False)
        steps.append(change)
        if then is None:
            return replace(fallen, change=_words(steps), keys=_keys(steps), admits=True)
        here = then
    return _not_admitted(fallen, steps, here, None)


def _first_that_admits(
    brief: Brief, cell: Cell, steps: Sequence[Change], changes: Sequence[Change]
) -> tuple[Change, Rejected | None]:
    """Try one change after the other; the last of them, with what falls then, if none admits."""
    for change in changes[:-1]:
        if _tried(brief, cell, [*steps, change]) is None:
            return change, None
    return changes[-1], _tried(brief, cell, [*steps, changes[-1]])


def _tried(brief: Brief, cell: Cell, steps: Sequence[Change]) -> Rejected | None:
    """Change a brief and say what falls then; None where a pack of the cell passes in full."""
    changed = changed_brief(brief, _keys(steps))
    for exact in (0, 1):
        found = shortlist(changed, cells=(cell,), most=1, exact=exact)
        if found.best is None:
            return found.rejected[0]
    return None


def _keys(steps: Sequence[Change]) -> dict[str, object]:
    """All keys of several changes, later ones over earlier ones."""
    return {key: value for step in steps for key, value in step.keys.items()}


def _words(steps: Sequence[Change]) -> str:
    """Several changes in words, without those that a later one has overwritten."""
    told = []
    for place, step in enumerate(steps):
        later = set(_keys(steps[place + 1 :]))
        if not set(step.keys) <= later:
            told.append(step.words)
    return ", and ".join(told)


def _not_admitted(
    fallen: Rejected, steps: Sequence[Change], here: Rejected, change: Change | None
) -> Rejected:
    """Say how far the changes lead, and what stands in the way then."""
    hint = here.change if change is None else change.words
    if not steps:
        return replace(fallen, change=hint, admits=False)
    then = f"{here.reason}; {hint}" if hint else here.reason
    return replace(
        fallen, change=f"{_words(steps)}; but then: {then}", keys=_keys(steps), admits=False
    )


def _changes_for(brief: Brief, fallen: Rejected) -> list[Change]:
    """Ways to move one limit, the one that asks for least first."""
    if fallen.limit == "mass":
        return [Change(words=fallen.change, keys=fallen.keys)]
    if not fallen.limit.startswith(_TRIED) or fallen.stage is not Stage.RUN:
        known = known_change(brief, fallen, Rooms(brief), thorough=True)
        return [] if known is None else [known]
    lower = lower_minimum(brief, fallen)
    return [*_softer_loads(brief, fallen), *([] if lower is None else [lower])]


def _softer_loads(brief: Brief, fallen: Rejected) -> Iterator[Change]:
    """Find the current limits and the ramps with which a pack of the cell keeps the limit."""
    for place, motor in enumerate(brief.all_motors):
        if motor.drive is None:
            continue
        table = "motor" if brief.motor is not None and place == 0 else f"motors.{place}"
        for words, field, unit, now, far in (
            ("current limit", "current_limit", "A", motor.drive.current_limit_a, _LEAST_CURRENT),
            ("ramp", "ramp_up", "s", motor.drive.ramp_up_s, _LONGEST_RAMP),
        ):
            if not now:
                continue
            knob = _Knob(key=f"{table}.drive.{field}", now=now, unit=unit)
            share = _least_change(brief, fallen, knob, far=far)
            if share is not None:
                yield Change(
                    words=f"a {words} of {now * share:.3g} {unit} for {motor.name} instead of "
                    f"{now:g} {unit}",
                    keys=knob.turned(share),
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Knob:
    """A figure of a brief that may be turned."""

    key: str
    now: float
    unit: str

    def turned(self, share: float) -> Mapping[str, object]:
        """Give the key with its value at a share of what it is now."""
        return {self.key: f"{self.now * share:.3g} {self.unit}"}


def _keeps(brief: Brief, fallen: Rejected, changes: Mapping[str, object]) -> bool:
    """Whether a pack of the cell passes, or falls for something else than before."""
    try:
        tried = changed_brief(brief, changes)
        found = shortlist(tried, cells=(fallen.cell,), most=1, exact=0)
    except InputError:
        return False
    return found.best is not None or found.rejected[0].limit != fallen.limit


def _least_change(brief: Brief, fallen: Rejected, knob: _Knob, *, far: float) -> float | None:
    """Find by halving the factor nearest to 1 that keeps the limit; None if the far end fails."""
    if not _keeps(brief, fallen, knob.turned(far)):
        return None
    good, bad = far, 1.0
    for _ in range(_TRIES):
        middle = math.sqrt(good * bad)
        if _keeps(brief, fallen, knob.turned(middle)):
            good = middle
        else:
            bad = middle
    return good
