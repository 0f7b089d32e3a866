"""Verdicts on the current of the hardest-worked cell against that cell's own ratings.

A rating that holds only while something cuts off at a cell temperature is no continuous rating
unless such a cut is fitted. A rating recalled or of low confidence never gives more than a caution.
"""

from __future__ import annotations

from typing import Final

from packdesign.data.cells import Cell, Confidence
from packdesign.foundation.basis import Band, Basis
from packdesign.planning.verdicts.judge import Check, Figure, at_most, spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = [
    "LONGEST_BURST_S",
    "PULSE_OVER_CONTINUOUS",
    "burst_current",
    "continuous_current",
    "easy_without_cut_a",
    "longest_burst_s",
]

PULSE_OVER_CONTINUOUS: Final = 2.0
"""Three of four of the 23 cells in the gathered datasheets that give both ratings allow a pulse of
no more than this many times the continuous current. [-]"""

LONGEST_BURST_S: Final = 10.0
"""Common practice, no source: what lasts longer is judged as continuous. [s]"""

_EASY_FRACTION: Final = 0.1
"""Share of a rating with a temperature cut at which no cut is asked for: heat goes with the square
of the current, so a cell makes a hundredth of the heat that the cut is for. Own choice. [-]"""

_FIX: Final = "Add cells in parallel, choose a cell with a higher rating, or draw less."


def easy_without_cut_a(cell: Cell) -> float | None:
    """Give the current at which nobody needs to ask for a temperature cut, or None. [A]

    Parameters
    ----------
    cell : Cell
        The cell with its ratings.

    Returns
    -------
    float or None
        The rating without a cut; where there is none but one with a cut, a tenth of that.
    """
    if not cell.continuous_needs_temperature_cut or cell.uncut_continuous_a is not None:
        return cell.continuous_without_cut_a
    return None if cell.continuous_a is None else _EASY_FRACTION * cell.continuous_a


def longest_burst_s(cell: Cell) -> float:
    """Give how long a current may last and still be a burst for a cell. [s]

    Parameters
    ----------
    cell : Cell
        The cell; a pulse rating covers its own time, where that is longer than is usual.
    """
    rated_s = cell.pulse_s if cell.pulse_a is not None else None
    return max(LONGEST_BURST_S, rated_s or 0.0)


def continuous_current(*, cell: Cell, load_a: Figure, has_temperature_cut: bool = False) -> Verdict:
    """Judge the steady current of a cell.

    Parameters
    ----------
    cell : Cell
        The cell with its ratings.
    load_a : Band or float or None
        Steady current of the hardest-worked cell: rms over its hardest stretch that is longer than
        a burst. [A]
    has_temperature_cut : bool
        Whether something stops the discharge by the temperature of a cell.

    Returns
    -------
    Verdict
        "continuous_current", in amperes.
    """
    return at_most(
        _continuous_check("continuous_current", "steady", cell, load_a, has_temperature_cut)
    )


def burst_current(
    *, cell: Cell, load_a: Figure, lasts_s: float, has_temperature_cut: bool = False
) -> Verdict:
    """Judge a short peak of current of a cell.

    Where the sheet prints no pulse rating, or one for a shorter pulse, the peak is held against the
    continuous rating; so is a peak that needs no more than that where the pulse rating is in doubt.
    Above it the verdict is unknown up to twice the rating and a stop beyond.

    Parameters
    ----------
    cell : Cell
        The cell with its ratings.
    load_a : Band or float or None
        Peak current of the hardest-worked cell. [A]
    lasts_s : float
        How long the peak lasts. [s]
    has_temperature_cut : bool
        Whether something stops the discharge by the temperature of a cell.

    Returns
    -------
    Verdict
        "burst_current", in amperes.
    """
    verdict = at_most(_continuous_check("burst_current", "peak", cell, load_a, has_temperature_cut))
    if cell.pulse_a is not None and _covers(cell.pulse_s, lasts_s):
        pulse = at_most(_pulse_check(cell, load_a))
        is_only_doubted = pulse.status is Status.CAUTION and verdict.status is Status.OK
        return verdict if is_only_doubted else pulse
    if verdict.status is not Status.STOP or lasts_s > LONGEST_BURST_S:
        return verdict
    value, limit = verdict.value, verdict.limit
    if value is None or limit is None or value > PULSE_OVER_CONTINUOUS * limit:
        return verdict
    return Verdict(
        id=verdict.id,
        status=Status.UNKNOWN,
        value=value,
        limit=limit,
        unit="A",
        margin=verdict.margin,
        reason=f"{verdict.reason} No pulse rating for {spoken(lasts_s, 's')} is known.",
        fix=f"Find the pulse rating on the maker's sheet. {_FIX}",
        basis=verdict.basis,
        source=verdict.source,
    )


def _covers(rated_s: float | None, lasts_s: float) -> bool:
    return lasts_s <= (LONGEST_BURST_S if rated_s is None else rated_s)


def _pulse_check(cell: Cell, load_a: Figure) -> Check:
    doubts = [_doubt(cell, "pulse_a")]
    if cell.pulse_s is None:
        doubts.append("The sheet does not say how long this pulse may last.")
    return Check(
        id="burst_current",
        what="the peak current of a cell",
        value=load_a,
        against="its pulse rating",
        limit=cell.pulse_a,
        unit="A",
        fix=_FIX,
        find_out="Check the pulse rating and its length on the maker's own sheet.",
        basis=cell.basis_of("pulse_a"),
        source=cell.source,
        doubt=" ".join(doubt for doubt in doubts if doubt),
    )


def _continuous_check(
    name: str, kind: str, cell: Cell, load_a: Figure, has_temperature_cut: bool
) -> Check:
    field, against, doubt = "continuous_a", "its continuous rating", ""
    limit, source = cell.continuous_a, cell.source
    if cell.continuous_needs_temperature_cut and not has_temperature_cut:
        cut = cell.temperature_cut_degc
        at = "a temperature cut" if cut is None else f"a cut at {cut:g} degC"
        if cell.uncut_continuous_a is not None:
            field, against = "uncut_continuous_a", f"its continuous rating without {at}"
            limit = cell.uncut_continuous_a
        elif _is_easy(cell, load_a):
            limit = easy_without_cut_a(cell)
            against = f"a tenth of its rating with {at}, where none is asked for"
            source = f"{cell.source}; a hundredth of the heat that the cut is for: own choice"
        else:
            against = f"its rating with {at}"
            doubt = f"That rating holds only with {at}, and none is fitted."
    return Check(
        id=name,
        what=f"the {kind} current of a cell",
        value=load_a,
        against=against,
        limit=limit,
        unit="A",
        fix=_FIX,
        find_out="Find the rating and its condition on the maker's own sheet, or fit a temperature "
        "cut-off.",
        basis=cell.basis_of(field),
        source=source,
        doubt=" ".join(part for part in (doubt, _doubt(cell, field)) if part),
    )


def _is_easy(cell: Cell, load_a: Figure) -> bool:
    """Whether even the upper end of a current is too low to ask for a temperature cut."""
    easy_a = easy_without_cut_a(cell)
    if load_a is None or easy_a is None:
        return False
    return (load_a.high if isinstance(load_a, Band) else load_a) <= easy_a


def _doubt(cell: Cell, field: str) -> str:
    if cell.basis_of(field) is Basis.ASSUMED:
        return "That rating is recalled, not read from a sheet."
    if cell.confidence is Confidence.LOW:
        return "The row of this cell is of low confidence."
    return ""
