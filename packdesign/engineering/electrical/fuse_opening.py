"""When a fuse opens: the band between its gates, and what warm air takes from its rating."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from packdesign.data.fuses import Fuse
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["OpeningTime", "moved_rating_fraction", "opening_time", "rerating_fraction"]

_BLADE_RERATING: Final = ((20.0, 1.0), (65.0, 0.85), (85.0, 0.75), (110.0, 0.625), (125.0, 0.55))
"""40 A blade fuse of the MAXI 299 series: 40, 34, 30, 25, 22 A; second hand from its sheet."""


_CARRIED_TO: Final = 1.5  # a gate up to here without a longest time is one of carrying
_FAST_PER_K: Final = 0.0015
_SLOW_PER_K: Final = 0.003
_COOL_DEGC: Final = 25.0


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningTime:
    """How long a fuse lasts at a current; infinite where no gate makes it open."""

    shortest_s: float
    """It opens no sooner; 0 where the sheet promises nothing. [s]"""
    longest_s: float
    """It opens no later. [s]"""


def opening_time(fuse: Fuse, *, current_a: float, ambient_degc: float = 25.0) -> OpeningTime:
    """How soon and how late a fuse opens at a steady current.

    Parameters
    ----------
    fuse : Fuse
        With its opening gates.
    current_a : float
        Current, zero or more. [A]
    ambient_degc : float
        Air beside the fuse, for the shortest time. [degC]

    Returns
    -------
    OpeningTime
        Below the first gate no promise to open, above the last one with its I2t kept.

    Raises
    ------
    OutOfRangeError
        If the current is negative, or the air hotter than fuse figures reach.

    Notes
    -----
    Each edge of the band is drawn through its own gates, so a gate with one edge only moves that
    edge. Times fall steeply near the rating and with the square of the current far above it, so
    the true curve hangs below a straight line in log-log between two gates. The longest time is
    that line: too long, the safe side for what must open. The shortest is the I2t of the next gate
    above, kept down to the gate below: I2t only falls with the current, so no fuse of the series
    opens sooner. A gate of carrying alone ("4 hours at 100 %") holds up to its own current. Above
    the highest gate the longest time is safe; the shortest may be a little less.

    In warm air the shortest time is read at the rating lowered by `moved_rating_fraction`. The
    longest is not lowered: the fuse that must open may be cold.

    Examples
    --------
    >>> from packdesign.data.fuses import load_fuses
    >>> blade = next(each for each in load_fuses() if each.name == "ATO 257/287 10 A")
    >>> at_twice = opening_time(blade, current_a=20.0)
    >>> round(at_twice.shortest_s, 3), round(at_twice.longest_s, 3)
    (0.15, 5.0)
    """
    if current_a < 0:
        msg = f"current_a is {current_a}; it must be 0 or more"
        raise OutOfRangeError(msg)
    ratio = current_a / fuse.rated_a
    warm_ratio = ratio / moved_rating_fraction(fuse, ambient_degc=ambient_degc)
    longest = [(g.rating_fraction, g.longest_s) for g in fuse.gates if g.longest_s]
    return OpeningTime(
        shortest_s=_shortest_s(fuse, warm_ratio),
        longest_s=_on_edge(longest, ratio, before=math.inf),
    )


def rerating_fraction(fuse: Fuse, *, ambient_degc: float) -> float:
    """Share of its rating that a fuse keeps in warm surroundings. [-]

    Parameters
    ----------
    fuse : Fuse
        Its body and speed decide the law.
    ambient_degc : float
        Air beside the fuse. [degC]

    Returns
    -------
    float
        Share, 1 up to 25 degC. [-]

    Raises
    ------
    OutOfRangeError
        If the temperature is above 125 degC, where no figure reaches.

    Notes
    -----
    Blade fuses: steps printed for a 40 A MAXI blade (second hand). Others: 0.15 % per kelvin for
    fast ones and 0.3 % for slow ones above 25 degC, makers' guides from memory.

    Examples
    --------
    >>> from packdesign.data.fuses import load_fuses
    >>> blade = next(each for each in load_fuses() if each.name == "MAXI 299 40 A")
    >>> round(rerating_fraction(blade, ambient_degc=65.0), 3)
    0.85
    """
    degc, share = zip(*_BLADE_RERATING, strict=True)
    if ambient_degc > degc[-1]:
        msg = f"ambient_degc is {ambient_degc}; fuse figures end at {degc[-1]:g} degC"
        raise OutOfRangeError(msg)
    if "blade" in fuse.body:
        return float(np.interp(ambient_degc, degc, share))
    slope = _SLOW_PER_K if "slow" in fuse.speed or "lag" in fuse.speed else _FAST_PER_K
    return 1 - slope * max(ambient_degc - _COOL_DEGC, 0.0)


def moved_rating_fraction(fuse: Fuse, *, ambient_degc: float) -> float:
    """Share of the rating at which the gates of a fuse are read in warm air. [-]

    Parameters
    ----------
    fuse : Fuse
        The fuse.
    ambient_degc : float
        Air beside it. [degC]

    Returns
    -------
    float
        `rerating_fraction` relative to that at 25 degC, 1 up to there. [-]

    Raises
    ------
    OutOfRangeError
        If the temperature is above 125 degC.

    Notes
    -----
    Gates are printed for 25 degC or near it. That the whole curve moves with the rating is from
    memory of makers' guides.

    Examples
    --------
    >>> from packdesign.data.fuses import load_fuses
    >>> blade = next(each for each in load_fuses() if each.name == "MAXI 299 40 A")
    >>> moved_rating_fraction(blade, ambient_degc=10.0)
    1.0
    >>> round(moved_rating_fraction(blade, ambient_degc=65.0), 3)
    0.864
    """
    warm_degc = max(ambient_degc, _COOL_DEGC)
    printed = rerating_fraction(fuse, ambient_degc=_COOL_DEGC)
    return rerating_fraction(fuse, ambient_degc=warm_degc) / printed


def _shortest_s(fuse: Fuse, ratio: float) -> float:
    """Longest time that the gates promise the fuse to last."""
    promised = [gate for gate in fuse.gates if gate.shortest_s]
    carrying = [g for g in promised if g.longest_s is None and g.rating_fraction <= _CARRIED_TO]
    carried = [g.shortest_s or 0.0 for g in carrying if g.rating_fraction >= ratio]
    opening = [(g.rating_fraction, g.shortest_s or 0.0) for g in promised if g not in carrying]
    if carried:
        return max(carried)
    return _under_edge(opening, ratio) if opening else 0.0


def _under_edge(edge: list[tuple[float, float]], ratio: float) -> float:
    """Read the I2t of the next gate above; below the first gate its time, above the last its I2t.

    Never more than the gate below allows, where printed gates are rounded.
    """
    above = [gate for gate in edge if gate[0] >= ratio]
    below = [gate for gate in edge if gate[0] < ratio]
    at, time_s = above[0] if above else below[-1]
    if above and not below:
        return time_s
    kept_s = time_s * (at / ratio) ** 2
    return min([kept_s, *(each for _, each in below)])


def _on_edge(edge: list[tuple[float, float]], ratio: float, *, before: float) -> float:
    """Read the upper edge; below its first gate ``before``, above its last its I2t."""
    if not edge or ratio < edge[0][0]:
        return before
    ratios, times = np.array(edge).T
    if ratio >= ratios[-1]:
        return float(times[-1] * (ratios[-1] / ratio) ** 2)
    return float(np.exp(np.interp(np.log(ratio), np.log(ratios), np.log(times))))
