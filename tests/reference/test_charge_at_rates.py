"""Charge of power cells at large currents, against what their makers guarantee.

Sources: Samsung INR18650-25R sheet, 2500 mAh at 0.2C and 2450 mAh at 10 A; Samsung INR18650-15L
specification V3.21, at least 1450 mAh at 1.5 A and at 10 A. Both at 25 degC, to 2.5 V; how the
cells are cooled is not printed, so they lie in still air here and in a strong draught.
"""

from __future__ import annotations

import pytest

from packdesign.data.cell_table import load_cells
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.fast_engine import run_pack
from packdesign.engineering.discharge.run import Conditions, PackModel
from packdesign.engineering.thermal.path import ThermalPath
from tests.loads import hold


def delivered_ah(part_number: str, current_a: float, *, loss_w_per_k: float) -> float:
    thermal = ThermalPath(
        cell_to_surface_w_per_k=2.0, surface_to_air_w_per_k=loss_w_per_k, surface_j_per_k=10.0
    )
    cell = model_from_datasheet(load_cells().find(part_number))
    pack = PackModel(cell=cell, series=1, parallel=1, path_ohm=0.0, thermal=thermal)
    demand = hold(current_a)
    conditions = Conditions(ambient_degc=25.0, start_degc=25.0, max_cell_degc=120.0)
    return run_pack(pack, demand, conditions).summary().delivered_ah


@pytest.mark.parametrize("loss_w_per_k", [0.05, 0.3])
@pytest.mark.parametrize(
    ("part_number", "slow_a", "fraction"), [("INR18650-25R", 0.5, 0.98), ("INR18650-15L", 1.5, 1.0)]
)
def test_ten_ampere_over_the_slow_discharge(
    part_number: str, slow_a: float, fraction: float, loss_w_per_k: float
) -> None:
    """4C and 6.7C. Within 2 % and the 50 mAh in whose steps the guaranteed figures are printed."""
    slow, fast = (
        delivered_ah(part_number, current_a, loss_w_per_k=loss_w_per_k)
        for current_a in (slow_a, 10.0)
    )
    printed_ah = 0.05
    assert fast / slow == pytest.approx(fraction, abs=printed_ah / slow + 0.02)
