"""Bands: deterministic, ordered, wider with more doubt, and honest about what matters."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge.bands import discharge_bands
from packdesign.engineering.discharge.cell_model import SOC_GRID
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.run import Conditions, PackModel
from packdesign.engineering.thermal.path import ThermalPath
from packdesign.foundation.errors import OutOfRangeError
from tests.example_cell import known_by_impedance

CONDITIONS = Conditions(ambient_degc=22.0, start_degc=22.0, max_cell_degc=90.0)


def constant(current_a: float, *, duration_s: float = 36000.0) -> Demand:
    return Demand(
        duration_s=np.array([duration_s]),
        current_a=np.array([current_a]),
        power_w=np.zeros(1),
        label=("hold",),
        repeats=False,
    )


@pytest.fixture(scope="module")
def pack() -> PackModel:
    cell = model_from_datasheet(known_by_impedance())
    thermal = ThermalPath(
        cell_to_surface_w_per_k=2.0, surface_to_air_w_per_k=0.1, surface_j_per_k=30.0
    )
    return PackModel(cell=cell, series=3, parallel=1, path_ohm=0.02, thermal=thermal)


def test_same_seed_gives_the_same_bands(pack: PackModel) -> None:
    first = discharge_bands(pack, constant(3.0), CONDITIONS, samples=50)
    again = discharge_bands(pack, constant(3.0), CONDITIONS, samples=50)
    other = discharge_bands(pack, constant(3.0), CONDITIONS, samples=50, seed=2)
    assert first.run_time_s == again.run_time_s
    assert first.ranking == again.ranking
    assert first.run_time_s != other.run_time_s


def test_run_to_empty_is_in_doubt_by_the_capacity(pack: PackModel) -> None:
    bands = discharge_bands(pack, constant(3.0), CONDITIONS, samples=200)
    assert bands.ranked_by == "run time"
    assert bands.ranking[0][0] == "capacity"
    assert sum(share for _, share in bands.ranking) == pytest.approx(1.0)
    # a normal spread s gives 5 and 95 % points at 1 -+ 1.645 s, and nearly all charge is delivered
    half_width = (bands.delivered_ah.high - bands.delivered_ah.low) / 2
    expected = 1.645 * pack.cell.spread.capacity_fraction * bands.delivered_ah.mid
    assert half_width == pytest.approx(expected, rel=0.2)
    assert "maker" in bands.advice


def test_short_demand_is_in_doubt_by_voltage_not_by_time(pack: PackModel) -> None:
    bands = discharge_bands(pack, constant(9.0, duration_s=20.0), CONDITIONS, samples=100)
    assert bands.run_time_s.low == bands.run_time_s.high == pytest.approx(20.0)
    assert bands.ranked_by == "lowest voltage"
    assert bands.min_voltage_v.low < bands.min_voltage_v.mid < bands.min_voltage_v.high


def test_no_spread_gives_no_width_but_that_of_joints_and_cooling(pack: PackModel) -> None:
    certain = replace(
        pack.cell.spread,
        capacity_fraction=0.0,
        resistance_fraction=0.0,
        slow_resistance_fraction=0.0,
        cold_resistance_fraction=0.0,
        heat_capacity_fraction=0.0,
        ocv_v=np.zeros(SOC_GRID.size),
        entropic_v_per_k=0.0,
    )
    sure = replace(
        pack,
        cell=replace(pack.cell, spread=certain),
        path_ohm=0.0,
        thermal=replace(pack.thermal, spread_fraction=0.0),
    )
    bands = discharge_bands(sure, constant(3.0, duration_s=600.0), CONDITIONS, samples=30)
    assert bands.min_voltage_v.low == pytest.approx(bands.min_voltage_v.high, abs=1e-9)
    assert bands.ranking[0][1] == 0.0
    assert "No input" in bands.advice


@pytest.mark.parametrize(("degc", "cold"), [(40.0, 0.0), (25.0, 0.0), (0.0, 0.3), (-50.0, 0.9)])
def test_doubt_of_the_cold_grows_without_end_and_adds_as_squares(
    pack: PackModel, degc: float, cold: float
) -> None:
    spread = replace(pack.cell.spread, resistance_fraction=0.4, cold_resistance_fraction=0.3)
    assert spread.cold_fraction_at(degc) == pytest.approx(cold)
    assert spread.resistance_fraction_at(degc) == pytest.approx((0.16 + cold**2) ** 0.5)


def test_trace_band_encloses_the_mid_run_at_both_sides_of_a_jump(pack: PackModel) -> None:
    demand = Demand(
        duration_s=np.array([10.0, 20.0]),
        current_a=np.array([6.0, 0.5]),
        power_w=np.array([0.0, 4.0]),
        label=("pull", "wait"),
    )
    bands = discharge_bands(pack, demand, CONDITIONS, samples=60, with_trace=True)
    trace, low, high = bands.trace, bands.voltage_low_v, bands.voltage_high_v
    assert trace is not None
    assert low is not None
    assert high is not None
    assert low.shape == high.shape == trace.voltage_v.shape
    assert np.all(low <= trace.voltage_v)
    assert np.all(trace.voltage_v <= high)
    assert np.any(np.diff(trace.time_s) == 0.0)
    assert trace.time_s[-1] == pytest.approx(bands.run_time_s.mid)


def test_colder_pack_has_a_wider_band(pack: PackModel) -> None:
    cold = Conditions(ambient_degc=-10.0, start_degc=-10.0)
    pull = constant(3.0, duration_s=60.0)
    cold_band = discharge_bands(pack, pull, cold, samples=100).min_voltage_v
    warm_band = discharge_bands(pack, pull, CONDITIONS, samples=100).min_voltage_v
    assert cold_band.high - cold_band.low > 1.3 * (warm_band.high - warm_band.low)


def test_too_few_samples_are_refused(pack: PackModel) -> None:
    with pytest.raises(OutOfRangeError, match="20 or more"):
        discharge_bands(pack, constant(3.0), CONDITIONS, samples=5)
