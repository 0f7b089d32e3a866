"""How much more than its even share the hardest-worked cell of a parallel group carries."""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import Final

import numpy as np

from packdesign.engineering.electrical.network import PackNetwork, split_current
from packdesign.engineering.electrical.spread import (
    MIXED_CELLS,
    SINGLE_BATCH,
    BatchSpread,
    draw_cells,
)
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.pack_network import network_of
from packdesign.planning.brief.schema import Brief

__all__ = ["HardestCell", "hardest_cell", "spread_of"]

_PACKS: Final = 200
_UNLUCKY_PERCENT: Final = 95.0
"""Nineteen of twenty packs of such cells are better; own choice."""
_SEED: Final = 20
_MOST_GROUPS: Final = 4
_WIDE: Final = 12
"""Wider groups are sampled in fewer packs and groups, for the sake of time."""
_WIDEST: Final = 40
"""A wider group is taken as one of this width: at the lead it is like it."""
_SOC, _DEGC, _PULSE_S = 0.5, 25.0, 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class HardestCell:
    """The cell that carries the most in its group."""

    share: float
    """Its current over the even share, in an unlucky pack. [-]"""
    parallel: int
    spread: BatchSpread

    @property
    def words(self) -> str:
        """The share as a sentence; empty for cells that share with none."""
        if self.parallel == 1:
            return ""
        return (
            f"The hardest-worked of {self.parallel} cells in parallel takes {self.share:.2f} of "
            f"an even share ({self.spread.name}; both leads at one end of the strips)."
        )


def hardest_cell(design: PackDesign, brief: Brief | None = None) -> HardestCell:
    """Find the share of the hardest-worked cell, for cells as they are bought.

    Parameters
    ----------
    design : PackDesign
        The pack.
    brief : Brief or None
        Says whether the cells are new and of one batch; None: they are.

    Returns
    -------
    HardestCell
        The share in the unluckiest of twenty packs.

    Notes
    -----
    Half charged, 25 degC, after ten seconds, both leads at one end of the pack. Sampled from the
    spread of the batch with the strips and joints in place; where the charge of the cells drifts
    apart the shares even out again, so this is the high end.
    """
    spread = spread_of(brief)
    if design.parallel == 1:
        return HardestCell(share=1.0, parallel=1, spread=spread)
    cell_ohm = design.model.cell.pulse_ohm(
        soc=_SOC, temperature_degc=_DEGC, current_a=design.cell.capacity_ah, pulse_s=_PULSE_S
    )
    network, is_wide = network_of(design), design.parallel > _WIDE
    share = _sampled_share(
        spread=spread,
        packs=_PACKS // 5 if is_wide else _PACKS,
        series=min(design.series, 2 if is_wide else _MOST_GROUPS),
        parallel=min(design.parallel, _WIDEST),
        strip_to_cell=float(f"{network.strip_ohm / cell_ohm:.2g}"),
        joint_to_cell=float(f"{network.joint_ohm / cell_ohm:.2g}"),
    )
    return HardestCell(share=share, parallel=design.parallel, spread=spread)


def spread_of(brief: Brief | None) -> BatchSpread:
    """Say how unlike the cells of a pack are.

    Parameters
    ----------
    brief : Brief or None
        Says whether the cells are new and of one batch; None: they are.
    """
    pack = brief.pack if brief is not None else None
    if pack is None:
        return SINGLE_BATCH
    old = pack.cell_origin not in (None, "new")
    return MIXED_CELLS if old or pack.mixed_cells or pack.new_cells_in_old_pack else SINGLE_BATCH


@functools.lru_cache(maxsize=256)
def _sampled_share(
    *,
    spread: BatchSpread,
    packs: int,
    series: int,
    parallel: int,
    strip_to_cell: float,
    joint_to_cell: float,
) -> float:
    """Share in the unluckiest of twenty packs; resistances over that of a cell."""
    _, resistance = draw_cells(spread, shape=(packs, series, parallel), seed=_SEED)
    split = split_current(
        PackNetwork(joint_ohm=joint_to_cell, strip_ohm=strip_to_cell),
        emf_v=np.full(resistance.shape, 100.0),
        cell_ohm=resistance,
        pack_a=np.full(packs, float(parallel)),
    )
    hardest = np.max(split.cell_a, axis=(1, 2))
    return max(float(np.percentile(hardest, _UNLUCKY_PERCENT)), 1.0)
