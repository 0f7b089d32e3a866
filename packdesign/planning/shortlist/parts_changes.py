"""The parts that would suit a cell: a charger, the trips of a board, the levels of a gauge."""

from __future__ import annotations

import math
from typing import Final

from packdesign.data.cells import Cell, Family
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.parts import board_of
from packdesign.planning.shortlist.change import Change
from packdesign.planning.shortlist.record import Rejected
from packdesign.planning.verdicts.board import TRIP_OVER_FULL_V

__all__ = ["CHARGER_FAMILIES", "suited_parts"]

CHARGER_FAMILIES: Final = {
    "li_ion": frozenset({Family.NCA, Family.NMC, Family.LCO, Family.LMO}),
    "lfp": frozenset({Family.LFP}),
    "lto": frozenset({Family.LTO}),
    "na_ion": frozenset({Family.NA_ION}),
}
"""What a charger of each setting is for; one for another chemistry overcharges, or fills only a
part."""
_CHARGER: Final = ("charge_voltage", "charger_chemistry", "charger_for_other_chemistry")
_BOARD: Final = ("board_undervoltage", "board_overcharge")
_GAUGE: Final = ("gauge_floor", "gauge_order")
_ROOM: Final = "gauge_room"
_LEVELS: Final = ("warn_per_cell", "limit_per_cell", "stop_per_cell", "hard_cut_per_cell")


def suited_parts(brief: Brief, fallen: Rejected) -> Change | None:
    """Give the parts with which the voltages of a cell go together.

    Parameters
    ----------
    brief : Brief
        The brief, open.
    fallen : Rejected
        The cell that fell for its charger, its board or its gauge.

    Returns
    -------
    Change or None
        None where it fell for something else.
    """
    cell, words, keys = fallen.cell, [], dict[str, object]()
    if fallen.limit in _CHARGER:
        setting = next(
            (name for name, kinds in CHARGER_FAMILIES.items() if cell.family in kinds), ""
        )
        words.append(f"a charger that ends at {cell.full_v:g} V per cell, for {cell.family.value}")
        keys["charger.end_voltage_per_cell"] = f"{cell.full_v:g} V"
        if brief.charger is not None and brief.charger.chemistry is not None and setting:
            keys["charger.chemistry"] = setting
    if fallen.limit in (*_CHARGER, *_BOARD):
        trips = _trips(brief, cell)
        keys |= trips
        if trips:
            words.append(
                f"a board that cuts off between {cell.cutoff_v:g} V and "
                f"{cell.full_v + TRIP_OVER_FULL_V / 2:g} V per cell"
            )
    if fallen.limit in (*_CHARGER, *_BOARD, *_GAUGE, _ROOM):
        levels = _levels(brief) if fallen.limit == _ROOM else _unsuited_levels(brief, cell)
        keys |= dict.fromkeys(levels)
        if levels:
            words.append("the levels of the gauge left to the program")
    return Change(words=" and ".join(words), keys=keys) if keys else None


def _unsuited_levels(brief: Brief, cell: Cell) -> list[str]:
    """Levels of the gauge that were set for other cells."""
    monitor = brief.monitor
    if monitor is None:
        return []
    lowest_v = min(monitor.stop_per_cell_v or math.inf, monitor.hard_cut_per_cell_v or math.inf)
    if _suits(brief, cell) and lowest_v >= cell.cutoff_v:
        return []
    return _levels(brief)


def _levels(brief: Brief) -> list[str]:
    """Levels of the gauge that are set."""
    return [
        f"monitor.{each}"
        for each in _LEVELS
        if brief.monitor is not None and getattr(brief.monitor, f"{each}_v") is not None
    ]


def _suits(brief: Brief, cell: Cell) -> bool:
    """Whether the charger of the brief is for this chemistry already."""
    chemistry = None if brief.charger is None else brief.charger.chemistry
    return cell.family in CHARGER_FAMILIES.get(chemistry or "unknown", frozenset({cell.family}))


def _trips(brief: Brief, cell: Cell) -> dict[str, object]:
    """Trips of a board for this cell, as far as those of the brief do not go with it."""
    board = board_of(brief.pack)
    if board is None or board.kind != "board":
        return {}
    low_v, high_v = board.undervoltage_trip_v, board.overcharge_trip_v
    trips: dict[str, object] = {}
    if low_v is not None and not cell.cutoff_v <= low_v < cell.nominal_v:
        trips["pack.protection.undervoltage_trip"] = f"{cell.cutoff_v:g} V"
    if high_v is not None and not cell.full_v <= high_v <= cell.full_v + TRIP_OVER_FULL_V:
        trip_v = cell.full_v + TRIP_OVER_FULL_V / 2
        trips["pack.protection.overcharge_trip"] = f"{trip_v:g} V"
    return trips
