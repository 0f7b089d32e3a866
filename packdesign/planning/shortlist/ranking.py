"""Order the packs: nothing that stops, then the safety margin, then what was seen, then the rest.

Without weights of the builder's own the order is strict: a pack with a stop comes after all others,
then one with an unanswered limit; then the smallest margin counts, in steps; among equals a cell
with recalled figures comes after one that was seen, and the weighted rest decides. With weights of
the builder's own the margin is one of the weighted figures, and only the first two rules stay.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.upkeep_sections import Preferences, RankWeights
from packdesign.planning.shortlist.appraisal import Appraised
from packdesign.planning.shortlist.figures import RankFigures

__all__ = ["CRITERIA", "MARGIN_STEP", "Ranked", "pareto_front", "ranked"]

MARGIN_STEP: Final = 0.05
"""Margins within the same twentieth of a limit count as equal: ratings and models are no better
known than that; own choice. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Criterion:
    """One thing that packs are ranked by."""

    words: str
    value: Callable[[RankFigures], float | None]
    more_is_better: bool


CRITERIA: Final[Mapping[str, Criterion]] = {
    "safety": Criterion(
        words="margin to the limits", value=lambda f: f.margin_fraction, more_is_better=True
    ),
    "run_time": Criterion(words="run time", value=lambda f: f.run_time_s, more_is_better=True),
    "burst": Criterion(
        words="headroom for bursts", value=lambda f: f.burst_fraction, more_is_better=True
    ),
    "temperature": Criterion(
        words="cool cells", value=lambda f: f.peak_cell_degc, more_is_better=False
    ),
    "mass": Criterion(words="low mass", value=lambda f: f.mass_kg, more_is_better=False),
    "volume": Criterion(
        words="room left over", value=lambda f: f.volume_left_fraction, more_is_better=True
    ),
    "cycle_life": Criterion(words="many cycles", value=lambda f: f.cycles, more_is_better=True),
    "charge_time": Criterion(
        words="quick charge", value=lambda f: f.charge_time_s, more_is_better=False
    ),
    "price": Criterion(words="low price", value=lambda f: f.price, more_is_better=False),
}
"""By the names of the weights in ``[preferences.weights]``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranked:
    """One pack with its place."""

    pack: Appraised
    score: float
    """Weighted mean of what is ranked after safety, 0 worst to 1 best of all packs here. [-]"""
    parts: Mapping[str, float]
    """What each criterion adds to the score. [-]"""
    step: int
    """Step of the margin. [-]"""


def ranked(brief: Brief, packs: Sequence[Appraised]) -> tuple[Ranked, ...]:
    """Order packs, best first.

    Parameters
    ----------
    brief : Brief
        The brief, for its weights.
    packs : sequence of Appraised
        The packs.
    """
    wished = (brief.preferences or Preferences()).weights
    weights = (wished or RankWeights()).model_dump()
    if wished is None:
        weights["safety"] = 0.0  # it decides before the score does
    scales = {name: _scale(name, packs) for name, weight in weights.items() if weight > 0}
    total = sum(weights[name] for name in scales) or 1.0
    found = []
    for pack in packs:
        parts = {
            name: weights[name] / total * scale(pack.figures) for name, scale in scales.items()
        }
        step = int(pack.figures.margin_fraction // MARGIN_STEP)
        found.append(Ranked(pack=pack, score=sum(parts.values()), parts=parts, step=step))
    return tuple(sorted(found, key=_strict if wished is None else _weighted))


def _strict(each: Ranked) -> tuple[float | str, ...]:
    figures = each.pack.figures
    return (
        figures.stops > 0,
        figures.unknown > 0,
        -each.step,
        len(figures.doubts) > 0,
        -round(each.score, 9),
        *_name(each),
    )


def _weighted(each: Ranked) -> tuple[float | str, ...]:
    figures = each.pack.figures
    return (
        figures.stops > 0,
        figures.unknown > 0,
        -round(each.score, 3),
        len(figures.doubts) > 0,
        *_name(each),
    )


def _name(each: Ranked) -> tuple[str, int, int]:
    trial = each.pack.trial
    return trial.cell.name, trial.series, trial.parallel


def _scale(name: str, packs: Sequence[Appraised]) -> Callable[[RankFigures], float]:
    """Map a figure to 0 (worst of the packs that nothing stops) to 1 (best); unknown is 0."""
    criterion = CRITERIA[name]
    standing = [pack for pack in packs if not pack.figures.stops] or packs
    values = [criterion.value(pack.figures) for pack in standing]
    known = [value for value in values if value is not None]
    low, high = min(known, default=0.0), max(known, default=0.0)

    def scaled(figures: RankFigures) -> float:
        value = criterion.value(figures)
        if value is None:
            return 0.0
        if high <= low:
            return 1.0
        share = min(max((value - low) / (high - low), 0.0), 1.0)
        return share if criterion.more_is_better else 1.0 - share

    return scaled


def pareto_front(packs: Sequence[Appraised], *, by: Sequence[str]) -> tuple[Appraised, ...]:
    """Give the packs that no other beats in one thing without losing in another.

    Parameters
    ----------
    packs : sequence of Appraised
        Packs to choose among; those with a stop are left out.
    by : sequence of str
        Two or three names of ``CRITERIA``.

    Returns
    -------
    tuple of Appraised
        In the order of the first criterion, best first. A pack of which one figure is not known is
        not on it.

    Raises
    ------
    OutOfRangeError
        If not two or three are named.
    UnknownNameError
        If there is no such criterion.
    """
    criteria = _criteria(by)
    points = []
    for pack in packs:
        values = [each.value(pack.figures) for each in criteria]
        if pack.figures.stops or any(value is None for value in values):
            continue
        signed = tuple(
            (value or 0.0) * (1 if each.more_is_better else -1)
            for value, each in zip(values, criteria, strict=True)
        )
        points.append((signed, pack))
    points.sort(key=lambda each: each[0], reverse=True)
    front: list[tuple[tuple[float, ...], Appraised]] = []
    for point, pack in points:
        if not any(_beats(other, point) for other, _ in front):
            front.append((point, pack))
    return tuple(pack for _, pack in front)


def _criteria(by: Sequence[str]) -> list[Criterion]:
    from packdesign.foundation.errors import OutOfRangeError, UnknownNameError

    if len(by) not in (2, 3):
        msg = f"a front needs two or three criteria; got {len(by)}: {', '.join(by)}"
        raise OutOfRangeError(msg)
    for name in by:
        if name not in CRITERIA:
            raise UnknownNameError(kind="criterion", name=name, known=CRITERIA)
    return [CRITERIA[name] for name in by]


def _beats(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    """Whether one is nowhere worse and somewhere better."""
    return one != other and all(a >= b for a, b in zip(one, other, strict=True))
