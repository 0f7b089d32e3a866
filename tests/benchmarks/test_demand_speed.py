"""How long a start, a mission and a log take; limits of the issue, run on request."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from packdesign.engineering.demand.actions import Action, Deed
from packdesign.engineering.demand.circuit import Circuit, Machine
from packdesign.engineering.demand.drive import Drive
from packdesign.engineering.demand.load_torque import LoadTorque
from packdesign.engineering.demand.measured_log import LARGEST_ROWS, read_log
from packdesign.engineering.demand.mission import Driven, demand_of_mission
from packdesign.engineering.demand.motor_case import MotorCase
from packdesign.engineering.demand.transient import simulate_start
from packdesign.engineering.electrical.source import PackSource

CIRCUIT = Circuit(
    source=PackSource(
        open_circuit_v=11.1, instant_ohm=0.1, rc_ohm=(0.03, 0.05), rc_time_s=(1.0, 20.0)
    ),
    wiring_ohm=0.02,
    capacitor_f=470e-6,
)
MACHINE = Machine(
    motor=MotorCase(
        resistance_ohm=1.2, torque_constant_nm_per_a=0.0147, no_load_a=0.4, gear_ratio=30,
        gear_efficiency_fraction=0.7, inductance_h=600e-6, rotor_inertia_kg_m2=7e-6,
    ),
    inertia_kg_m2=1.5e-4,
    load=LoadTorque(constant_nm=0.9, break_away_nm=1.3),
)  # fmt: skip
DRIVE = Drive(ramp_s=0.4, current_limit_a=8, driver_ohm=0.02)


def fastest_s(benchmark: BenchmarkFixture) -> float:
    if benchmark.stats is None:
        pytest.skip("benchmarks are switched off")
    return float(benchmark.stats.stats.min)


def test_one_coupled_start_takes_under_50_ms(benchmark: BenchmarkFixture) -> None:
    benchmark(simulate_start, circuit=CIRCUIT, machine=MACHINE, drive=DRIVE)
    assert fastest_s(benchmark) < 0.05


def test_a_mission_of_an_hour_takes_under_1_s(benchmark: BenchmarkFixture) -> None:
    use = [
        Action(deed=Deed.START, duration_s=0.6),
        Action(deed=Deed.HOLD, duration_s=7.0),
        Action(deed=Deed.REST, duration_s=2.0),
        Action(deed=Deed.REVERSE, duration_s=4.0, load=LoadTorque(constant_nm=0.5)),
        Action(deed=Deed.REST, duration_s=26.4),
    ]
    driven = {"corer": Driven(machine=MACHINE, drive=DRIVE)}
    found = benchmark(demand_of_mission, use * 90, circuit=CIRCUIT, driven=driven)
    assert found.demand.period_s > 3599.9
    assert fastest_s(benchmark) < 1.0


def test_the_longest_log_that_is_read_takes_under_5_s(
    benchmark: BenchmarkFixture, tmp_path: Path
) -> None:
    path = tmp_path / "log.csv"
    time_s = np.arange(LARGEST_ROWS - 1) * 0.01
    table = np.column_stack([time_s, 2 + np.sin(time_s)])
    np.savetxt(path, table, delimiter=",", header="time_s,current_a", comments="", fmt="%.4f")
    log = benchmark.pedantic(read_log, args=(path,), rounds=1)
    assert len(log.demand.duration_s) == 20_000
    assert fastest_s(benchmark) < 5.0
