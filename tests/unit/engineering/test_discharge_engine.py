"""Closed forms and limits of the fast engine: what can be said without another engine."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packdesign.data.cell_table import load_cells
from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge import fast_engine
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.fast_engine import run_batch, run_pack
from packdesign.engineering.discharge.nodes import SOC_GRID, TEMPERATURE_GRID_DEGC
from packdesign.engineering.discharge.pybamm_engine import run_pack_pybamm
from packdesign.engineering.discharge.run import Conditions, EndReason, PackModel, Trace
from packdesign.engineering.thermal.path import ThermalPath
from packdesign.foundation.errors import OutOfRangeError

ROOM = Conditions(ambient_degc=25.0, start_degc=25.0)
THERMAL = ThermalPath(cell_to_surface_w_per_k=2.0, surface_to_air_w_per_k=0.1, surface_j_per_k=30.0)


def demand(*pieces: tuple[float, float, float], repeats: bool = False, **more: float) -> Demand:
    duration_s, current_a, power_w = np.array(pieces, dtype=float).T
    return Demand(
        duration_s=duration_s,
        current_a=current_a,
        power_w=power_w,
        label=("piece",) * len(pieces),
        repeats=repeats,
        **more,
    )


def pack_of(cell: CellModel, *, series: int = 1, parallel: int = 1, path_ohm: float = 0.0):  # type: ignore[no-untyped-def]
    return PackModel(
        cell=cell, series=series, parallel=parallel, path_ohm=path_ohm, thermal=THERMAL
    )


@pytest.fixture(scope="module")
def cell() -> CellModel:
    return model_from_datasheet(load_cells().find("INR18650-30Q"))


@pytest.fixture(scope="module")
def plain(cell: CellModel) -> CellModel:
    """Constant resistances, flat open-circuit voltage of 3.7 V."""
    return replace(
        cell,
        ocv_v=np.full(SOC_GRID.size, 3.7),
        transfer_rise=np.zeros(SOC_GRID.size),
        rc_rise=np.zeros(SOC_GRID.size),
        lag_per_a=0.0,
        ohmic_temperature_factor=np.ones(TEMPERATURE_GRID_DEGC.size),
        rc_temperature_factor=np.ones(TEMPERATURE_GRID_DEGC.size),
        solid_temperature_factor=np.ones(TEMPERATURE_GRID_DEGC.size),
        empty_soc=np.zeros(TEMPERATURE_GRID_DEGC.size),
        charge_transfer_ohm=1e-12,
        ohmic_ohm=0.02,
        rc_ohm=(0.006, 0.015),
        rc_time_s=(10.0, 90.0),
    )


def test_rc_step_response_is_the_textbook_exponential(plain: CellModel) -> None:
    trace = run_pack(pack_of(plain), demand((300.0, 3.0, 0.0)), ROOM)
    t = trace.time_s
    ohm = 0.02 + 0.006 * (1 - np.exp(-t / 10)) + 0.015 * (1 - np.exp(-t / 90))
    assert trace.voltage_v == pytest.approx(3.7 - 3.0 * ohm, abs=1e-9)


def test_voltage_recovers_in_a_rest_as_it_fell(plain: CellModel) -> None:
    trace = run_pack(pack_of(plain), demand((1000.0, 3.0, 0.0), (30.0, 0.0, 0.0)), ROOM)
    left = 0.006 * np.exp(-3.0) + 0.015 * (1 - np.exp(-1000 / 90)) * np.exp(-30 / 90)
    assert trace.voltage_v[-1] == pytest.approx(3.7 - 3.0 * left, abs=1e-6)


def test_constant_power_solves_the_quadratic(plain: CellModel) -> None:
    trace = run_pack(pack_of(plain, path_ohm=0.03), demand((1.0, 0.0, 20.0)), ROOM)
    expected_v = (3.7 + np.sqrt(3.7**2 - 4 * 0.05 * 20.0)) / 2
    assert trace.voltage_v[0] == pytest.approx(expected_v, abs=1e-9)
    assert trace.voltage_v * trace.current_a == pytest.approx(20.0, rel=1e-6)


def test_energy_of_the_source_is_what_is_delivered_and_what_heats(plain: CellModel) -> None:
    """Nothing is lost: 3.7 V times the charge = terminals + heat in cell, surface and air."""
    sealed = ThermalPath(
        cell_to_surface_w_per_k=2.0, surface_to_air_w_per_k=1e-9, surface_j_per_k=30.0
    )
    shut = replace(
        pack_of(plain), thermal=sealed, cell=replace(plain, entropic_v_per_k=np.zeros(401))
    )
    summary_of = run_pack(shut, demand((1200.0, 3.0, 0.0), (3600.0, 0.0, 0.0)), ROOM)
    summary = summary_of.summary()
    heat_j = plain.heat_capacity_j_per_k * (summary_of.cell_degc[-1] - 25.0)
    heat_j += 30.0 * (summary_of.surface_degc[-1] - 25.0)
    source_j = 3.7 * summary.delivered_ah * 3600
    assert source_j == pytest.approx(summary.delivered_wh * 3600 + heat_j, rel=2e-3)


def test_pack_is_cells_behind_a_path(plain: CellModel) -> None:
    one = run_pack(pack_of(plain), demand((600.0, 3.0, 0.0)), ROOM)
    many = run_pack(
        pack_of(plain, series=4, parallel=3, path_ohm=0.05), demand((600.0, 9.0, 0.0)), ROOM
    )
    assert many.voltage_v == pytest.approx(4 * one.voltage_v - 0.05 * 9.0, abs=1e-9)
    assert many.cell_degc == pytest.approx(one.cell_degc)


def test_empty_start_ends_at_once_and_says_so(cell: CellModel) -> None:
    trace = run_pack(pack_of(cell), demand((600.0, 3.0, 0.0)), replace(ROOM, start_soc=0.0))
    assert trace.time_s[-1] == 0.0
    assert trace.ends_by is EndReason.CUTOFF
    assert np.all(np.isfinite(trace.voltage_v))


def test_power_beyond_the_pack_is_a_limit_with_its_time(cell: CellModel) -> None:
    asked = demand((10.0, 1.0, 0.0), (10.0, 0.0, 5000.0))
    trace = run_pack(pack_of(cell, series=2), asked, ROOM)
    assert trace.ends_by is EndReason.POWER
    assert trace.time_s[-1] == pytest.approx(10.0)
    assert np.all(np.isfinite(trace.voltage_v))


@pytest.mark.parametrize("piece", [(10.0, 1e5, 0.0), (10.0, 1e5, 1.0), (10.0, 20.0, 0.0)])
def test_current_beyond_a_short_circuit_is_a_limit(
    cell: CellModel, piece: tuple[float, float, float]
) -> None:
    """Leads that take more than the cells have leave nothing at the terminals, and no cut-off is
    met inside; a trace and a run without one end alike."""
    pack = pack_of(cell, path_ohm=0.25)
    trace, summary = run_pack(pack, demand(piece), ROOM), run_batch([pack], demand(piece), [ROOM])
    assert trace.time_s[-1] == summary[0].run_time_s == 0.0
    assert trace.ends_by is summary[0].ends_by is EndReason.POWER
    assert trace.voltage_v[-1] == pytest.approx(0.0, abs=1e-4)


@pytest.mark.parametrize("degc", [-60.0, -30.0, 45.0, 200.0])
def test_temperature_outside_the_tables_is_held_never_nan(cell: CellModel, degc: float) -> None:
    at = Conditions(ambient_degc=degc, start_degc=degc)
    trace = run_pack(pack_of(cell), demand((36000.0, 3.0, 0.0)), at)
    for each in (trace.voltage_v, trace.cell_degc, trace.soc, trace.current_a):
        assert np.all(np.isfinite(each))
    if degc > cell.discharge_max_degc:
        assert (trace.ends_by, trace.time_s[-1]) == (EndReason.TEMPERATURE, 0.0)


def test_rail_minimum_ends_the_run_at_that_voltage(cell: CellModel) -> None:
    trace = run_pack(pack_of(cell, series=3), demand((36000.0, 3.0, 0.0), minimum_v=9.5), ROOM)
    assert trace.ends_by is EndReason.RAIL
    assert trace.voltage_v[-1] == pytest.approx(9.5, abs=1e-6)


def test_demand_that_asks_nothing_runs_to_the_time_limit(cell: CellModel) -> None:
    trace = run_pack(
        pack_of(cell), demand((600.0, 0.0, 0.0), repeats=True), replace(ROOM, longest_s=5000.0)
    )
    assert trace.ends_by is EndReason.TIME
    assert trace.time_s[-1] == pytest.approx(5000.0)


@pytest.mark.parametrize("engine", [run_pack, run_pack_pybamm])
@pytest.mark.parametrize("seconds", [1.0, 600.0])
def test_demand_that_never_discharges_is_followed_once_and_says_so(
    cell: CellModel, seconds: float, engine: Callable[..., Trace]
) -> None:
    """Over and over, it filled the pack to many times its charge, and took minutes where its
    rounds are long."""
    asked = demand((seconds, 2.0, 0.0), (12 * seconds, -0.2, 0.0), repeats=True)
    trace = engine(pack_of(cell), asked, replace(ROOM, start_soc=0.5))
    assert trace.ends_by is EndReason.NEVER_DISCHARGES
    assert trace.time_s[-1] == pytest.approx(13 * seconds)
    assert np.max(trace.soc) < 0.6


def test_demand_that_never_discharges_still_meets_a_limit(cell: CellModel) -> None:
    asked = demand((600.0, 8.0, 0.0), (7200.0, -1.0, 0.0), repeats=True)
    trace = run_pack(pack_of(cell), asked, replace(ROOM, start_soc=0.2))
    assert trace.ends_by is EndReason.CUTOFF


def test_batch_gives_what_each_pack_gives_alone(cell: CellModel) -> None:
    other = model_from_datasheet(load_cells().find("ANR26650M1-B"))
    packs = [pack_of(cell), pack_of(other, series=4), pack_of(cell, series=3, parallel=2)]
    asked = demand((20.0, 2.0, 0.0), (40.0, 0.0, 6.0), repeats=True)
    together = run_batch(packs, asked, [ROOM] * 3)
    for pack, summary in zip(packs, together, strict=True):
        alone = run_batch([pack], asked, [ROOM])[0]
        assert summary.ends_by is alone.ends_by
        assert summary.run_time_s == pytest.approx(alone.run_time_s, rel=1e-4)
        assert summary.delivered_wh == pytest.approx(alone.delivered_wh, rel=1e-4)
        assert summary.min_voltage_v == pytest.approx(alone.min_voltage_v, abs=1e-3 * pack.series)


def test_summary_of_the_trace_is_that_of_the_batch(cell: CellModel) -> None:
    pack, asked = pack_of(cell), demand((36000.0, 3.0, 0.0))
    whole, traced = run_batch([pack], asked, [ROOM])[0], run_pack(pack, asked, ROOM).summary()
    assert traced.delivered_ah == pytest.approx(whole.delivered_ah, rel=1e-4)
    assert traced.delivered_wh == pytest.approx(whole.delivered_wh, rel=1e-3)


@settings(max_examples=15, deadline=None)
@given(
    current=st.floats(0.1, 15.0),
    watts=st.floats(0.0, 30.0),
    degc=st.floats(-15.0, 45.0),
    soc=st.floats(0.05, 1.0),
)
def test_any_run_is_finite_and_counts_its_charge(
    cell: CellModel, current: float, watts: float, degc: float, soc: float
) -> None:
    at = Conditions(ambient_degc=degc, start_degc=degc, start_soc=soc)
    trace = run_pack(pack_of(cell), demand((50.0, current, watts), (100.0, 0.1, 0.0)), at)
    for each in (trace.voltage_v, trace.cell_degc, trace.surface_degc):
        assert np.all(np.isfinite(each))
    assert np.all(np.diff(trace.time_s) >= 0)
    drawn = (trace.soc[0] - trace.soc[-1]) * cell.capacity_ah
    assert trace.summary().delivered_ah == pytest.approx(drawn, rel=0.02, abs=1e-4)


@pytest.mark.parametrize(
    "pieces",
    [
        ((0.05, 12.0, 0.0), (1.0, 3.0, 0.0), (4.95, 0.0, 0.3)),
        ((1.0, 0.0, 40.0), (5.0, 0.0, 0.0)),
    ],
)
def test_leaving_out_cycles_changes_nothing_that_matters(
    cell: CellModel, pieces: tuple[tuple[float, float, float], ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    pack, asked = pack_of(cell, series=3), demand(*pieces, repeats=True)
    trace = run_pack(pack, asked, ROOM)
    few = trace.summary()
    assert trace.known is not None
    monkeypatch.setattr(fast_engine, "has_many_cycles", lambda *_, **__: False)
    every = run_pack(pack, asked, ROOM)
    full = every.summary()
    assert len(trace.time_s) < len(every.time_s) / 5
    assert few.ends_by is full.ends_by
    assert few.run_time_s == pytest.approx(full.run_time_s, rel=1e-3)
    assert few.delivered_wh == pytest.approx(full.delivered_wh, rel=1e-3)
    assert few.rms_current_a == pytest.approx(full.rms_current_a, rel=1e-3)
    assert few.min_voltage_v == pytest.approx(full.min_voltage_v, abs=0.005 * 3)
    assert few.peak_cell_degc == pytest.approx(full.peak_cell_degc, abs=0.3)


def test_bad_packs_and_starts_are_refused(cell: CellModel) -> None:
    with pytest.raises(OutOfRangeError, match="at least 1 in series"):
        pack_of(cell, series=0)
    with pytest.raises(OutOfRangeError, match="path_ohm is -1"):
        pack_of(cell, path_ohm=-1.0)
    with pytest.raises(OutOfRangeError, match="start_soc is 1"):
        Conditions(ambient_degc=25.0, start_degc=25.0, start_soc=1.2)


def test_run_that_ends_at_once_has_the_current_it_began_with_as_its_mean(cell: CellModel) -> None:
    """No time is no mean; 0 A would pass every check of a steady current."""
    asked = demand((100.0, 2000.0, 0.0))
    trace = run_pack(pack_of(cell), asked, ROOM)
    summary = run_batch([pack_of(cell)], asked, [ROOM])[0]
    for each in (trace.summary(), summary):
        assert each.run_time_s == 0.0
        assert each.rms_current_a == pytest.approx(each.peak_current_a)
        assert each.peak_current_a > 100.0
