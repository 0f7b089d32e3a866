"""How far a cell on charge stands above its rested voltage, beyond what its resistance explains."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.run import PackModel

__all__ = ["charge_gap_v", "on_charge"]

_FULL_CRATE: Final = 0.05
# current at which a cell counts as full where its sheet is silent, 0.05C: digest of a Chinese EV
# standard, clause 7.1.1
_REFERENCE_DEGC: Final = 25.0


def charge_gap_v(cell: CellModel) -> float:
    r"""Voltage that a full cell stands above its rested voltage when its charge ends. [V]

    Parameters
    ----------
    cell : CellModel
        The cell.

    Returns
    -------
    float
        Gap that the resistances of the model leave open; never below 0. [V]

    Notes
    -----
    .. math:: V_{gap} = V_{full} - V_{oc}(1) - I_{full} R

    with the rested curve :math:`V_{oc}`, the current :math:`I_{full}` of 0.05C at which a cell
    counts as full, and all resistances of the model at full charge and 25 degC. Rested curves of
    4.2 V cells end at about 4.17 V: charged cells sink back for hours (slow diffusion and
    hysteresis). Without the gap a charge would go on beyond full. It is taken as constant over
    charge, for nothing published tells how it grows.
    """
    full_a = _FULL_CRATE * cell.capacity_ah
    instant_ohm = cell.instant_ohm(soc=1.0, temperature_degc=_REFERENCE_DEGC, current_a=full_a)
    relaxing = cell.relaxing_at(soc=1.0, temperature_degc=_REFERENCE_DEGC)
    slow_ohm = sum(ohm for ohm, _ in relaxing)
    return max(0.0, cell.full_v - cell.ocv_at(1.0) - full_a * (instant_ohm + slow_ohm))


def on_charge(pack: PackModel) -> PackModel:
    """Give a pack with its open-circuit curve lifted to where it stands on charge.

    Parameters
    ----------
    pack : PackModel
        The pack, its cells with their rested curve.
    """
    lifted_v = pack.cell.ocv_shift_v + charge_gap_v(pack.cell)
    return replace(pack, cell=replace(pack.cell, ocv_shift_v=lifted_v))
