"""The verdict record and its four states; the checks are in the modules beside this one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from packdesign.foundation.basis import Basis

__all__ = ["Status", "Verdict", "gravity", "overall_status"]


class Status(StrEnum):
    """How a check came out."""

    OK = "ok"
    CAUTION = "caution"
    STOP = "stop"
    UNKNOWN = "unknown"


_GRAVITY: Final = (Status.OK, Status.UNKNOWN, Status.CAUTION, Status.STOP)


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """One check with everything needed to follow it: what was compared, and what to do."""

    id: str
    """Short name, words joined by underscores: "fuse_holds", "burst_current"."""
    status: Status
    value: float | None = None
    """The figure judged, in ``unit``."""
    limit: float | None = None
    """What it was held against, in ``unit``."""
    unit: str = ""
    margin: float | None = None
    """Room left before the limit as a fraction of the limit; negative is beyond. [-]"""
    reason: str = ""
    """One sentence: what was found."""
    fix: str = ""
    """What to change, empty where nothing need be."""
    basis: Basis = Basis.ASSUMED
    source: str = ""
    note: str = ""
    """What must be known even where it passes; it is part of ``reason`` as well."""


def gravity(status: Status) -> int:
    """Tell how grave a status is, to compare two: ok, unknown, caution, stop. [-]

    Parameters
    ----------
    status : Status
        Of a verdict.
    """
    return _GRAVITY.index(status)


def overall_status(verdicts: Iterable[Verdict]) -> Status:
    """Give the status of the whole: stop before caution before ok.

    An unknown counts as a caution: what nobody knows is never fine.

    Examples
    --------
    >>> overall_status([Verdict(id="a", status=Status.OK), Verdict(id="b", status=Status.UNKNOWN)])
    <Status.CAUTION: 'caution'>
    """
    seen = {verdict.status for verdict in verdicts}
    if Status.STOP in seen:
        return Status.STOP
    if seen & {Status.CAUTION, Status.UNKNOWN}:
        return Status.CAUTION
    return Status.OK
