"""Where along a long run its cycles are sampled, and the state of the packs there.

The cycles at all knots are run side by side from where the packs are thought to be; what they add
says better where the packs are, and so on until it settles. The first pack alone is tried first on
a few knots: it shows how far the others will come and how warm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Final

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.batch import Batch
from packdesign.engineering.discharge.cycle_map import carried
from packdesign.engineering.discharge.cycle_sweep import CycleSweep, Piece, Swept
from packdesign.engineering.discharge.moment import State
from packdesign.engineering.discharge.tally import Limits

__all__ = ["Knotted", "knots_between", "knots_to_empty", "settled"]

_SOC_BLOCK: Final = 0.03
"""Charge that a block moves. [-]"""
_SOC_BLOCK_NEAR_EMPTY: Final = 0.01
_NEAR_EMPTY: Final = 0.2
_BEYOND_EMPTY: Final = 0.03
"""How far below empty knots are laid, for packs that come further than thought. [-]"""
_SCOUT_KNOTS: Final = 24
_MOST_SWEEPS: Final = 8
_SETTLED: Final = np.array([2e-5, 2e-4, 2e-4, 5e-6, 0.02, 0.02])[:, None, None]
"""Change of charge [-], RC drops [V], lag [-] and temperatures [K] below which a sweep is the last.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Knotted:
    """Packs at their knots: the cycle there, from states that have settled."""

    at: NDArray[np.intp]
    """Cycles before each knot. Shape (knots, n). [-]"""
    swept: Swept

    @property
    def whole(self) -> NDArray[np.intp]:
        """How many knots of each pack come before its first broken cycle. Shape (n,)."""
        broken = self.swept.broken
        first = np.argmax(broken, axis=0)
        return np.where(broken.any(axis=0), first, len(broken))


def settled(
    batch: Batch,
    limits: Limits,
    start: State,
    pieces: Sequence[Piece],
    *,
    at: NDArray[np.intp],
    guess: State,
    told: int | None = None,
) -> Knotted:
    """Sweep the cycles at all knots until the states there no longer change.

    Parameters
    ----------
    batch : Batch
        The n packs.
    limits : Limits
        What ends each.
    start : State
        Where each starts. Arrays of shape (n,).
    pieces : sequence of Piece
        The cycle.
    at : array
        Cycles before each knot, the first 0. Shape (knots, n). [-]
    guess : State
        Where they may be at each knot. Arrays of shape (knots, n).
    told : int or None
        The pack of which a watcher is told.
    """
    sweep = CycleSweep(batch, limits, pieces, knots=len(at))
    period_s = sum(piece_s for _, _, piece_s in pieces)
    for _ in range(_MOST_SWEEPS):
        swept = sweep.run(guess, told=told)
        found = carried(batch, start, swept=swept, at=at, period_s=period_s)
        matters = ~np.maximum.accumulate(swept.broken, axis=0)
        change = np.abs(_stacked(found) - _stacked(guess))
        guess = found
        if not (change > _SETTLED)[:, matters].any():
            break
    return Knotted(at=at, swept=swept)


def knots_to_empty(
    batch: Batch,
    limits: Limits,
    start: State,
    pieces: Sequence[Piece],
    *,
    most_cycles: int,
    one_clock: bool,
) -> tuple[NDArray[np.intp], State]:
    """Lay knots from where packs are to where they will be empty.

    Parameters
    ----------
    batch : Batch
        The n packs.
    limits : Limits
        What ends each.
    start : State
        Where each starts. Arrays of shape (n,).
    pieces : sequence of Piece
        The cycle.
    most_cycles : int
        Where a run is given up. [-]
    one_clock : bool
        Whether the knots of all packs must lie at the same times.

    Returns
    -------
    tuple
        Cycles before each knot, and a guess at the states there. Shape (knots, n).
    """
    first = settled(
        batch,
        limits,
        start,
        pieces,
        at=np.zeros((1, batch.size), dtype=np.intp),
        guess=_at_knots(start, 1),
    )
    moved = (first.swept.begin.soc - first.swept.end.soc)[0]
    cycles = start.soc / np.maximum(moved, 1e-9)
    pace = np.clip(cycles / max(float(cycles[0]), 1e-9), 0.05, 20.0)
    scout = _scouted(batch, limits, start, pieces, most=min(1.3 * cycles[0], float(most_cycles)))
    slowest = float(np.max(pace)) if one_clock else 1.0
    fastest = float(np.min(pace)) if one_clock else 1.0
    ladder = _ladder(scout, fastest=fastest, slowest=slowest)
    own_pace = np.ones(batch.size) if one_clock else pace
    at = _rising(np.rint(ladder[:, None] * own_pace), most=most_cycles)
    return at, _scaled(scout, start, at / pace)


def knots_between(
    begin: State, end: State, cycles: NDArray[np.intp], *, blocks: int
) -> tuple[NDArray[np.intp], State]:
    """Lay knots evenly over the cycles between two known states.

    Parameters
    ----------
    begin, end : State
        Where the packs are before and after. Arrays of shape (n,).
    cycles : array
        Cycles between the two. Shape (n,). [-]
    blocks : int
        Into how many parts they are cut. [-]
    """
    share = np.linspace(0.0, 1.0, blocks + 1)[:, None]
    at = np.rint(share * cycles).astype(np.intp)
    way = at / np.maximum(cycles, 1)
    first, last = _stacked(begin)[:, None], _stacked(end)[:, None]
    return at, _state_of(first + way * (last - first))


def _scouted(
    batch: Batch, limits: Limits, start: State, pieces: Sequence[Piece], *, most: float
) -> Knotted:
    """Run the first pack on a few knots."""
    one = np.zeros(1, dtype=np.intp)
    places = np.linspace(0.0, 1.0, _SCOUT_KNOTS) ** 1.5 * most
    at = _rising(places[:, None], most=max(int(most), 1))
    own = start.rows(one)
    guess = _stacked(_at_knots(own, len(at)))
    guess[0] *= 1.0 - at / max(most, 1.0)
    return settled(batch.rows(one), limits.rows(one), own, pieces, at=at, guess=_state_of(guess))


def _ladder(scout: Knotted, *, fastest: float, slowest: float) -> FloatArray:
    """Cycles of the first pack at the knots: blocks grow at first, and are short near empty."""
    places, soc = scout.at[:, 0].astype(float), scout.swept.begin.soc[:, 0]
    last = float(places[-1])
    per_cycle = max(float(soc[0] - soc[-1]) / max(last, 1.0), 1e-12)
    falling = np.minimum.accumulate(soc)

    def when(level: float) -> float:
        """Cycle at which the first pack reaches a state of charge; past the last one if never."""
        return float(np.interp(-level, -falling, places, right=2.0 * last + 1.0))

    near_s, end_s = fastest * when(_NEAR_EMPTY), slowest * when(-_BEYOND_EMPTY)
    end_s = min(end_s, last * max(slowest, 1.0))
    knots, here, block = [0.0], 0.0, 1.0
    while here < end_s:
        largest = _SOC_BLOCK if here < near_s else _SOC_BLOCK_NEAR_EMPTY
        block = min(max(largest / per_cycle, 1.0), last / 8 + 1.0, 2.0 * block)
        here += block
        knots.append(here)
    return np.array(knots)


def _scaled(scout: Knotted, start: State, phase: FloatArray) -> State:
    """Guess the states of all packs from that of the first at the same share of their way."""
    places, known = scout.at[:, 0].astype(float), _stacked(scout.swept.begin)[:, :, 0]
    own = _stacked(start)
    guess = np.stack([np.interp(phase, places, row) for row in known])
    moved = guess - known[:, :1, None]
    moved[0] *= own[0] / max(float(own[0, 0]), 1e-9)
    return _state_of(own[:, None] + moved)


def _rising(places: FloatArray, *, most: int) -> NDArray[np.intp]:
    """Round places to whole cycles that rise by one at least, none beyond the last."""
    steps = np.arange(len(places))[:, None]
    rising = np.maximum.accumulate(np.rint(places).astype(np.intp) - steps, axis=0) + steps
    within = np.minimum(rising, most)
    used = int(np.max(np.argmax(within, axis=0))) + 1
    return within[:used]


def _at_knots(state: State, knots: int) -> State:
    return _state_of(np.repeat(_stacked(state)[:, None], knots, axis=1))


def _stacked(state: State) -> FloatArray:
    return np.stack([getattr(state, each.name) for each in fields(State)])


def _state_of(stacked: FloatArray) -> State:
    return State(**{each.name: row for each, row in zip(fields(State), stacked, strict=True)})
