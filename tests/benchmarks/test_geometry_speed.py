"""How long the geometry takes: the whole cell table in a tube and in a box, every arrangement."""

from __future__ import annotations

import time

from packdesign.data.cell_table import load_cells
from packdesign.engineering.geometry.allowances import Allowances
from packdesign.engineering.geometry.arrange import arrangements, most_cells
from packdesign.engineering.geometry.cavities import Box, Tube
from packdesign.foundation.errors import InputError

TARGET_S = 2.0
"""Issue 4: every cell of the table in both cavities, all arrangements."""


def everything() -> tuple[int, int, int]:
    """Lay every cell into both cavities; counts of cells, arrangements and cells without a size."""
    cavities = (
        Tube(bore_m=0.046, length_m=0.160),
        Box(length_m=0.120, width_m=0.070, height_m=0.022),
    )
    allowances = Allowances()
    cells = list(load_cells())
    found, sizeless = 0, 0
    for cell in cells:
        try:
            for cavity in cavities:
                found += len(
                    arrangements(cell, cavity, series=3, parallel=1, allowances=allowances)
                )
                found += most_cells(cell, cavity, allowances)[0] > 0
        except InputError:
            sizeless += 1
    return len(cells), found, sizeless


def test_whole_table_in_both_cavities_stays_under_two_seconds(record_property):
    taken = []
    for _ in range(3):
        began = time.perf_counter()
        cells, found, sizeless = everything()
        taken.append(time.perf_counter() - began)
    seconds = min(taken)  # the least: what else the machine does is not the geometry's
    record_property("seconds", round(seconds, 3))
    print(f"{cells} cells, {found} arrangements, {sizeless} without a size: {seconds:.2f} s")
    assert cells >= 120
    assert found > cells
    assert seconds < TARGET_S
