"""Order the packs: nothing that stops, then the safety margin, then what was seen, then the rest.

Without weights of the builder's own the order is strict: a pack with a stop comes after all others,
then one with an unanswered limit; then the smallest margin counts, in steps; among equals a cell
with recalled figures comes after one that was seen, and the weighted rest decides. With weights of
the builder's own the margin is one of the weighted figures, and only the first two rules stay.

The rest is counted in doublings: twice the run time is worth as much as half the mass where their
weights are the same. So a pack keeps its points whatever else is on the list.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Protocol, TypeVar

from packdesign.foundation.constants import SECONDS_PER_HOUR
from packdesign.foundation.errors import OutOfRangeError, UnknownNameError
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.upkeep_sections import Preferences, RankWeights
from packdesign.planning.shortlist.appraisal import Appraised
from packdesign.planning.shortlist.figures import RankFigures

__all__ = [
    "CRITERIA",
    "SAFETY_STEP",
    "Criterion",
    "HasFigures",
    "Ranked",
    "pareto_front",
    "ranked",
]

SAFETY_STEP: Final = 0.1
"""Packs within the same tenth of the margin that is enough count as equally safe: ratings and
models are no better known than that; own choice. [-]"""
_ENOUGH_BURST: Final = 0.5
"""Headroom beyond half of a rating is no better: common derating. [-]"""
_QUICK_S: Final = 2.5 * SECONDS_PER_HOUR
"""A charge quicker than this is no better; own choice. [s]"""
_MANY_CYCLES: Final = 1000.0
"""More cycles than this are no better: three charges a week for six years; own choice. [-]"""


class HasFigures(Protocol):
    """Anything that was ranked: a pack as the search has it, or a candidate of a shortlist."""

    @property
    def figures(self) -> RankFigures:
        """What it is ranked by."""


Pack = TypeVar("Pack", bound=HasFigures)


@dataclass(frozen=True, slots=True, kw_only=True)
class Criterion:
    """One thing that packs are ranked by."""

    words: str
    value: Callable[[RankFigures], float | None]
    more_is_better: bool
    in_doublings: bool = True
    """Whether points go by doublings; else the value, a fraction, is the points."""

    def gain(self, figures: RankFigures) -> float | None:
        """Give the value of a pack, turned so that more is better; None where it is not known.

        Parameters
        ----------
        figures : RankFigures
            Figures of the pack.
        """
        value = self.value(figures)
        return value if value is None or self.more_is_better else -value

    def points(self, figures: RankFigures) -> float | None:
        """Give the points of a pack, more being better; None where the figure is not known. [-]

        Parameters
        ----------
        figures : RankFigures
            Figures of the pack.
        """
        value = self.value(figures)
        if value is None:
            return None
        if self.in_doublings:
            value = math.log2(max(value, _LEAST))
        return value if self.more_is_better else -value


_LEAST: Final = 1e-6

CRITERIA: Final[Mapping[str, Criterion]] = {
    "safety": Criterion(
        words="margin to the limits",
        value=lambda f: f.safety,
        more_is_better=True,
        in_doublings=False,
    ),
    "run_time": Criterion(words="run time", value=lambda f: f.run_time_s, more_is_better=True),
    "burst": Criterion(
        words="headroom for bursts",
        value=lambda f: None if f.burst_fraction is None else min(f.burst_fraction, _ENOUGH_BURST),
        more_is_better=True,
        in_doublings=False,
    ),
    "temperature": Criterion(words="cool cells", value=lambda f: f.rise_k, more_is_better=False),
    "mass": Criterion(words="low mass", value=lambda f: f.mass_kg, more_is_better=False),
    "volume": Criterion(
        words="room left over",
        value=lambda f: f.volume_left_fraction,
        more_is_better=True,
        in_doublings=False,
    ),
    "cycle_life": Criterion(
        words="many cycles",
        value=lambda f: None if f.cycles is None else min(f.cycles, _MANY_CYCLES),
        more_is_better=True,
    ),
    "charge_time": Criterion(
        words="quick charge",
        value=lambda f: None if f.charge_time_s is None else max(f.charge_time_s, _QUICK_S),
        more_is_better=False,
    ),
    "price": Criterion(words="low price", value=lambda f: f.price, more_is_better=False),
}
"""By the names of the weights in ``[preferences.weights]``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranked:
    """One pack with its place."""

    pack: Appraised
    score: float
    """Weighted points of all that counts; only differences mean anything. [-]"""
    parts: Mapping[str, float]
    """What each criterion adds, against the middle of the packs that nothing stops. [-]"""
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
    found = []
    for pack in packs:
        parts = {name: weights[name] * scale(pack.figures) for name, scale in scales.items()}
        step = math.floor(pack.figures.safety / SAFETY_STEP + 1e-9)
        found.append(Ranked(pack=pack, score=sum(parts.values()), parts=parts, step=step))
    return tuple(sorted(found, key=_strict if wished is None else _weighted))


def _strict(each: Ranked) -> tuple[float | str, ...]:
    figures = each.pack.figures
    return (
        figures.stops > 0,
        figures.unknown > 0,
        -each.step,
        len(figures.doubts) > 0,
        -round(each.score, 6),
        *_name(each),
    )


def _weighted(each: Ranked) -> tuple[float | str, ...]:
    figures = each.pack.figures
    return (
        figures.stops > 0,
        figures.unknown > 0,
        -round(each.score, 6),
        len(figures.doubts) > 0,
        *_name(each),
    )


def _name(each: Ranked) -> tuple[str, int, int]:
    trial = each.pack.trial
    return trial.cell.name, trial.series, trial.parallel


def _scale(name: str, packs: Sequence[Appraised]) -> Callable[[RankFigures], float]:
    """Points against the middle of the packs that nothing stops; the least of them if unknown."""
    criterion = CRITERIA[name]
    standing = [pack for pack in packs if not pack.figures.stops] or packs
    points = [criterion.points(pack.figures) for pack in standing]
    known = sorted(point for point in points if point is not None)
    middle = known[len(known) // 2] if known else 0.0
    least = known[0] if known else 0.0

    def scaled(figures: RankFigures) -> float:
        mine = criterion.points(figures)
        return (least if mine is None else mine) - middle

    return scaled


def pareto_front(packs: Sequence[Pack], *, by: Sequence[str]) -> tuple[Pack, ...]:
    """Give the packs that no other beats in one thing without losing in another.

    Parameters
    ----------
    packs : sequence
        Packs to choose among, or candidates; those with a stop are left out.
    by : sequence of str
        Two or three names of ``CRITERIA``.

    Returns
    -------
    tuple
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
    points: list[tuple[tuple[float, ...], Pack]] = []
    for pack in packs:
        values = [each.gain(pack.figures) for each in criteria]
        known = tuple(value for value in values if value is not None)
        if not pack.figures.stops and len(known) == len(criteria):
            points.append((known, pack))
    points.sort(key=lambda each: each[0], reverse=True)
    front: list[tuple[tuple[float, ...], Pack]] = []
    for point, pack in points:
        if not any(_beats(other, point) for other, _ in front):
            front.append((point, pack))
    return tuple(pack for _, pack in front)


def _criteria(by: Sequence[str]) -> list[Criterion]:
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
