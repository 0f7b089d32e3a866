"""What a brief allows before anything is run: voltages, counts in series, kinds of cell, parts."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from packdesign.data.cells import Cell
from packdesign.planning.brief.load_sections import DIRECT
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.upkeep_sections import Preferences
from packdesign.planning.needs.rails import rail_tree_of

__all__ = ["MOST_SERIES", "Envelope", "envelope_of", "open_brief"]

MOST_SERIES: Final = 14
"""14 lithium-ion cells are full at 58.8 V: above 60 V a shock can kill (extra-low voltage ends
there, IEC 61140, from memory), so more is never proposed."""


_OF_THE_NAMED_CELL: Final = (
    "cell", "series", "parallel", "arrangement", "age_s", "cycles_done",
)  # fmt: skip
"""Keys of a pack that belong to the cell it names."""
_LEVELS: Final = ("warn_per_cell_v", "limit_per_cell_v", "stop_per_cell_v", "hard_cut_per_cell_v")


@dataclass(frozen=True, slots=True, kw_only=True)
class Envelope:
    """Limits that every pack for one brief must keep."""

    lowest_v: float
    """Every device works from here up; 0 without any limit. [V]"""
    lowest_device: str
    highest_v: float
    """Every device bears up to here; infinite without any limit. [V]"""
    highest_device: str
    least_series: int
    most_series: int
    series_from: str
    """What fixes the counts in series, empty where nothing does."""
    most_parallel: int | None

    def series_for(self, cell: Cell) -> tuple[int, ...]:
        """Counts in series that keep a cell within the voltages.

        The full pack must not pass the highest voltage, and at its nominal voltage it must stand
        above the lowest: else it is under it for half of its charge.

        Parameters
        ----------
        cell : Cell
            The cell.
        """
        return tuple(
            count
            for count in range(self.least_series, self.most_series + 1)
            if count * cell.full_v <= self.highest_v and count * cell.nominal_v >= self.lowest_v
        )


def open_brief(brief: Brief, *, any_parts: bool = False) -> Brief:
    """Leave open what the shortlist chooses.

    A brief that names a cell is asked about with all others, so cell, counts and arrangement are
    left out; counts without a cell are a wish and stay. What was measured of the pack that stands,
    and how old and used its cells are, says nothing of another, so that is left out too.

    Parameters
    ----------
    brief : Brief
        The brief.
    any_parts : bool
        Leave out board and charger too, which are bought to suit the pack, and the voltages at
        which the device acts, which are set to suit it.
    """
    pack = brief.pack or Pack()
    changes: dict[str, object] = {}
    if pack.cell is not None:
        changes = dict.fromkeys(_OF_THE_NAMED_CELL)
    if any_parts:
        changes["protection"] = None
    update: dict[str, object] = {"pack": pack.model_copy(update=changes), "measured": None}
    if any_parts:
        update["charger"] = None
        if brief.monitor is not None:
            update["monitor"] = brief.monitor.model_copy(update=dict.fromkeys(_LEVELS))
    return brief.model_copy(update=update)


def envelope_of(brief: Brief) -> Envelope:
    """Collect the limits of a brief.

    Parameters
    ----------
    brief : Brief
        The brief, open.
    """
    window = rail_tree_of(brief).window()
    lowest = [(window.lowest_v, window.lowest_device)]
    highest = [(window.highest_v, window.highest_device)]
    for motor in brief.all_motors:
        if motor.drive is not None:
            name = f"driver of {motor.name}"
            lowest.append((motor.drive.min_v or 0.0, name))
            highest.append((motor.drive.max_v or math.inf, name))
    for load in brief.all_loads:
        if load.rail == DIRECT:
            lowest.append((load.min_v or 0.0, load.name))
            highest.append((load.max_v or math.inf, load.name))
    low_v, low_device = max(lowest, key=lambda each: each[0])
    high_v, high_device = min(highest, key=lambda each: each[0])
    least, most, series_from = _series(brief, is_open=math.isinf(high_v) and low_v <= 0)
    wished = brief.preferences or Preferences()
    pack = brief.pack or Pack()
    return Envelope(
        lowest_v=low_v,
        lowest_device=low_device,
        highest_v=high_v,
        highest_device=high_device,
        least_series=least,
        most_series=most,
        series_from=series_from,
        most_parallel=pack.parallel or wished.parallel_max,
    )


def _series(brief: Brief, *, is_open: bool) -> tuple[int, int, str]:
    pack = brief.pack or Pack()
    if pack.series is not None:
        return pack.series, pack.series, "the brief"
    board, charger = pack.protection, brief.charger
    if board is not None and board.series is not None:
        return board.series, board.series, "the protection board"
    if charger is not None and charger.series is not None:
        return charger.series, charger.series, "the charger"
    if brief.log_given and is_open:
        return 1, 1, "the log: its currents belong to one pack voltage"
    wished = brief.preferences or Preferences()
    says_nothing = wished.series_min is None and wished.series_max is None
    if is_open and says_nothing and not brief.all_motors:
        return 1, 1, "no device with a voltage: nothing asks for more than one"
    return wished.series_min or 1, min(wished.series_max or MOST_SERIES, MOST_SERIES), ""
