"""Why one cell is not on the shortlist, and the smallest change that would admit it.

Currents and ramps are found by trying; the rest follows from the limit (:mod:`.changes`).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from packdesign.data.cells import Cell
from packdesign.foundation.errors import InputError
from packdesign.planning.brief.change import changed_brief
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.cells import cell_table_of
from packdesign.planning.shortlist.changes import Change, known_change
from packdesign.planning.shortlist.envelope import open_brief
from packdesign.planning.shortlist.record import Rejected
from packdesign.planning.shortlist.service import shortlist

__all__ = ["explained", "why_not"]

_TRIES: Final = 6
"""Halvings in which a current or a ramp is found: to 1/64 of its range."""
_LEAST_CURRENT: Final = 0.1
_LONGEST_RAMP: Final = 8.0
"""Farthest that a current limit or a ramp is turned, as shares of what it is; own choice. [-]"""
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
    first = explained(brief, found.rejected[0], any_parts=any_parts)
    return _with_next(brief, first, any_parts=any_parts)


def _with_next(brief: Brief, fallen: Rejected, *, any_parts: bool) -> Rejected:
    """Try the change, and say what falls next where it is not enough."""
    if not fallen.keys:
        return fallen
    wanted = open_brief(brief, any_parts=any_parts)
    try:
        found = shortlist(changed_brief(wanted, fallen.keys), cells=(fallen.cell,), most=1, exact=0)
    except InputError as error:
        return replace(fallen, change=f"{fallen.change}; but then: {error}")
    if found.best is not None or not found.rejected:
        return fallen
    return replace(fallen, change=f"{fallen.change}; but then: {found.rejected[0].reason}")


def explained(brief: Brief, fallen: Rejected, *, any_parts: bool = False) -> Rejected:
    """Add the smallest change that would admit a cell, where one is known.

    Parameters
    ----------
    brief : Brief
        The brief.
    fallen : Rejected
        The cell that fell.
    any_parts : bool
        Leave out board and charger.
    """
    if fallen.keys:
        return fallen  # explained already
    wanted = open_brief(brief, any_parts=any_parts)
    change = _change_for(wanted, fallen)
    if change is None:
        return fallen
    return replace(fallen, change=change.words, keys=change.keys)


def _change_for(brief: Brief, fallen: Rejected) -> Change | None:
    if fallen.limit.startswith(_TRIED):
        return _softer_load(brief, fallen)
    return known_change(brief, fallen)


def _softer_load(brief: Brief, fallen: Rejected) -> Change | None:
    """Find the current limit, else the ramp, with which a pack of the cell would pass."""
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
            share = _least_change(brief, fallen.cell, knob, far=far)
            if share is not None:
                return Change(
                    words=f"a {words} of {now * share:.3g} {unit} for {motor.name} instead of "
                    f"{now:g} {unit}",
                    keys=knob.turned(share),
                )
    return None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Knob:
    """A figure of a brief that may be turned."""

    key: str
    now: float
    unit: str

    def turned(self, share: float) -> Mapping[str, object]:
        """Give the key with its value at a share of what it is now."""
        return {self.key: f"{self.now * share:.3g} {self.unit}"}


def _passes(brief: Brief, cell: Cell, changes: Mapping[str, object]) -> bool:
    try:
        tried = changed_brief(brief, changes)
        found = shortlist(tried, cells=(cell,), most=1, exact=0)
    except InputError:
        return False
    return found.best is not None


def _least_change(brief: Brief, cell: Cell, knob: _Knob, *, far: float) -> float | None:
    """Find by halving the factor nearest to 1 that passes; None where the far end does not."""
    if not _passes(brief, cell, knob.turned(far)):
        return None
    good, bad = far, 1.0
    for _ in range(_TRIES):
        middle = math.sqrt(good * bad)
        if _passes(brief, cell, knob.turned(middle)):
            good = middle
        else:
            bad = middle
    return good
