"""Slow resistance over the slope of the open-circuit voltage and over temperature."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from packdesign.data.cell_table import load_cells
from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge.cell_model import SOC_GRID, TEMPERATURE_GRID_DEGC
from packdesign.engineering.discharge.concentration import (
    half_charge_slope_v,
    slope_share,
    slope_v,
    slow_rise,
    solid_temperature_factor,
)
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.fast_engine import run_pack
from packdesign.engineering.discharge.run import Conditions, PackModel
from packdesign.engineering.thermal.path import ThermalPath


def test_slope_of_a_parabola_is_that_of_its_chord() -> None:
    soc = np.linspace(0.0, 1.0, 2001)
    found = slope_v(soc, 3.0 + soc**2, at=np.array([0.0, 0.5, 1.0]))
    assert found == pytest.approx([0.025, 1.0, 1.975], abs=1e-6)


def test_share_divides_the_slow_part() -> None:
    assert 0.0 < slope_share() < 1.0
    assert 0.5 < half_charge_slope_v() < 1.5


def test_flat_cell_rises_only_with_what_does_not_follow_the_slope() -> None:
    flat = slow_rise(np.full(SOC_GRID.size, 3.3), other_rise=np.full(SOC_GRID.size, 1.0))
    assert flat == pytest.approx(np.full(SOC_GRID.size, 1.0 - slope_share()))


def test_slope_of_the_cells_read_makes_the_share_of_the_particles_at_half_charge() -> None:
    ocv_v = 3.2 + half_charge_slope_v() * SOC_GRID
    rise = slow_rise(ocv_v, other_rise=np.zeros(SOC_GRID.size))
    assert rise == pytest.approx(np.full(SOC_GRID.size, slope_share()))


def test_diffusion_takes_as_long_as_its_activation_energy_says() -> None:
    """27.65 kJ/mol by hand: 0 degC 2.776 times as long as 25 degC, 57 degC 0.339 times."""
    at = np.interp([0.0, 25.0, 57.0], TEMPERATURE_GRID_DEGC, solid_temperature_factor())
    assert at == pytest.approx([2.776, 1.0, 0.339], abs=0.002)


def test_what_rises_toward_empty_is_less_of_the_whole_in_the_warmth() -> None:
    """A hot cell at its knee has less left of its rise than of its level at half charge."""
    model = model_from_datasheet(load_cells().find("INR21700 M50T"))

    def ohm(soc: float, degc: float) -> float:
        return model.pulse_ohm(soc=soc, temperature_degc=degc, current_a=5.0, pulse_s=300.0)

    half = [ohm(0.5, degc) / ohm(0.5, 25.0) for degc in (0.0, 55.0)]
    knee = [ohm(0.03, degc) / ohm(0.03, 25.0) for degc in (0.0, 55.0)]
    assert knee[0] > half[0]
    assert knee[1] < 0.85 * half[1]


def test_slow_drop_comes_later_in_the_cold() -> None:
    model = model_from_datasheet(load_cells().find("INR21700-50G"))
    assert model.rc_time_at(0.0)[1] > 1.5 * model.rc_time_at(25.0)[1]
    assert model.rc_time_at(0.0)[0] == model.rc_time_at(25.0)[0]

    def slow_only(pulse_s: float, degc: float) -> float:
        bare = replace(model, ohmic_ohm=1e-9, charge_transfer_ohm=1e-9, rc_ohm=(0.0, 0.01))
        return bare.pulse_ohm(soc=0.5, temperature_degc=degc, current_a=1.0, pulse_s=pulse_s)

    assert slow_only(1.0, 0.0) == pytest.approx(slow_only(1.0, 25.0), rel=0.05)
    assert slow_only(3000.0, 0.0) > 1.5 * slow_only(3000.0, 25.0)


def test_larger_current_leaves_more_charge_behind() -> None:
    """Held at 25 degC, 1C gives less than C/5, and less still where the slow part is twice."""
    cell = model_from_datasheet(load_cells().find("INR21700 M50T"))
    held = ThermalPath(cell_to_surface_w_per_k=1e6, surface_to_air_w_per_k=1e6, surface_j_per_k=1.0)

    def delivered_ah(c_rate: float, *, slow: float = 1.0) -> float:
        rc_ohm = (cell.rc_ohm[0], slow * cell.rc_ohm[1])
        pack = PackModel(
            cell=replace(cell, rc_ohm=rc_ohm), series=1, parallel=1, path_ohm=0.0, thermal=held
        )
        demand = Demand(
            duration_s=np.array([40_000.0]),
            current_a=np.array([c_rate * cell.capacity_ah]),
            power_w=np.zeros(1),
            label=("hold",),
            repeats=False,
        )
        trace = run_pack(pack, demand, Conditions(ambient_degc=25.0, start_degc=25.0))
        return trace.summary().delivered_ah

    assert delivered_ah(0.2) > delivered_ah(1.0) + 0.02
    assert delivered_ah(1.0) > delivered_ah(1.0, slow=2.0) + 0.02
