"""Cells that are not new: what the years and cycles behind them have taken, before any is measured.

A figure measured of the cells goes before all of this.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from packdesign.data.cells import Cell
from packdesign.engineering.ageing.calendar import Rest, calendar_ageing
from packdesign.engineering.ageing.cycle_life import CycleUse, cycle_ageing
from packdesign.engineering.ageing.cycle_table import row_of_cell
from packdesign.engineering.ageing.estimate import AgeingEstimate, both
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.foundation.basis import TWO_SIDED_90, Band, Basis
from packdesign.foundation.constants import SECONDS_PER_DAY
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.brief.pack_section import Pack

__all__ = ["as_worn", "is_worn", "wear_of"]

_STORE_DEGC: Final = 20.0
_STORE_SOC: Final = 0.5
"""How cells lay before they came to the builder: a room, half full, own choice."""
_USED_CRATE: Final = 1.0
"""How hard they were worked: 1C from full to empty, own choice. [1/h]"""
_LEAST_CAPACITY: Final = 0.05


def is_worn(pack: Pack | None) -> bool:
    """Tell whether a brief gives its cells an age or cycles.

    Parameters
    ----------
    pack : Pack or None
        The section of the brief.
    """
    return pack is not None and bool(pack.age_s or pack.cycles_done)


def wear_of(pack: Pack, cell: Cell) -> AgeingEstimate:
    """Estimate what the age and the cycles of a brief have taken from its cells.

    Parameters
    ----------
    pack : Pack
        The section of the brief.
    cell : Cell
        The cell.

    Returns
    -------
    AgeingEstimate
        Unknown where nothing is published of the family, or of cells so old.
    """
    try:
        rested = calendar_ageing(
            cell.family,
            Rest(
                temperature_degc=_STORE_DEGC,
                soc=_STORE_SOC,
                days=(pack.age_s or 0.0) / SECONDS_PER_DAY,
            ),
        )
    except OutOfRangeError as error:
        return AgeingEstimate(
            capacity_fraction=None,
            resistance_ratio=None,
            basis=Basis.ASSUMED,
            source="",
            cautions=(str(error),),
        )
    if not pack.cycles_done:
        return rested
    use = CycleUse(discharge_crate=_USED_CRATE)
    own = row_of_cell(cell)
    return both(rested, cycle_ageing(cell.family, use, cycles=pack.cycles_done, own=own))


def as_worn(model: CellModel, wear: AgeingEstimate) -> CellModel:
    """Make the circuit of a cell after its wear; where that is unknown, as it was.

    Parameters
    ----------
    model : CellModel
        The new cell.
    wear : AgeingEstimate
        What is left of it.
    """
    left, ratio = wear.capacity_fraction, wear.resistance_ratio
    if left is None or ratio is None:
        return model
    told = "reckoned from age and cycles of the brief"
    spread = model.spread
    return replace(
        model.aged(capacity_fraction=max(left.mid, _LEAST_CAPACITY), resistance_factor=ratio.mid),
        spread=replace(
            spread,
            capacity_fraction=_with(spread.capacity_fraction, left),
            resistance_fraction=_with(spread.resistance_fraction, ratio),
        ),
        bases=model.bases
        | {"capacity": told, "resistance": f"{model.bases['resistance']}; {told}"},
    )


def _with(spread: float, band: Band) -> float:
    """Add the half width of a band of 90 % to a standard deviation, as fractions."""
    own = (band.high - band.low) / 2 / TWO_SIDED_90 / max(band.mid, _LEAST_CAPACITY)
    return float((spread**2 + own**2) ** 0.5)
