"""The measured cells of a brief as facts for the gate: where they come from, how far apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from packdesign.data.cells import Cell
from packdesign.engineering.charging.intake import Origin, take_in
from packdesign.planning.brief.upkeep_sections import Measured
from packdesign.planning.charge_plan.intake_file import read_intake
from packdesign.planning.charge_plan.intake_plan import limits_of
from packdesign.planning.hazards.situation import Situation

__all__ = ["with_lot"]


def with_lot(found: Situation, measured: Measured | None, cell: Cell | None) -> Situation:
    """Add what a file of measured cells tells: salvaged or mixed cells, and their spread.

    Parameters
    ----------
    found : Situation
        What the rest of the brief tells.
    measured : Measured or None
        The section that names the file.
    cell : Cell or None
        The model of the cells; None: the brief leaves it open.

    Returns
    -------
    Situation
        The same with the origin at its worst, and the spread of the cells that are let in.

    Raises
    ------
    TableError
        If the file cannot be used.
    """
    if measured is None or measured.cells is None:
        return found
    readings = read_intake(measured.cells)
    origins = {reading.origin for reading in readings}
    kept = readings if cell is None else take_in(readings, limits_of(cell)).accepted
    is_salvaged = Origin.SALVAGED in origins
    is_mixed = bool(origins - {Origin.NEW})
    return replace(
        found,
        cell_origin="used_pack" if is_salvaged else found.cell_origin,
        cells_same_model=False if is_mixed else found.cells_same_model,
        # one bench day cannot show that they will age alike
        cells_measured_alike=False if is_mixed else found.cells_measured_alike,
        ocv_spread_v=_spread([each.rested_v for each in kept]),
        resistance_spread_ohm=_spread([each.resistance_ohm for each in kept]),
        capacity_spread_ah=_spread([each.capacity_ah for each in kept]),
    )


def _spread(values: Sequence[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return max(known) - min(known) if len(known) > 1 else None
