"""Equal circles in a rectangle in rows: straight rows, and staggered rows in which cells nestle.

Worked in inflated sizes: a circle has the diameter of a cell plus the gap, the rectangle its free
size plus one gap, so that touching here means exactly one gap apart in the pack.
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

__all__ = ["Lattice", "blocks_of", "most_in_rectangle"]

FloatArray = NDArray[np.float64]

_SLACK_M: Final = 1e-9
"""Rounding, far below anything that can be built. [m]"""
_TIGHT: Final = math.sqrt(3) / 2
"""Row step over diameter where every circle touches six others. [-]"""


def _fitting(room_m: float, pitch_m: float) -> int:
    """How many steps of a pitch go into some room, none where there is less than none."""
    return max(0, math.floor((room_m + _SLACK_M) / pitch_m))


@dataclass(frozen=True, slots=True)
class Lattice:
    """Rows of circles: ``long`` in the even rows and ``short`` in the odd ones, offset by half."""

    is_staggered: bool
    rows: int
    long: int
    short: int
    pitch_m: float
    """Along a row. [m]"""
    row_step_m: float
    diameter_m: float
    is_turned: bool = False
    """Whether rows run along the second edge of the rectangle instead of the first."""

    @property
    def count(self) -> int:
        """Number of circles. [-]"""
        odd = self.rows // 2
        return (self.rows - odd) * self.long + odd * self.short

    @property
    def size_m(self) -> tuple[float, float]:
        """Edges of the rectangle it needs. [m]"""
        even_end = self.diameter_m + (self.long - 1) * self.pitch_m
        odd_end = self.diameter_m + (self.short - 0.5) * self.pitch_m
        along = max(even_end, odd_end) if self.is_staggered and self.rows > 1 else even_end
        across = self.diameter_m + (self.rows - 1) * self.row_step_m
        return (across, along) if self.is_turned else (along, across)

    def points_m(self) -> FloatArray:
        """Middles of all circles, row by row, from the corner of the rectangle. [m]"""
        points = []
        for row in range(self.rows):
            is_odd = row % 2 == 1
            number = self.short if is_odd else self.long
            shift = self.pitch_m / 2 if is_odd and self.is_staggered else 0.0
            along = self.diameter_m / 2 + shift + self.pitch_m * np.arange(number)
            across = np.full(number, self.diameter_m / 2 + row * self.row_step_m)
            points.append(np.column_stack([along, across]))
        placed = np.concatenate(points)
        return placed[:, ::-1] if self.is_turned else placed


def _straight(width_m: float, height_m: float, diameter_m: float) -> Lattice:
    columns, rows = _fitting(width_m, diameter_m), _fitting(height_m, diameter_m)
    if not columns:
        rows = 0
    return Lattice(False, rows, columns, columns, diameter_m, diameter_m, diameter_m)


def _staggered(
    width_m: float, height_m: float, diameter_m: float, rows: int, *, is_turned: bool
) -> Lattice | None:
    """Build staggered rows spread over the height, closer along the row the higher they may be."""
    step_m = min((height_m - diameter_m) / (rows - 1), _TIGHT * diameter_m)
    if 2 * step_m < diameter_m - _SLACK_M:
        return None
    pitch_m = max(diameter_m, 2 * math.sqrt(max(diameter_m**2 - step_m**2, 0.0)))
    room_m = width_m - diameter_m
    if room_m < -_SLACK_M:
        return None
    long = 1 + _fitting(room_m, pitch_m)
    short = 1 + _fitting(room_m - pitch_m / 2, pitch_m) if room_m > pitch_m / 2 - _SLACK_M else 0
    return Lattice(True, rows, long, short, pitch_m, step_m, diameter_m, is_turned)


@functools.lru_cache(maxsize=4096)
def most_in_rectangle(*, width_m: float, height_m: float, diameter_m: float) -> Lattice:
    """Find the better of straight and staggered rows for as many circles as go in.

    Parameters
    ----------
    width_m, height_m : float
        Edges of the rectangle, inflated by one gap. [m]
    diameter_m : float
        Diameter of a circle, inflated by one gap. [m]

    Returns
    -------
    Lattice
        The lattice with the most circles; straight rows win a tie. Its count may be 0.

    Notes
    -----
    Staggered rows are tried for every number of rows; where they cannot lie at the tight row step
    of sqrt(3)/2 diameters they lie lower with a wider pitch, as long as every second row keeps a
    diameter. A larger rectangle never holds fewer.

    Examples
    --------
    A rectangle of 5 x 5 diameters: 25 in straight rows; of 10 x 10: 105 staggered against 100.

    >>> most_in_rectangle(width_m=5.0, height_m=5.0, diameter_m=1.0).count
    25
    >>> most_in_rectangle(width_m=10.0, height_m=10.0, diameter_m=1.0).count
    105
    """
    best = _straight(width_m, height_m, diameter_m)
    for is_turned in (False, True):
        along_m, across_m = (height_m, width_m) if is_turned else (width_m, height_m)
        most_rows = 1 + _fitting(across_m - diameter_m, diameter_m / 2)
        for rows in range(2, most_rows + 1):
            tried = _staggered(along_m, across_m, diameter_m, rows, is_turned=is_turned)
            if tried is not None and tried.count > best.count:
                best = tried
    return best


def blocks_of(count: int, *, width_m: float, height_m: float, diameter_m: float) -> list[Lattice]:
    """List the compact blocks of ``count`` circles or a few more, straight and staggered.

    Parameters
    ----------
    count : int
        How many circles are wanted. [-]
    width_m, height_m : float
        Edges of the rectangle they should go into; infinite where free. [m]
    diameter_m : float
        Diameter of a circle, inflated by one gap. [m]

    Returns
    -------
    list of Lattice
        Blocks with no row too many; they need not fit the rectangle.
    """
    blocks = []
    for rows in range(1, count + 1):
        columns = math.ceil(count / rows)
        if math.ceil(count / columns) != rows:
            continue
        blocks.append(Lattice(False, rows, columns, columns, diameter_m, diameter_m, diameter_m))
    for is_turned in (False, True) if count > 2 else ():
        across_m = width_m if is_turned else height_m
        for rows in range(2, min(count, 2 + math.isqrt(4 * count)) + 1):
            blocks += _staggered_blocks(count, rows, across_m, diameter_m, is_turned=is_turned)
    return blocks


def _staggered_blocks(
    count: int, rows: int, across_m: float, diameter_m: float, *, is_turned: bool
) -> list[Lattice]:
    available_m = (across_m - diameter_m) / (rows - 1)
    step_m = min(max(available_m, diameter_m / 2), _TIGHT * diameter_m)
    pitch_m = max(diameter_m, 2 * math.sqrt(max(diameter_m**2 - step_m**2, 0.0)))
    even = math.ceil(count / rows)
    long = math.ceil((count + rows // 2) / rows)
    shapes = {(even, even)} if long == 1 else {(even, even), (long, long - 1)}
    return [
        Lattice(True, rows, first, second, pitch_m, step_m, diameter_m, is_turned)
        for first, second in sorted(shapes)
        if second >= 1
    ]
