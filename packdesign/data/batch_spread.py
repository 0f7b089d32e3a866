"""How far new cells of one lot, and cells of mixed lots, differ from each other."""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass

from packdesign.data.record_reader import find_named, read_records
from packdesign.foundation.basis import TWO_SIDED_90, Basis

__all__ = ["BatchSpread", "batch_spread", "load_batch_spreads"]

_BATCH = ("batch", "capacity_sd_percent", "resistance_sd_percent", "use", "basis", "source")


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchSpread:
    """Standard deviation between new cells of one lot."""

    batch: str
    """"single" and "mixed" are the ones to design with."""
    capacity_sd_fraction: float
    """Of capacity, as a fraction of its mean. [-]"""
    resistance_sd_fraction: float
    """Of resistance, as a fraction of its mean. [-]"""
    use: str
    """"design", or "measured": kept for comparison."""
    basis: Basis
    source: str

    def group_behind_fraction(self, *, parallel: int) -> float:
        """Capacity by which a small group of cells lies behind the mean, one side of 90 %. [-]

        Parameters
        ----------
        parallel : int
            Cells in the group, whose differences partly cancel. [-]
        """
        return TWO_SIDED_90 * self.capacity_sd_fraction / math.sqrt(parallel)


@functools.cache
def load_batch_spreads() -> tuple[BatchSpread, ...]:
    """Every row of the table."""
    return read_records("chemistries/batch_spread.csv", BatchSpread, columns=_BATCH)


def batch_spread(batch: str) -> BatchSpread:
    """Find the spread to design with.

    Parameters
    ----------
    batch : str
        "single": new cells of one lot; "mixed": several lots, or cells from a marketplace.

    Raises
    ------
    UnknownNameError
        If there is none; with the nearest names.

    Examples
    --------
    >>> batch_spread("mixed").resistance_sd_fraction
    0.06
    """
    return find_named(load_batch_spreads(), batch, kind="batch", names=lambda each: (each.batch,))
