"""Verdicts on room: length, bore, clearance, swelling."""

from __future__ import annotations

from typing import Final

from packdesign.foundation.basis import Band, Basis
from packdesign.planning.verdicts.judge import Check, Figure, at_least
from packdesign.planning.verdicts.verdict import Verdict

__all__ = ["POUCH_ROOM_FRACTION", "clearance", "swelling_room"]

_MM_PER_M: Final = 1000.0
POUCH_ROOM_FRACTION: Final = 0.08
"""Least room for a pouch to swell, over its thickness; from memory. [-]"""
_POUCH_ROOM_SOURCE: Final = "8 to 10 % from memory; CALCE, Batteries 11 (2025) 419 on swelling"


def clearance(
    *, gap_m: Figure, required_m: float | None, basis: Basis, source: str = ""
) -> Verdict:
    """Whether enough air is left around the pack to slide it in and to keep edges off it.

    Parameters
    ----------
    gap_m : Band or float or None
        Least gap between pack and wall. [m]
    required_m : float or None
        Gap asked for. [m]
    basis : Basis
        Weakest basis of the two.
    source : str
        Where the gap asked for comes from.

    Returns
    -------
    Verdict
        "clearance", in millimetres.
    """
    return at_least(
        Check(
            id="clearance",
            what="the gap between pack and wall",
            value=_mm(gap_m),
            against="the gap asked for",
            limit=_mm_of(required_m),
            unit="mm",
            fix="Use a thinner wrap or smaller cells; never force a pack in.",
            find_out="Measure the cavity and a wrapped pack.",
            basis=basis,
            source=source,
        )
    )


def swelling_room(
    *,
    free_fraction: Figure,
    needed_fraction: float = POUCH_ROOM_FRACTION,
    basis: Basis = Basis.ASSUMED,
    source: str = _POUCH_ROOM_SOURCE,
) -> Verdict:
    """Whether a pouch has room to grow thicker.

    Parameters
    ----------
    free_fraction : Band or float or None
        Free thickness over the thickness of the new pouch. [-]
    needed_fraction : float
        Least room, over the thickness of the new pouch. [-]
    basis : Basis
        Basis of the least room.
    source : str
        Source of the least room.

    Returns
    -------
    Verdict
        "swelling_room", as a fraction.
    """
    return at_least(
        Check(
            id="swelling_room",
            what="the room left for the pouch to swell, as a fraction of its thickness,",
            value=free_fraction,
            against="the least room",
            limit=needed_fraction,
            unit="",
            fix="Use a thinner pouch or a deeper cavity, with soft foam and a flat plate.",
            find_out="Measure the pouch and the cavity.",
            basis=basis,
            source=source,
        )
    )


def _mm(value: Figure) -> Figure:
    if isinstance(value, Band):
        return value.scaled(_MM_PER_M)
    return _mm_of(value)


def _mm_of(value_m: float | None) -> float | None:
    return None if value_m is None else value_m * _MM_PER_M
