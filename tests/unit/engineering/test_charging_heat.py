"""Heat of a charge without its simulation: held against that, and its limits."""

from __future__ import annotations

import dataclasses

import pytest

from packdesign.data.cell_table import load_cells
from packdesign.engineering.charging.cc_cv import simulate_charge
from packdesign.engineering.charging.charge_heat import hottest_cell_of_charge_degc
from packdesign.engineering.charging.charge_run import ChargeSettings
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.run import Conditions, PackModel
from packdesign.engineering.thermal.path import ThermalPath

CELL = model_from_datasheet(load_cells().find("Samsung SDI INR18650-30Q"))
PLACE = ThermalPath(cell_to_surface_w_per_k=0.5, surface_to_air_w_per_k=0.04, surface_j_per_k=10.0)
PACK = PackModel(cell=CELL, series=3, parallel=2, path_ohm=0.02, thermal=PLACE)
SETTINGS = ChargeSettings(
    charge_a=3.0,
    end_v_per_cell=4.2,
    end_a=0.3,
    pre_charge_a=0.3,
    pre_charge_below_v=2.5,
    limit_degc=90.0,
)
HOT = Conditions(ambient_degc=40.0, start_degc=40.0, start_soc=0.05)


def times_resistance(factor: float) -> PackModel:
    cell = CELL.aged(capacity_fraction=1.0, resistance_factor=factor)
    return dataclasses.replace(PACK, cell=cell)


@pytest.mark.slow
@pytest.mark.parametrize("factor", [1.0, 3.0])
@pytest.mark.parametrize("charge_a", [1.5, 5.0])
def test_it_agrees_with_the_simulated_charge(factor, charge_a):
    pack, settings = times_resistance(factor), dataclasses.replace(SETTINGS, charge_a=charge_a)
    simulated = simulate_charge(pack, settings, HOT).peak_cell_degc
    assert simulated > HOT.start_degc + 1.0
    assert hottest_cell_of_charge_degc(pack, settings, HOT) == pytest.approx(simulated, abs=0.5)


def test_more_current_more_resistance_and_less_cooling_are_hotter():
    plain = hottest_cell_of_charge_degc(PACK, SETTINGS, HOT)
    faster = dataclasses.replace(SETTINGS, charge_a=6.0)
    snug = dataclasses.replace(
        PACK, thermal=dataclasses.replace(PLACE, surface_to_air_w_per_k=0.02)
    )
    assert hottest_cell_of_charge_degc(PACK, faster, HOT) > plain + 2.0
    assert hottest_cell_of_charge_degc(times_resistance(2.0), SETTINGS, HOT) > plain + 1.0
    assert hottest_cell_of_charge_degc(snug, SETTINGS, HOT) > plain + 1.0


def test_a_full_pack_and_one_that_takes_nothing_stay_as_warm_as_they_are():
    full = dataclasses.replace(HOT, start_soc=1.0)
    # warm, a full cell drops less than at 25 degC and takes a trickle for a moment
    assert hottest_cell_of_charge_degc(PACK, SETTINGS, full) == pytest.approx(40.0, abs=0.05)
    assert hottest_cell_of_charge_degc(times_resistance(1000.0), SETTINGS, HOT) == 40.0
