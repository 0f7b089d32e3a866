"""The lag of the charge at the surface of the particles, and what goes with diffusion in them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Family
from packdesign.data.chemistries import load_chemistry
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.concentration import slow_division, solid_temperature_factor
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.fast_engine import run_pack
from packdesign.engineering.discharge.nodes import SOC_GRID, TEMPERATURE_GRID_DEGC
from packdesign.engineering.discharge.run import Conditions, PackModel, Trace
from packdesign.engineering.thermal.path import ThermalPath
from tests.loads import hold


@pytest.fixture(scope="module")
def cell() -> CellModel:
    return model_from_datasheet(load_cells().find("INR21700 M50T"))


def run(cell: CellModel, c_rate: float, *, degc: float = 25.0) -> Trace:
    """Discharge a cell held at a temperature."""
    held = ThermalPath(cell_to_surface_w_per_k=1e6, surface_to_air_w_per_k=1e6, surface_j_per_k=1.0)
    pack = PackModel(cell=cell, series=1, parallel=1, path_ohm=0.0, thermal=held)
    demand = hold(c_rate * cell.capacity_ah, duration_s=40_000.0)
    return run_pack(pack, demand, Conditions(ambient_degc=degc, start_degc=degc))


def bare(cell: CellModel, *, lag_per_c: float) -> CellModel:
    """No resistance at all, a lag of so much of the charge at 1C, a straight curve of 1 V."""
    return replace(
        cell,
        ocv_v=3.0 + SOC_GRID,
        cutoff_v=3.0,
        entropic_v_per_k=np.zeros(SOC_GRID.size),
        ohmic_ohm=1e-12,
        charge_transfer_ohm=0.0,
        rc_ohm=(0.0, 0.0),
        empty_soc=np.zeros(TEMPERATURE_GRID_DEGC.size),
        lag_per_a=lag_per_c / cell.capacity_ah,
    )


def test_slow_part_divides_into_electrolyte_and_lag() -> None:
    """At half charge both together are the reading: level and lag times the slope of the curve."""
    division = slow_division()
    curve = load_chemistry(Family.NCA).ocv
    slope_v = float(curve.at(0.5) - curve.at(0.49)) / 0.01
    assert division.level + division.lag_per_v * slope_v == pytest.approx(1.0, abs=1e-3)
    assert 0.0 < division.level < 1.0


@pytest.mark.parametrize("c_rate", [0.5, 1.0, 2.0])
def test_discharge_ends_when_the_surface_is_empty(cell: CellModel, c_rate: float) -> None:
    """On a straight curve, without resistance: what is left is the lag, here 3 % at 1C."""
    trace = run(bare(cell, lag_per_c=0.03), c_rate)
    assert trace.soc[-1] == pytest.approx(0.03 * c_rate, rel=1e-4)
    assert trace.voltage_v[-1] == pytest.approx(3.0, abs=1e-4)


def test_what_the_lag_leaves_behind_grows_in_the_cold(cell: CellModel) -> None:
    """exp(E/R (1/273.15 - 1/298.15)) with 46.0 kJ/mol by hand: 5.47 times as much at 0 degC."""
    trace = run(bare(cell, lag_per_c=0.03), 1.0, degc=0.0)
    assert trace.soc[-1] == pytest.approx(0.03 * 5.47, rel=4e-3)


def test_lag_warms_the_cell_with_what_it_takes_from_the_voltage(cell: CellModel) -> None:
    """Insulated: the heat is the drop of 30 mV times the charge drawn, less what builds it up."""
    model = bare(cell, lag_per_c=0.03)
    sealed = ThermalPath(
        cell_to_surface_w_per_k=1e-6, surface_to_air_w_per_k=1e-6, surface_j_per_k=1.0
    )
    demand = hold(model.capacity_ah, duration_s=1800.0)
    pack = PackModel(cell=model, series=1, parallel=1, path_ohm=0.0, thermal=sealed)
    still = replace(
        pack, cell=replace(model, solid_temperature_factor=np.ones(TEMPERATURE_GRID_DEGC.size))
    )
    trace = run_pack(still, demand, Conditions(ambient_degc=25.0, start_degc=25.0))
    heat_j = model.heat_capacity_j_per_k * (trace.cell_degc[-1] - 25.0)
    wanted_j = 0.03 * model.capacity_ah * (1800.0 - 90.0 * (1.0 - np.exp(-1800.0 / 90.0)))
    assert heat_j == pytest.approx(wanted_j, rel=1e-3)


def test_pulse_reads_the_lag_that_has_built_up(cell: CellModel) -> None:
    model = bare(cell, lag_per_c=0.03)
    current_a = model.capacity_ah
    found = model.pulse_ohm(soc=0.5, temperature_degc=25.0, current_a=current_a, pulse_s=90.0)
    assert found == pytest.approx(0.03 * (1.0 - np.exp(-1.0)) / current_a, rel=1e-6)
    ohm, time_s = model.relaxing_at(soc=0.5, temperature_degc=25.0)[-1]
    assert (ohm, time_s) == (pytest.approx(0.03 / current_a), 90.0)


def test_rise_and_lag_follow_temperature_as_the_pooled_energy_says() -> None:
    """46.0 kJ/mol by hand: 5.47 times as much at 0 degC as at 25 degC, 0.165 times at 57 degC."""
    at = np.interp([0.0, 25.0, 57.0], TEMPERATURE_GRID_DEGC, solid_temperature_factor())
    assert at == pytest.approx([5.47, 1.0, 0.165], rel=4e-3)


def test_what_rises_toward_empty_is_less_of_the_whole_in_the_warmth(cell: CellModel) -> None:
    """A hot cell at its knee has less left of its rise than of its level at half charge."""

    def ohm(soc: float, degc: float) -> float:
        return cell.pulse_ohm(soc=soc, temperature_degc=degc, current_a=5.0, pulse_s=300.0)

    half = [ohm(0.5, degc) / ohm(0.5, 25.0) for degc in (0.0, 55.0)]
    knee = [ohm(0.03, degc) / ohm(0.03, 25.0) for degc in (0.0, 55.0)]
    assert knee[0] > half[0]
    assert knee[1] < 0.85 * half[1]


def test_lag_comes_later_in_the_cold(cell: CellModel) -> None:
    warm, cold = (cell.relaxing_at(soc=0.5, temperature_degc=degc) for degc in (25.0, 0.0))
    assert cold[2][1] > 2.0 * warm[2][1]
    assert cold[1][1] > warm[1][1]
    assert cold[0][1] == warm[0][1]


def test_larger_current_leaves_more_charge_behind(cell: CellModel) -> None:
    """Held at 25 degC, 1C gives less than C/5, and less still where the slow parts are twice."""
    fifth, one = (run(cell, c_rate).summary().delivered_ah for c_rate in (0.2, 1.0))
    assert fifth > one + 0.02
    assert one > run(cell.slower(2.0), 1.0).summary().delivered_ah + 0.02


@pytest.mark.parametrize("part_number", ["ANR26650M1-B", "INR21700 M50T"])
@pytest.mark.parametrize("degc", [-60.0, -40.0, -20.0, -12.0, -5.0])
def test_below_what_the_cold_leaves_within_reach_the_curve_stays_at_its_end(
    part_number: str, degc: float
) -> None:
    model = model_from_datasheet(load_cells().find(part_number))
    end_v = float(model.ocv_v[0])
    for soc in (0.0, 0.05, 0.2):
        assert model.ocv_at(soc, temperature_degc=degc) >= end_v - 1e-9
    reached = model.soc_within_reach(0.2, temperature_degc=degc)
    assert model.reach(soc=reached, temperature_degc=degc) == pytest.approx(0.2)
    trace = run_pack(
        PackModel(
            cell=model,
            series=1,
            parallel=1,
            path_ohm=0.0,
            thermal=ThermalPath(
                cell_to_surface_w_per_k=1.0, surface_to_air_w_per_k=0.1, surface_j_per_k=1.0
            ),
        ),
        hold(0.1, duration_s=60.0),
        Conditions(ambient_degc=degc, start_degc=degc, start_soc=0.01),
    )
    assert trace.voltage_v.min() > 0.0
