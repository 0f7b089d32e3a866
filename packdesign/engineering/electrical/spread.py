"""How unlike the cells of one pack are: factors on capacity and resistance, drawn or measured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from packdesign.engineering.demand.profile import FloatArray
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["MIXED_CELLS", "SINGLE_BATCH", "BatchSpread", "draw_cells"]

_WIDEST_SD: Final = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchSpread:
    """Standard deviations among the cells that a builder buys."""

    name: str
    capacity_fraction: float
    """Standard deviation of the capacity over its mean. [-]"""
    resistance_fraction: float
    """Standard deviation of the resistance over its mean. [-]"""
    basis: Basis
    source: str


SINGLE_BATCH: Final = BatchSpread(
    name="new, one batch",
    capacity_fraction=0.003,
    resistance_fraction=0.02,
    basis=Basis.ASSUMED,
    source="chosen inside published rows: 0.17 % and 0.45 % over 600 cells (Wildfeuer and "
    "Lienkamp), earlier papers 0.2 to 0.3 % and 0.7 to 3.8 % as that abstract gives them",
)
MIXED_CELLS: Final = BatchSpread(
    name="mixed or from a marketplace",
    capacity_fraction=0.015,
    resistance_fraction=0.06,
    basis=Basis.ASSUMED,
    source="chosen near 1.3 % and 5.8 % over 20 000 LFP cells (Paul et al. 2013, from memory)",
)


def draw_cells(
    spread: BatchSpread, *, shape: tuple[int, int, int], seed: int
) -> tuple[FloatArray, FloatArray]:
    """Draw factors on capacity and resistance for packs of cells.

    Parameters
    ----------
    spread : BatchSpread
        Of the batch.
    shape : tuple of int
        Packs, series, parallel.
    seed : int
        Start of the random numbers; the same seed gives the same packs.

    Returns
    -------
    tuple of array
        Factors on capacity and on resistance, near 1. [-]

    Raises
    ------
    OutOfRangeError
        If a pack has no cells.

    Notes
    -----
    Normal and independent, cut off at three standard deviations, for a maker sorts out the rest.
    In one batch, cells of less capacity often have more resistance too; that is left out.

    Examples
    --------
    >>> capacity, resistance = draw_cells(SINGLE_BATCH, shape=(1, 3, 2), seed=1)
    >>> capacity.shape, bool(abs(capacity - 1).max() < 0.01)
    ((1, 3, 2), True)
    """
    if min(shape) < 1:
        msg = f"packs, series and parallel must be 1 or more; got {shape}"
        raise OutOfRangeError(msg)
    generator = np.random.default_rng(seed)
    drawn = np.clip(generator.standard_normal((2, *shape)), -_WIDEST_SD, _WIDEST_SD)
    return 1 + spread.capacity_fraction * drawn[0], 1 + spread.resistance_fraction * drawn[1]
