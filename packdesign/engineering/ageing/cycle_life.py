"""Ageing by use: cycles, how deep, how hard, to what voltage, from published figures.

The factors come from different cells and are multiplied; together they are a guide, not a law.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from packdesign.data.cells import Family
from packdesign.engineering.ageing.cycle_factors import (
    COBALT_LIKE,
    FASTEST_TABLED_CRATE,
    charge_rate_loss_factor,
    charge_voltage_trade,
    depth_loss_factor,
)
from packdesign.engineering.ageing.cycle_table import CYCLE_ROWS, POWER_CELL_CRATE, CycleRow
from packdesign.engineering.ageing.estimate import AgeingEstimate
from packdesign.engineering.ageing.resistance_growth import resistance_from_capacity
from packdesign.foundation.basis import Band, Basis, weakest
from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "CycleUse",
    "cycle_ageing",
    "cycles_to",
    "loss_per_cycle",
]

GENTLE_CRATE: Final = 1.0
HARD_CRATE: Final = 5.0
# Between the two the loss per cycle is a straight line; beyond the second it stays: rows at 5 to
# 11C lose no more than those at 5C. The line is our assumption.
_PACK_OVER_CELL: Final = Band(1 / 0.8, 1 / 0.75, 1 / 0.7)
# A pack lives 20 to 30 % shorter than its cells: README of blast-lite 1.1.1.


@dataclass(frozen=True, slots=True, kw_only=True)
class CycleUse:
    """How a cell is cycled."""

    discharge_crate: float
    """Current while it works, root mean square, per capacity. [1/h]"""
    depth_fraction: float = 1.0
    """Share of the capacity used in each cycle. [-]"""
    charge_crate: float = 0.5
    """Charge current per capacity. [1/h]"""
    charge_v: float = 4.20
    """Charge voltage per cell, on the scale of a 4.20 V cell. [V]"""
    in_pack: bool = True
    """Whether cells are joined in a pack, which lives shorter than its cells."""

    def __post_init__(self) -> None:
        if self.discharge_crate < 0 or self.charge_crate < 0 or not 0 < self.depth_fraction <= 1:
            msg = (
                "rates must be 0 or more and the depth above 0 up to 1; got "
                f"{self.discharge_crate}, {self.charge_crate} and {self.depth_fraction}"
            )
            raise OutOfRangeError(msg)


def loss_per_cycle(
    family: Family, use: CycleUse, *, own: CycleRow | None = None
) -> tuple[Band, Basis, str] | None:
    """Capacity lost in one cycle, with the spread of what is published. [-]

    Parameters
    ----------
    family : Family
        Chemistry family.
    use : CycleUse
        How it is cycled.
    own : CycleRow or None
        Figure of the cell's own sheet; it takes the middle of the band at its rate.

    Returns
    -------
    tuple or None
        Band [-], basis and source; None for families without a figure.

    Examples
    --------
    The worst published row for 3 Ah power cells at 15 A loses 0.16 % a cycle:

    >>> use = CycleUse(discharge_crate=5.0, in_pack=False)
    >>> round(loss_per_cycle(Family.NMC, use)[0].high * 100, 2)
    0.16
    """
    rows = [row for row in CYCLE_ROWS if family in row.families]
    if own is not None:
        rows.append(own)
    if not rows:
        return None
    own_hard_crate = own.crate if own is not None and own.crate >= POWER_CELL_CRATE else HARD_CRATE
    hard_crate = min(HARD_CRATE, own_hard_crate)
    hard = [row for row in rows if row.crate >= hard_crate]
    gentle = [row for row in rows if row.crate <= GENTLE_CRATE]
    if not hard and family is Family.LCO:
        hard = [row for row in CYCLE_ROWS if row.crate >= HARD_CRATE]
    between = [row for row in rows if GENTLE_CRATE < row.crate < hard_crate]
    line = _Line(
        gentle=_spread(gentle, own=own),
        hard=_spread(hard or gentle, own=own),
        hard_crate=hard_crate,
    )
    share = line.share(use.discharge_crate)
    at_rate = line.at(use.discharge_crate)
    if 0 < share < 1:
        at_rate = _holding(
            at_rate, [row.loss_per_cycle / line.at(row.crate).mid for row in between]
        )
    factor = depth_loss_factor(depth_fraction=use.depth_fraction)
    factor *= charge_rate_loss_factor(family, charge_crate=use.charge_crate)
    if family in COBALT_LIKE:
        factor /= charge_voltage_trade(charge_v=use.charge_v).cycle_factor
    in_pack = _PACK_OVER_CELL if use.in_pack else Band.exact(1.0)
    ends = [
        one * factor * pack
        for one, pack in (
            (at_rate.low, in_pack.low),
            (at_rate.mid, in_pack.mid),
            (at_rate.high, in_pack.high),
        )
    ]
    used = [*gentle, *([*between, *hard] if share > 0 else [])]
    return (
        Band(*ends),
        weakest(Basis.PUBLISHED, *(row.basis for row in used)),
        "; ".join(dict.fromkeys(row.source for row in used)),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Line:
    """Loss per cycle along the discharge rate: even up to 1C, a straight line, even again."""

    gentle: Band
    hard: Band
    hard_crate: float

    def share(self, crate: float) -> float:
        """How far from gentle to hard a rate lies. [-]"""
        return float(np.clip((crate - GENTLE_CRATE) / (self.hard_crate - GENTLE_CRATE), 0, 1))

    def at(self, crate: float) -> Band:
        """Loss per cycle at a rate. [-]"""
        share = self.share(crate)
        return Band(
            *(
                (1 - share) * one + share * other
                for one, other in (
                    (self.gentle.low, self.hard.low),
                    (self.gentle.mid, self.hard.mid),
                    (self.gentle.high, self.hard.high),
                )
            )
        )


def _holding(band: Band, ratios: list[float]) -> Band:
    """Widen a band until it holds the rows in between, by their ratio to its middle."""
    return Band(
        min([band.low, *(band.mid * each for each in ratios)]),
        band.mid,
        max([band.high, *(band.mid * each for each in ratios)]),
    )


def _spread(rows: list[CycleRow], *, own: CycleRow | None) -> Band:
    losses = sorted(row.loss_per_cycle for row in rows)
    middle = own.loss_per_cycle if own in rows and own else float(np.median(losses))
    return Band(min(losses[0], middle), middle, max(losses[-1], middle))


def cycle_ageing(
    family: Family, use: CycleUse, *, cycles: float, own: CycleRow | None = None
) -> AgeingEstimate:
    """Estimate what a number of cycles takes from a cell.

    Parameters
    ----------
    family : Family
        Chemistry family.
    use : CycleUse
        How it is cycled.
    cycles : float
        How many. [-]
    own : CycleRow or None
        Figure of the cell's own sheet.

    Returns
    -------
    AgeingEstimate
        Unknown for LMO and Na-ion without a figure of their own.

    Raises
    ------
    OutOfRangeError
        If the number of cycles is negative.

    Notes
    -----
    Loss per cycle taken as even. Below about 80 % fade often turns steep, sometimes without a
    sign beforehand (Attia et al. 2022, arXiv 2201.02891).

    Examples
    --------
    >>> use = CycleUse(discharge_crate=5.0, in_pack=False)
    >>> round(cycle_ageing(Family.NMC, use, cycles=250).capacity_fraction.low, 3)
    0.6
    """
    if cycles < 0:
        msg = f"the number of cycles is {cycles}; it must be 0 or more"
        raise OutOfRangeError(msg)
    found = loss_per_cycle(family, use, own=own)
    if found is None:
        return AgeingEstimate(
            capacity_fraction=None,
            resistance_ratio=None,
            basis=Basis.ASSUMED,
            source="",
            cautions=(f"no published cycle life was found for {family.value}",),
        )
    loss, basis, source = found
    left = Band(*(max(0.0, 1 - each * cycles) for each in (loss.high, loss.mid, loss.low)))
    cautions = ["below 80 % fade often turns steep"] if left.low < 0.8 else []
    if family in COBALT_LIKE and use.charge_crate > FASTEST_TABLED_CRATE[Family.NMC]:
        cautions.append("charging above 1.5C is beyond the published figures")
    if family is Family.LFP and use.discharge_crate > FASTEST_TABLED_CRATE[Family.LFP]:
        cautions.append("discharging LFP above 4C is beyond the published figures")
    return AgeingEstimate(
        capacity_fraction=left,
        resistance_ratio=resistance_from_capacity(family, left),
        basis=basis,
        source=source,
        cautions=tuple(cautions),
    )


def cycles_to(
    family: Family, use: CycleUse, *, left_fraction: float = 0.80, own: CycleRow | None = None
) -> Band | None:
    """Cycles until a share of the capacity is left; None for families without a figure. [-]

    Parameters
    ----------
    family : Family
        Chemistry family.
    use : CycleUse
        How it is cycled.
    left_fraction : float
        Capacity left at the end of life; 0.80 is the usual mark. [-]
    own : CycleRow or None
        Figure of the cell's own sheet.

    Examples
    --------
    >>> use = CycleUse(discharge_crate=5.0, in_pack=False)
    >>> round(cycles_to(Family.NMC, use, left_fraction=0.6).low)
    250
    """
    found = loss_per_cycle(family, use, own=own)
    if found is None:
        return None
    loss = found[0]
    return Band(*((1 - left_fraction) / each for each in (loss.high, loss.mid, loss.low)))
