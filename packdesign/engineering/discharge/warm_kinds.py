"""A cell in a few kinds that keep more or less of their resistance when warm.

How far a resistance falls with warmth is in doubt, and a run warms as it goes; so the doubt belongs
into the tables over temperature. Packs of a batch share these, so that a draw takes the kind that
is nearest to it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.draws import LEAST_FACTOR

__all__ = ["WARM_DRAWS", "kind_of", "warm_kinds"]

_STRATA: Final = 8
_MIDDLES: Final = ndtri((np.arange(_STRATA) + 0.5) / _STRATA)
WARM_DRAWS: Final[FloatArray] = np.concatenate([[0.0], _MIDDLES / np.sqrt(np.mean(_MIDDLES**2))])
"""Draw of each kind, in standard deviations: the likely cell first, then the middles of equal
shares of the normal distribution, of unit variance together. [-]"""


def warm_kinds(cell: CellModel) -> list[CellModel]:
    """Make the kinds of a cell, one for each of ``WARM_DRAWS``.

    Parameters
    ----------
    cell : CellModel
        The likely one.
    """
    return [_kind(cell, draw=float(draw)) for draw in WARM_DRAWS]


def kind_of(draws: FloatArray) -> NDArray[np.intp]:
    """Give the kind that stands for each draw; 0 exactly is the likely cell. Shape (n,).

    Parameters
    ----------
    draws : array
        Standard normal values. Shape (n,). [-]
    """
    share = np.minimum((ndtr(draws) * _STRATA).astype(np.intp), _STRATA - 1)
    return np.asarray(np.where(draws == 0.0, 0, 1 + share))


def _kind(cell: CellModel, *, draw: float) -> CellModel:
    if draw == 0.0:
        return cell
    factor = np.maximum(1.0 + draw * cell.spread.warm_resistance_fraction, LEAST_FACTOR)
    return replace(
        cell,
        ohmic_temperature_factor=cell.ohmic_temperature_factor * factor,
        rc_temperature_factor=cell.rc_temperature_factor * factor,
        transfer_temperature_factor=cell.transfer_temperature_factor * factor,
    )
