"""The standard discharge worked out in one go is the one that the engine steps through."""

from __future__ import annotations

import pytest

from packdesign.data.cell_table import load_cells
from packdesign.data.chemistries import load_chemistry
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.fast_engine import run_pack
from packdesign.engineering.discharge.run import Conditions, PackModel
from packdesign.engineering.discharge.standard_discharge import STANDARD_CRATE
from packdesign.engineering.thermal.path import ThermalPath
from tests.loads import hold

HELD = ThermalPath(cell_to_surface_w_per_k=50.0, surface_to_air_w_per_k=50.0, surface_j_per_k=10.0)


@pytest.mark.parametrize("degc", [25.0, 0.0, -10.0])
@pytest.mark.parametrize(
    "name", ["INR18650-25R", "INR21700-50G", "INR-21700-P42A", "LP803450-CI", "IFR14500"]
)
def test_a_held_cell_gives_the_published_share_of_its_sheet(name: str, degc: float) -> None:
    """Within 1 % of the sheet's capacity: the move toward the nominal voltage comes after."""
    cell = load_cells().find(name)
    model = model_from_datasheet(cell)
    pack = PackModel(cell=model, series=1, parallel=1, path_ohm=0.0, thermal=HELD)
    demand = hold(STANDARD_CRATE * cell.capacity_ah, duration_s=40_000.0)
    given_ah = run_pack(pack, demand, Conditions(ambient_degc=degc, start_degc=degc)).summary()
    published = load_chemistry(cell.family).capacity_fraction(
        temperature_degc=degc, c_rate=STANDARD_CRATE
    )
    assert given_ah.delivered_ah / cell.capacity_ah == pytest.approx(published, abs=0.01)
