"""A cell for tests of how an engine works, whatever the shipped table holds of it tomorrow."""

from __future__ import annotations

from dataclasses import replace

from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Cell

__all__ = ["known_by_impedance"]


def known_by_impedance(name: str = "INR18650-30Q") -> Cell:
    """Give a shipped cell as it stands when its sheet prints a 1 kHz impedance and no DC figure.

    The 30Q is so a cell of some 30 milliohm with the spread of a ratio; by the maker's DC figure it
    has 20, and less spread than some tests need to tell one thing from another.
    """
    return replace(
        load_cells().find(name), dc_resistance_ohm=None, dc_resistance_tolerance_ohm=None
    )
