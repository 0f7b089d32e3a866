"""Replay and re-fit: a log made by the engine itself gives back what it was made with."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from packdesign.data.cell_table import load_cells
from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge.compared import compared_s
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.fast_engine import run_pack
from packdesign.engineering.discharge.refit import refit
from packdesign.engineering.discharge.replay import (
    Log,
    LoggedRun,
    log_demand,
    log_start,
    replay_errors,
)
from packdesign.engineering.discharge.run import Conditions, PackModel
from packdesign.engineering.thermal.path import ThermalPath
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError

ROOM = Conditions(ambient_degc=22.0, start_degc=22.0, max_cell_degc=90.0)


@pytest.fixture(scope="module")
def pack() -> PackModel:
    thermal = ThermalPath(
        cell_to_surface_w_per_k=2.0, surface_to_air_w_per_k=0.1, surface_j_per_k=30.0
    )
    cell = model_from_datasheet(load_cells().find("INR18650-30Q"))
    return PackModel(cell=cell, series=2, parallel=1, path_ohm=0.01, thermal=thermal)


def logged(
    pack: PackModel, *, current_a: float = 4.0, seconds: int = 3000, rest_s: float = 300.0
) -> Log:
    """What a logger would write four times a second: rest, pulses of load, rest."""
    asked = Demand(
        duration_s=np.array([60.0, *([200.0, 50.0] * (seconds // 250)), rest_s]),
        current_a=np.array([0.0, *([current_a, 0.2] * (seconds // 250)), 0.0]),
        power_w=np.zeros(2 + 2 * (seconds // 250)),
        label=("log",) * (2 + 2 * (seconds // 250)),
        repeats=False,
    )
    trace = run_pack(pack, asked, ROOM)
    order = trace.time_s + 1e-6 * np.arange(trace.time_s.size)
    time_s = np.arange(0.125, trace.time_s[-1], 0.25)
    return Log(
        time_s=time_s,
        current_a=np.interp(time_s, order, trace.current_a),
        voltage_v=np.interp(time_s, order, trace.voltage_v),
        temperature_degc=np.interp(time_s, order, trace.surface_degc),
    )


def run_of(log: Log) -> LoggedRun:
    return LoggedRun(log=log, start=ROOM)


def with_known_reversible_heat(pack: PackModel) -> PackModel:
    spread = replace(pack.cell.spread, entropic_v_per_k=0.0)
    return replace(pack, cell=replace(pack.cell, spread=spread))


def test_demand_of_a_log_keeps_its_charge_with_few_pieces(pack: PackModel) -> None:
    log = logged(pack)
    demand = log_demand(log)
    charge = float(np.sum(demand.current_a * demand.duration_s)) / 3600
    assert charge == pytest.approx(log.charge_ah, rel=1e-9)
    assert float(np.sum(demand.duration_s)) == pytest.approx(log.time_s[-1] - log.time_s[0])
    assert len(demand.duration_s) < len(log.time_s) / 5


def test_prediction_of_its_own_log_has_no_error(pack: PackModel) -> None:
    log = logged(pack)
    errors = replay_errors(log, run_pack(pack, log_demand(log), ROOM))
    assert errors.charge_percent == pytest.approx(0.0, abs=0.05)
    assert errors.mean_voltage_percent == pytest.approx(0.0, abs=0.05)
    assert errors.rms_v < 0.005 * pack.series
    assert errors.rise_error_k == pytest.approx(0.0, abs=0.05)


def test_refit_finds_the_resistance_capacity_and_cooling_a_log_was_made_with(
    pack: PackModel,
) -> None:
    true = replace(
        pack,
        cell=pack.cell.aged(capacity_fraction=0.98, resistance_factor=1.2),
        thermal=replace(pack.thermal, surface_to_air_w_per_k=0.13, surface_j_per_k=40.0),
    )
    found = refit([run_of(logged(true, rest_s=3600.0))], with_known_reversible_heat(pack))
    assert found.resistance_factor.mid == pytest.approx(1.2, abs=0.05)
    assert found.resistance_factor.low < 1.2 < found.resistance_factor.high
    assert found.capacity_ah is not None
    assert found.capacity_ah.mid == pytest.approx(0.98 * pack.cell.capacity_ah, rel=0.02)
    assert found.heat_loss_w_per_k is not None
    assert found.heat_loss_w_per_k.mid == pytest.approx(0.13, rel=0.1)
    assert found.added_thermal_mass_j_per_k is not None
    assert found.added_thermal_mass_j_per_k.mid == pytest.approx(40.0, rel=0.2)
    assert found.rms_v < 0.005
    assert "re-fitted" in found.cell.bases["resistance"]
    assert found.pack.thermal.basis is Basis.MEASURED
    assert found.cell.spread.resistance_fraction < pack.cell.spread.resistance_fraction


@pytest.mark.parametrize(
    ("cooling_spread", "within"),
    [
        pytest.param(0.02, 0.15, id="cooling known"),
        pytest.param(0.3, 0.5, id="cooling of the pack's own spread, which takes part of it"),
    ],
)
def test_refit_takes_heat_that_grows_with_current_for_reversible(
    pack: PackModel, cooling_spread: float, within: float
) -> None:
    """Made with 0.1 mV/K less: heat on discharge that no resistance explains."""
    colder = pack.cell.entropic_v_per_k - 1e-4
    true = replace(pack, cell=replace(pack.cell, entropic_v_per_k=colder))
    known = replace(pack, thermal=replace(pack.thermal, spread_fraction=cooling_spread))
    found = refit([run_of(logged(true, current_a=2.0, seconds=5000, rest_s=3600.0))], known)
    assert found.entropic_shift_v_per_k is not None
    assert found.entropic_shift_v_per_k.mid == pytest.approx(-1e-4, rel=within)
    assert found.entropic_shift_v_per_k.low < -1e-4 < found.entropic_shift_v_per_k.high
    assert found.resistance_factor.mid == pytest.approx(1.0, abs=0.03)
    assert found.cell.spread.entropic_v_per_k < pack.cell.spread.entropic_v_per_k


def test_two_logs_tell_more_than_either(pack: PackModel) -> None:
    """Resistance and open-circuit voltage part where the current does."""
    true = replace(pack, cell=pack.cell.aged(capacity_fraction=1.0, resistance_factor=1.2))
    gentle, hard = (
        run_of(replace(logged(true, current_a=amperes, seconds=1500), temperature_degc=None))
        for amperes in (1.0, 8.0)
    )
    both = refit([gentle, hard], pack)
    for one in (gentle, hard):
        alone = refit([one], pack)
        assert both.cell.spread.resistance_fraction < alone.cell.spread.resistance_fraction
    assert both.resistance_factor.mid == pytest.approx(1.2, abs=0.01)


def test_short_log_without_temperature_fits_only_what_it_shows(pack: PackModel) -> None:
    log = replace(logged(pack, seconds=500), temperature_degc=None)
    found = refit([run_of(log)], pack)
    assert found.capacity_ah is None
    assert found.heat_loss_w_per_k is None
    assert found.pack.cell.capacity_ah == pack.cell.capacity_ah
    assert found.pack.thermal == pack.thermal


@pytest.mark.parametrize(("soc", "degc"), [(0.98, 22.0), (0.6, 22.0), (0.9, -5.0)])
def test_a_rested_voltage_tells_the_charge_a_log_begins_with(
    pack: PackModel, soc: float, degc: float
) -> None:
    rested_v = pack.series * pack.cell.ocv_at(soc, temperature_degc=degc)
    log = log_of(rested_v, first_a=0.0, degc=degc)
    found = log_start(log, pack, ROOM)
    assert found.start_soc == pytest.approx(soc, abs=0.002)
    assert found.start_degc == degc
    assert found.ambient_degc == ROOM.ambient_degc


def test_a_voltage_under_load_tells_no_charge(pack: PackModel) -> None:
    log = log_of(7.4, first_a=3.0, degc=22.0)
    assert log_start(log, pack, replace(ROOM, start_soc=0.8)).start_soc == 0.8


def test_a_cell_that_rests_above_its_curve_is_full(pack: PackModel) -> None:
    assert log_start(log_of(8.5, first_a=0.0, degc=22.0), pack, ROOM).start_soc == 1.0


def test_a_plateau_tells_no_charge(pack: PackModel) -> None:
    flat = replace(pack, cell=model_from_datasheet(load_cells().find("ANR26650M1-B")))
    rested_v = flat.series * flat.cell.ocv_at(0.5)
    assert log_start(log_of(rested_v, first_a=0.0, degc=22.0), flat, ROOM).start_soc == 1.0


def log_of(first_v: float, *, first_a: float, degc: float) -> Log:
    """Three samples, the first as given."""
    return Log(
        time_s=np.array([0.0, 1.0, 2.0]),
        current_a=np.array([first_a, 3.0, 3.0]),
        voltage_v=np.array([first_v, 7.0, 7.0]),
        temperature_degc=np.full(3, degc),
    )


def test_what_a_rest_does_late_is_not_taken_for_charge(pack: PackModel) -> None:
    """Made by the model, then lifted by 80 mV a cell over two hours, as the M50 does."""
    log = logged(pack, rest_s=7200.0)
    ends_s = log.time_s[np.flatnonzero(~log.at_rest)[-1]]
    late = np.clip((log.time_s - ends_s - 500.0) / 6500.0, 0.0, 1.0)
    lifted = replace(log, voltage_v=log.voltage_v + 0.08 * pack.series * late)
    found = refit([run_of(lifted)], pack)
    assert found.resistance_factor.mid == pytest.approx(1.0, abs=0.03)
    assert np.max(np.abs(found.ocv_shift_v)) < 0.003


def test_bad_logs_are_refused_with_what_is_wrong(pack: PackModel) -> None:
    log = logged(pack, seconds=500)
    with pytest.raises(OutOfRangeError, match="row 3 lies before"):
        replace(log, time_s=np.concatenate([[0.0, 1.0, 2.0, 1.0], log.time_s[4:]]))
    with pytest.raises(OutOfRangeError, match="finite everywhere"):
        replace(log, voltage_v=np.full(log.time_s.size, np.nan))
    with pytest.raises(OutOfRangeError, match="columns of one length"):
        replace(log, current_a=np.zeros(3))
    with pytest.raises(OutOfRangeError, match="draws no current"):
        refit([run_of(replace(log, current_a=np.zeros(log.time_s.size)))], pack)


def test_a_rest_of_days_makes_few_pieces() -> None:
    time_s = np.arange(0.0, 3 * 86400.0, 10.0)
    log = Log(
        time_s=time_s,
        current_a=np.where(time_s < 600.0, 2.0, 0.0),
        voltage_v=np.full(time_s.size, 7.4),
    )
    demand = log_demand(log)
    assert len(demand.duration_s) < 150
    assert float(np.sum(demand.duration_s)) == pytest.approx(time_s[-1])


def test_a_day_of_rest_before_the_load_leaves_the_load_its_weight() -> None:
    time_s = np.arange(0.0, 86400.0 + 660.0, 10.0)
    at_rest = (time_s < 86400.0) | (time_s > 87000.0)
    for longest_s in (1500.0, np.inf):
        grid_s = compared_s(time_s, at_rest, longest_s=longest_s)
        assert np.mean(grid_s >= 86400.0) > 0.4
