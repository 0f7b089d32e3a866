"""Bands: deterministic, ordered, wider with more doubt, and honest about what matters."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from packdesign.data.cell_table import load_cells
from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge.bands import discharge_bands
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.nodes import SOC_GRID, TEMPERATURE_GRID_DEGC
from packdesign.engineering.discharge.run import Conditions, EndReason, PackModel
from packdesign.engineering.thermal.path import ThermalPath
from packdesign.foundation.errors import OutOfRangeError
from tests.loads import hold

CONDITIONS = Conditions(ambient_degc=22.0, start_degc=22.0, max_cell_degc=90.0)


@pytest.fixture(scope="module")
def pack() -> PackModel:
    cell = model_from_datasheet(load_cells().find("INR18650-30Q"))
    thermal = ThermalPath(
        cell_to_surface_w_per_k=2.0, surface_to_air_w_per_k=0.1, surface_j_per_k=30.0
    )
    return PackModel(cell=cell, series=3, parallel=1, path_ohm=0.02, thermal=thermal)


def test_same_seed_gives_the_same_bands(pack: PackModel) -> None:
    first = discharge_bands(pack, hold(3.0), CONDITIONS, samples=50)
    again = discharge_bands(pack, hold(3.0), CONDITIONS, samples=50)
    other = discharge_bands(pack, hold(3.0), CONDITIONS, samples=50, seed=2)
    assert first.run_time_s == again.run_time_s
    assert first.ranking == again.ranking
    assert first.run_time_s != other.run_time_s


def test_run_to_empty_is_in_doubt_by_the_capacity(pack: PackModel) -> None:
    bands = discharge_bands(pack, hold(3.0), CONDITIONS, samples=200)
    assert bands.ranked_by == "run time"
    assert bands.ranking[0][0] == "capacity"
    assert sum(share for _, share in bands.ranking) == pytest.approx(1.0)
    # a normal spread s gives 5 and 95 % points at 1 -+ 1.645 s, and nearly all charge is delivered
    half_width = (bands.delivered_ah.high - bands.delivered_ah.low) / 2
    expected = 1.645 * pack.cell.spread.capacity_fraction * bands.delivered_ah.mid
    assert half_width == pytest.approx(expected, rel=0.2)
    assert "maker" in bands.advice


def test_short_demand_is_in_doubt_by_voltage_not_by_time(pack: PackModel) -> None:
    bands = discharge_bands(pack, hold(9.0, duration_s=20.0), CONDITIONS, samples=100)
    assert bands.run_time_s.low == bands.run_time_s.high == pytest.approx(20.0)
    assert bands.ranked_by == "lowest voltage"
    assert bands.min_voltage_v.low < bands.min_voltage_v.mid < bands.min_voltage_v.high


def test_no_spread_gives_no_width_but_that_of_joints_and_cooling(pack: PackModel) -> None:
    certain = replace(
        pack.cell.spread,
        capacity_fraction=0.0,
        resistance_fraction=0.0,
        slow_resistance_fraction=0.0,
        cold_resistance_fraction=np.zeros(TEMPERATURE_GRID_DEGC.size),
        rise_j_per_mol=0.0,
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
    bands = discharge_bands(sure, hold(3.0, duration_s=600.0), CONDITIONS, samples=30)
    assert bands.min_voltage_v.low == pytest.approx(bands.min_voltage_v.high, abs=1e-9)
    assert bands.ranking[0][1] == 0.0
    assert "No input" in bands.advice


@pytest.mark.parametrize(
    ("degc", "low", "mid", "high"),
    [
        pytest.param(0.0, 1.516, 1.737, 1.958, id="read"),
        pytest.param(-10.0, 2.367, 2.953, 3.539, id="colder"),
        pytest.param(-20.0, 3.025, 4.214, 6.015, id="the coldest row"),
    ],
)
def test_doubt_of_the_cold_is_how_far_published_cells_part(
    pack: PackModel, degc: float, low: float, mid: float, high: float
) -> None:
    """Ratios of NCA to 25 degC in cell_data/chemistries/resistance_temperature.csv, 5 to 95 %."""
    spread = pack.cell.spread
    cold = (high - low) / mid / (2 * 1.645)
    assert spread.cold_fraction_at(degc) == pytest.approx(cold, rel=1e-3)
    assert spread.resistance_fraction_at(degc) == pytest.approx(
        (spread.resistance_fraction**2 + cold**2) ** 0.5, rel=1e-3
    )


def test_doubt_of_the_cold_grows_without_end_and_is_none_in_the_warm(pack: PackModel) -> None:
    at = pack.cell.spread.cold_fraction_at
    assert at(25.0) == at(60.0) == 0.0
    assert 0.0 < at(20.0) < at(10.0) < at(0.0) < at(-20.0)
    step = at(-20.0) - at(-10.0)
    assert at(-30.0) - at(-20.0) == pytest.approx(step)
    assert at(-60.0) - at(-50.0) == pytest.approx(step)


def test_doubt_about_the_lag_is_none_where_it_was_read_and_grows_with_the_cold(
    pack: PackModel,
) -> None:
    """One standard deviation of 10.22 kJ/mol by hand: a factor of 1.458 at 0 degC, 2.08 at -20."""
    one = np.array([-1.0, 0.0, 1.0])
    at = pack.cell.spread.lag_factor_at
    assert at(25.0, draws=one) == pytest.approx([1.0, 1.0, 1.0])
    assert at(0.0, draws=one) == pytest.approx([1 / 1.458, 1.0, 1.458], rel=3e-3)
    assert at(-20.0, draws=one)[2] == pytest.approx(2.08, rel=6e-3)


def test_in_the_cold_the_run_time_is_in_doubt_by_the_lag(pack: PackModel) -> None:
    cold = Conditions(ambient_degc=-15.0, start_degc=-15.0)
    known = replace(pack.cell, spread=replace(pack.cell.spread, rise_j_per_mol=0.0))
    wide, narrow = (
        discharge_bands(each, hold(3.0), cold, samples=200)
        for each in (pack, replace(pack, cell=known))
    )
    assert dict(wide.ranking)["lag in the cold"] > 0.05
    widths = [each.run_time_s.high - each.run_time_s.low for each in (wide, narrow)]
    assert widths[0] > 1.05 * widths[1]


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
    pull = hold(3.0, duration_s=60.0)
    cold_band = discharge_bands(pack, pull, cold, samples=100).min_voltage_v
    warm_band = discharge_bands(pack, pull, CONDITIONS, samples=100).min_voltage_v
    assert cold_band.high - cold_band.low > 1.3 * (warm_band.high - warm_band.low)


def test_too_few_samples_are_refused(pack: PackModel) -> None:
    with pytest.raises(OutOfRangeError, match="20 or more"):
        discharge_bands(pack, hold(3.0), CONDITIONS, samples=5)


def test_a_run_cut_off_ends_at_its_share_with_its_band(pack: PackModel) -> None:
    """The load changes at 1000 s, where the trace has two points at one time."""
    stepped = Demand(
        duration_s=np.array([1000.0, 36000.0]),
        current_a=np.array([6.0, 3.0]),
        power_w=np.zeros(2),
        label=("hard", "easy"),
        repeats=False,
    )
    whole = discharge_bands(pack, stepped, CONDITIONS, samples=40, with_trace=True)
    cut = whole.ended_at(0.6, EndReason.EMPTY, end_v=9.0)
    assert whole.trace is not None
    assert cut.trace is not None
    before, after = whole.trace.summary(), cut.trace.summary()
    assert after.ends_by is EndReason.EMPTY
    assert after.run_time_s == pytest.approx(0.6 * before.run_time_s)
    at_s = 0.6 * before.run_time_s
    drawn_ah = (6.0 * 1000.0 + 3.0 * (at_s - 1000.0)) / 3600.0
    assert after.delivered_ah == pytest.approx(drawn_ah, rel=1e-6)
    given = drawn_ah / before.delivered_ah
    assert cut.delivered_ah.low == pytest.approx(given * whole.delivered_ah.low)
    assert after.min_voltage_v == cut.trace.voltage_v[-1] == 9.0
    # inside the cut the band is the same band
    assert whole.voltage_low_v is not None
    assert cut.voltage_low_v is not None
    shared = slice(0, cut.trace.time_s.size - 1)
    assert cut.voltage_low_v[shared] == pytest.approx(whole.voltage_low_v[shared], abs=1e-12)
    assert cut.voltage_low_v[-1] <= cut.trace.voltage_v[-1]


def test_figures_known_apart_shrink_with_a_run_cut_off(pack: PackModel) -> None:
    """Of 10 s on and 10 s off for a day most rounds are left out of the trace."""
    busy = Demand(
        duration_s=np.array([10.0, 10.0]),
        current_a=np.array([0.6, 0.0]),
        power_w=np.zeros(2),
        label=("on", "off"),
    )
    whole = discharge_bands(pack, busy, CONDITIONS, samples=40, with_trace=True).trace
    assert whole is not None
    assert whole.known is not None
    cut = whole.ended_at(0.5, EndReason.CUTOFF, end_v=9.0).summary()
    assert cut.run_time_s == pytest.approx(0.5 * whole.known.run_time_s)
    assert cut.delivered_wh == pytest.approx(0.5 * whole.known.delivered_wh)
    assert cut.end_soc == pytest.approx(1 - 0.5 * (1 - whole.known.end_soc), abs=0.01)
    assert cut.peak_cell_degc == whole.known.peak_cell_degc
    assert cut.min_voltage_v == pytest.approx(9.0)


def test_advice_leaves_out_what_was_measured(pack: PackModel) -> None:
    bases = pack.cell.bases | {"capacity": "measured, from the brief"}
    known = replace(pack, cell=replace(pack.cell, bases=bases))
    advice = discharge_bands(known, hold(3.0), CONDITIONS, samples=60).advice
    assert "comes from capacity, which was measured; of what was not, " in advice
    assert "count the ampere-hours" not in advice
    assert (
        "count the ampere-hours" in discharge_bands(pack, hold(3.0), CONDITIONS, samples=60).advice
    )
