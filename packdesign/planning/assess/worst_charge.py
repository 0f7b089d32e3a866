"""The least charge from which a device starts at full power: its own limit, where it has one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.monitor import wished_levels
from packdesign.planning.verdicts.judge import spoken

__all__ = ["USUAL_WORST_SOC", "WorstCharge", "worst_charge"]

USUAL_WORST_SOC: Final = 0.2
"""Charge of the worst moment, of what the cold leaves within reach, where the device has no limit
of its own: near empty, yet before the knee of the curve; own choice. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class WorstCharge:
    """How empty a pack may be when the device starts at full power."""

    share: float
    """Of the charge that the cold leaves within reach. [-]"""
    words: str
    """Why, as a sentence."""


def worst_charge(brief: Brief, cell: CellModel) -> WorstCharge:
    """Find the least charge at which the device still starts at full power.

    Parameters
    ----------
    brief : Brief
        The brief; its monitor may limit the device, or stop it.
    cell : CellModel
        The cell, for its voltage at rest.

    Notes
    -----
    A device that has just been switched on reads its pack at rest, so the charge is that at which a
    resting cell stands at the limit; under load the limit is met sooner. Where only a stop is
    stated, nothing softens a start above it. The share is one of the charge within reach, for the
    cold lowers the resting voltage as it takes charge out of reach.
    """
    wished = wished_levels(brief)
    for name, limit_v in (("limit", wished.limit_v), ("stop", wished.stop_v)):
        if limit_v is not None:
            share = cell.soc_at(limit_v)
            return WorstCharge(
                share=share,
                words=f"The worst start is that with {_percent(share)} of the charge within reach "
                f"left: at rest the pack then stands at the device's own {name}, "
                f"{spoken(limit_v, 'V')} per cell.",
            )
    return WorstCharge(
        share=USUAL_WORST_SOC,
        words=f"The worst start is taken with {_percent(USUAL_WORST_SOC)} of the charge within "
        "reach left, own choice, for the brief states no limit per cell below which the device "
        "does not start at full power.",
    )


def _percent(share: float) -> str:
    return spoken(share * 100, "%", digits=2)
