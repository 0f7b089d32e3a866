"""What no cell can be: figures of one row that contradict each other, or physics.

Bounds are on what can be sold as a cell today, so that a label with a fairy-tale capacity is
refused before anything is computed from it.
"""

from __future__ import annotations

from typing import Final

from packdesign.data.cell_sizes import outer_volume_l
from packdesign.data.cells import Cell
from packdesign.data.csv_reader import Row

__all__ = ["HIGHEST_C_RATE", "HIGHEST_WH_PER_KG", "HIGHEST_WH_PER_L", "check_cell"]

HIGHEST_WH_PER_L: Final = 1000.0
"""Own reasoning: 1.3 times the densest shipped row, a 21700 that holds about 780 Wh/L."""
HIGHEST_WH_PER_KG: Final = 420.0
"""Own reasoning: the densest shipped row holds about 280 Wh/kg; 1.5 times it."""
HIGHEST_C_RATE: Final = 150.0
"""Own reasoning: the highest rating of the table is near 30 times the capacity per hour, the
boldest pouch label 50; three times that is a slip of the pen."""


def check_cell(cell: Cell, row: Row) -> None:
    """Reject a row that contradicts itself or physics.

    Raises
    ------
    TableError
        Naming the column at fault, what was found and what is accepted.
    """
    _check_voltages(cell, row)
    _check_energy(cell, row)
    _check_currents(cell, row)
    _check_resistance(cell, row)
    _check_temperatures(cell, row)
    if cell.rated_capacity_ah is not None and cell.rated_capacity_ah > cell.capacity_ah * 1.001:
        given = f"{cell.rated_capacity_ah * 1000:g} mAh, above capacity_mah"
        raise row.error(
            column="rated_capacity_mah",
            problem=f"is {given}; a guaranteed minimum is never above it",
        )


def _check_voltages(cell: Cell, row: Row) -> None:
    if cell.cutoff_v >= cell.full_v:
        problem = f"is {cell.cutoff_v:g} V, not below full_v ({cell.full_v:g} V)"
        raise row.error(column="cutoff_v", problem=problem)
    if not cell.cutoff_v < cell.nominal_v < cell.full_v:
        problem = (
            f"is {cell.nominal_v:g} V; it must lie between cutoff_v ({cell.cutoff_v:g} V) "
            f"and full_v ({cell.full_v:g} V)"
        )
        raise row.error(column="nominal_v", problem=problem)


def _check_energy(cell: Cell, row: Row) -> None:
    energy_wh = cell.capacity_ah * cell.nominal_v
    volume_l = outer_volume_l(cell)
    if volume_l and energy_wh / volume_l > HIGHEST_WH_PER_L:
        most_mah = HIGHEST_WH_PER_L * volume_l / cell.nominal_v * 1000
        problem = (
            f"is {cell.capacity_ah * 1000:g} mAh, which no {cell.size_code} can hold: it would be "
            f"{energy_wh / volume_l:.0f} Wh per litre, where the best cells sold hold under 800; "
            f"at most {most_mah:.0f} mAh is accepted for this size. Such a label is false"
        )
        raise row.error(column="capacity_mah", problem=problem)
    if cell.mass_kg and energy_wh / cell.mass_kg > HIGHEST_WH_PER_KG:
        problem = (
            f"is {cell.capacity_ah * 1000:g} mAh in {cell.mass_kg * 1000:g} g, which is "
            f"{energy_wh / cell.mass_kg:.0f} Wh/kg; at most {HIGHEST_WH_PER_KG:g} Wh/kg is accepted"
        )
        raise row.error(column="capacity_mah", problem=problem)


def _check_currents(cell: Cell, row: Row) -> None:
    for column in ("continuous_a", "uncut_continuous_a", "max_charge_a", "standard_charge_a"):
        value: float | None = getattr(cell, column)
        if value is not None and value > HIGHEST_C_RATE * cell.capacity_ah:
            problem = (
                f"is {value:g} A, more than {HIGHEST_C_RATE:g} times the capacity per hour; "
                f"at most {HIGHEST_C_RATE * cell.capacity_ah:g} A is accepted"
            )
            raise row.error(column=column, problem=problem)
    uncut, cut = cell.uncut_continuous_a, cell.continuous_a
    if uncut is not None and cut is not None and uncut > cut:
        problem = f"is {uncut:g} A, above continuous_a ({cut:g} A); without a cut it is never more"
        raise row.error(column="uncut_continuous_a", problem=problem)


def _check_resistance(cell: Cell, row: Row) -> None:
    tolerance, ohm = cell.dc_resistance_tolerance_ohm, cell.dc_resistance_ohm
    if tolerance is None:
        return
    column = "dc_resistance_tolerance_milliohm"
    if ohm is None:
        problem = "is given, but dc_resistance_milliohm, which it belongs to, is empty"
        raise row.error(column=column, problem=problem)
    if tolerance >= ohm:
        problem = (
            f"is {tolerance * 1000:g} milliohm, not below dc_resistance_milliohm "
            f"({ohm * 1000:g} milliohm); no resistance is zero or less"
        )
        raise row.error(column=column, problem=problem)


def _check_temperatures(cell: Cell, row: Row) -> None:
    for what in ("charge", "discharge"):
        low: float | None = getattr(cell, f"{what}_min_degc")
        high: float | None = getattr(cell, f"{what}_max_degc")
        if low is not None and high is not None and low >= high:
            problem = f"is {low:g} degC, not below {what}_max_degc ({high:g} degC)"
            raise row.error(column=f"{what}_min_degc", problem=problem)
