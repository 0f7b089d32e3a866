"""Compare briefs, or changes of one, in one call."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Final

from packdesign.foundation.errors import BriefError
from packdesign.planning.assess.service import assess
from packdesign.planning.brief.schema import Brief
from packdesign.planning.charge_plan.plan import summary_of
from packdesign.planning.compare.record import Compared, Comparison, FigureRow, VerdictRow
from packdesign.planning.shortlist.appraisal import Appraised, appraised_assessment, brief_for
from packdesign.planning.shortlist.ranking import ranked
from packdesign.planning.shortlist.service import best_trial

__all__ = ["compare"]

Progress = Callable[[str, float], None]

_FEWEST: Final = 2

_Value = Callable[[Appraised], float | None]
_FIGURES: Final[tuple[tuple[str, str, bool | None, _Value], ...]] = (
    ("cells in series", "", None, lambda p: float(p.pack.series)),
    ("cells in parallel", "", None, lambda p: float(p.pack.parallel)),
    ("energy", "Wh", True, lambda p: p.pack.energy_wh),
    ("full voltage", "V", None, lambda p: p.pack.full_v),
    ("resistance", "mohm", False, lambda p: p.pack.resistance_ohm * 1000.0),
    ("mass of cells and strips", "g", False, lambda p: p.pack.mass_g),
    ("run time", "s", True, lambda p: p.run.run_time_s.mid),
    ("run time, low", "s", True, lambda p: p.run.run_time_s.low),
    ("run time, high", "s", True, lambda p: p.run.run_time_s.high),
    ("delivered", "Wh", True, lambda p: p.run.delivered_wh),
    ("lowest voltage", "V", True, lambda p: p.run.min_voltage_v.mid),
    ("lowest voltage, aged and cold", "V", True, lambda p: p.figures.aged_low_v),
    ("peak current", "A", False, lambda p: p.run.peak_current_a),
    ("rms current", "A", False, lambda p: p.run.rms_current_a),
    ("hottest cell", "degC", False, lambda p: p.run.peak_cell_degc.mid),
    ("share of the margin that is enough", "%", True, lambda p: p.figures.safety * 100.0),
    ("cycles to 80 %", "", True, lambda p: p.figures.cycles),
)


def compare(briefs: Mapping[str, Brief], *, progress: Progress | None = None) -> Comparison:
    """Judge several briefs and set them side by side.

    Parameters
    ----------
    briefs : mapping of str to Brief
        Two or more, by name. One that names no cell is given the best of its shortlist.
    progress : callable or None
        Told how far the work is.

    Returns
    -------
    Comparison
        Figures, verdicts and ranks, the first brief being what the others are held against.

    Raises
    ------
    BriefError
        If there are fewer than two.
    InputError
        If a brief cannot be used as written.
    """
    if len(briefs) < _FEWEST:
        msg = f"a comparison needs two briefs or a change of one; got {len(briefs)}"
        raise BriefError(msg)
    tell = progress or _silent
    found = []
    for place, (name, brief) in enumerate(briefs.items()):
        tell(name, place / len(briefs))
        found.append(_judged(name, brief))
    tell("done", 1.0)
    packs = _with_ranks(next(iter(briefs.values())), found)
    return Comparison(packs=packs, figures=_figure_rows(packs), verdicts=_verdict_rows(packs))


def _judged(name: str, brief: Brief) -> Compared:
    named, cell = brief, None
    was_chosen = brief.pack is None or brief.pack.cell is None
    if was_chosen:
        trial = best_trial(brief)
        if trial is None:
            return Compared(
                name=name,
                brief=brief,
                pack=None,
                charge_time_s=None,
                rank=None,
                was_chosen=True,
                problem="no pack of the shortlist passes",
            )
        named, cell = brief_for(brief, trial), trial.cell
    assessment = assess(named, cell=cell)
    return Compared(
        name=name,
        brief=named,
        pack=appraised_assessment(assessment),
        charge_time_s=summary_of(assessment.charge).time_s,
        rank=None,
        was_chosen=was_chosen,
    )


def _with_ranks(first: Brief, found: Sequence[Compared]) -> tuple[Compared, ...]:
    """Rank by the wishes of the first brief."""
    packs = [each.pack for each in found if each.pack is not None]
    order = [each.pack for each in ranked(first, packs)]
    places = {id(pack): place for place, pack in enumerate(order, start=1)}
    return tuple(
        replace(each, rank=None if each.pack is None else places[id(each.pack)]) for each in found
    )


def _figure_rows(packs: Sequence[Compared]) -> tuple[FigureRow, ...]:
    rows = [
        FigureRow(
            what=what,
            unit=unit,
            values=tuple(None if each.pack is None else value(each.pack) for each in packs),
            more_is_better=better,
        )
        for what, unit, better, value in _FIGURES
    ]
    rows.append(
        FigureRow(
            what="charge time",
            unit="s",
            values=tuple(each.charge_time_s for each in packs),
            more_is_better=False,
        )
    )
    return tuple(rows)


def _verdict_rows(packs: Sequence[Compared]) -> tuple[VerdictRow, ...]:
    by_pack = [
        {} if each.pack is None else {one.id: one for one in each.pack.verdicts} for each in packs
    ]
    ids = dict.fromkeys(name for known in by_pack for name in known)
    return tuple(
        VerdictRow(id=name, verdicts=tuple(known.get(name) for known in by_pack)) for name in ids
    )


def _silent(what: str, share: float) -> None:
    """Tell nobody."""
