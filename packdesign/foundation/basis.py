"""Where a figure comes from, and how far it may be off.

Every figure that reaches a verdict carries one of five bases. A derived figure carries the weakest
basis among those it was made from.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from packdesign.foundation.errors import OutOfRangeError

__all__ = ["TWO_SIDED_90", "Band", "Basis", "weakest"]

TWO_SIDED_90: Final = 1.645
"""Standard deviations from the middle to the 5 and 95 % points of a normal distribution. [-]"""


class Basis(StrEnum):
    """Where a figure comes from, strongest first."""

    MEASURED = "measured"
    """Read from this very device, pack or cell."""
    DATASHEET = "datasheet"
    """Printed by the maker, seen in the source named."""
    PUBLISHED = "published"
    """A standard, a paper, a handbook; of a like thing, not of this one."""
    PRACTICE = "practice"
    """Common practice of the trade, no source."""
    ASSUMED = "assumed"
    """Recalled from memory, or chosen here for want of anything better."""


_STRENGTH = {basis: rank for rank, basis in enumerate(Basis)}


def weakest(*bases: Basis) -> Basis:
    """Give the weakest of several bases: the basis of a figure made from them all.

    Examples
    --------
    >>> weakest(Basis.DATASHEET, Basis.ASSUMED, Basis.MEASURED)
    <Basis.ASSUMED: 'assumed'>
    """
    return max(bases, key=_STRENGTH.__getitem__)


@dataclass(frozen=True, slots=True)
class Band:
    """A figure with the range it may lie in: low <= mid <= high, roughly a 5 to 95 % range."""

    low: float
    mid: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.mid <= self.high:
            msg = f"a band needs low <= mid <= high; got {self.low}, {self.mid}, {self.high}"
            raise OutOfRangeError(msg)

    @classmethod
    def exact(cls, value: float) -> Band:
        """Make a band of no width."""
        return cls(value, value, value)

    @classmethod
    def from_fraction(cls, mid: float, *, spread_fraction: float) -> Band:
        """Make a band of ``mid`` times 1 plus and minus ``spread_fraction``. [-]

        Examples
        --------
        >>> Band.from_fraction(20.0, spread_fraction=0.1)
        Band(low=18.0, mid=20.0, high=22.0)
        """
        reach = abs(mid) * spread_fraction
        return cls(mid - reach, mid, mid + reach)

    @property
    def relative_deviation(self) -> float:
        """One standard deviation as a fraction of the middle, low to high being 5 to 95 %. [-]

        Examples
        --------
        >>> round(Band(90.0, 100.0, 110.0).relative_deviation, 4)
        0.0608
        """
        return (self.high - self.low) / (2 * TWO_SIDED_90 * self.mid)

    def scaled(self, factor: float) -> Band:
        """Multiply all three by a positive factor. [-]"""
        return Band(self.low * factor, self.mid * factor, self.high * factor)
