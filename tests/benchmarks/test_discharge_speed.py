"""How fast a thousand packs, a band and one chosen pack are; ratios within one run.

Not among the test paths: `python -m pytest tests/benchmarks --benchmark-disable-gc -q`. Figures and
the machine they are from stand in README.md beside this file.
"""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from packdesign.data.cell_table import load_cells
from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge import pybamm_engine
from packdesign.engineering.discharge.bands import discharge_bands
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.fast_engine import run_batch, run_pack
from packdesign.engineering.discharge.pybamm_parameters import pack_inputs
from packdesign.engineering.discharge.run import Conditions, PackModel
from packdesign.engineering.thermal.path import ThermalPath

ROOM = Conditions(ambient_degc=22.0, start_degc=22.0)
PYBAMM_SAMPLE = 6


def mission(segments: int = 720) -> Demand:
    """One hour in equal segments: a motor that pulls and waits, a converter now and then."""
    rng = np.random.default_rng(1)
    pulls = rng.random(segments) < 0.4
    return Demand(
        duration_s=np.full(segments, 3600.0 / segments),
        current_a=np.where(pulls, 1.5 * rng.random(segments), 0.2),
        power_w=np.where(rng.random(segments) < 0.3, 1.0, 0.0),
        label=("segment",) * segments,
        repeats=False,
    )


def packs(count: int) -> list[PackModel]:
    models = [model_from_datasheet(cell) for cell in load_cells() if cell.capacity_ah > 1.5]
    thermal = ThermalPath(
        cell_to_surface_w_per_k=2.0, surface_to_air_w_per_k=0.1, surface_j_per_k=30.0
    )
    return [
        PackModel(
            cell=models[k % len(models)],
            series=1 + k % 4,
            parallel=1 + k % 3,
            path_ohm=0.01,
            thermal=thermal,
        )
        for k in range(count)
    ]


def seconds(work: Callable[[], object], *, rounds: int = 3) -> float:
    taken = []
    for _ in range(rounds):
        begin = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begin)
    return min(taken)


def test_thousand_packs_over_720_segments(benchmark) -> None:  # type: ignore[no-untyped-def]
    many, asked = packs(1000), mission()
    benchmark(run_batch, many, asked, [ROOM] * 1000)
    fast_s = float(benchmark.stats["min"])
    sample = many[:PYBAMM_SAMPLE]
    begin = time.perf_counter()
    for pack in sample:
        pybamm_engine.run_pack_pybamm(pack, asked, ROOM)
    built_s = (time.perf_counter() - begin) / PYBAMM_SAMPLE
    solve_s = seconds(lambda: pybamm_engine.run_pack_pybamm(sample[-1], asked, ROOM))
    print(f"\n1000 packs x 720 segments {fast_s:.3f} s; PyBaMM {solve_s:.3f} s a pack, built anew")
    print(
        f"{built_s:.3f} s a pack: {1000 * solve_s / fast_s:.0f} and {1000 * built_s / fast_s:.0f}"
    )
    assert fast_s < 0.5
    assert 1000 * built_s / fast_s > 500


def test_cost_is_linear_in_packs_and_in_segments() -> None:
    many = packs(4000)
    one = seconds(lambda: run_batch(many[:1000], mission(), [ROOM] * 1000))
    packs_x4 = seconds(lambda: run_batch(many, mission(), [ROOM] * 4000))
    segments_x4 = seconds(lambda: run_batch(many[:1000], mission(2880), [ROOM] * 1000))
    print(f"\n4 x packs: {packs_x4 / one:.2f}; 4 x segments: {segments_x4 / one:.2f}")
    assert packs_x4 < 5.5 * one
    assert segments_x4 < 5.5 * one


def test_chosen_pack_through_pybamm_costs_little_more_than_its_solve() -> None:
    pack, asked = packs(1)[0], mission()
    pybamm_engine.run_pack_pybamm(pack, asked, ROOM)
    simulation = pybamm_engine._simulation(pack, asked)
    inputs, stop_s = pack_inputs(pack, ROOM), pybamm_engine.stop_times(pack, asked, ROOM)
    own_s = seconds(lambda: simulation.solve(t_eval=stop_s, inputs=inputs), rounds=7)
    ours_s = seconds(lambda: pybamm_engine.run_pack_pybamm(pack, asked, ROOM), rounds=7)
    print(
        f"\nPyBaMM's own solve {own_s:.3f} s, with our trace {ours_s:.3f} s: {ours_s / own_s:.2f}"
    )
    assert ours_s < 1.3 * own_s


@pytest.mark.parametrize("with_trace", [False, True])
def test_ten_thousand_draws_of_one_pack(benchmark, with_trace: bool) -> None:  # type: ignore[no-untyped-def]
    pack = packs(3)[2]
    asked = Demand(
        duration_s=np.array([10.0, 20.0]),
        current_a=np.array([0.0, 2.0 * pack.capacity_ah]),
        power_w=np.array([5.0, 0.0]),
        label=("wait", "pull"),
    )
    conditions = Conditions(ambient_degc=22.0, start_degc=22.0, max_cell_degc=100.0)
    benchmark.pedantic(
        discharge_bands,
        args=(pack, asked, conditions),
        kwargs={"samples": 10_000, "with_trace": with_trace},
        rounds=3,
    )
    assert float(benchmark.stats["min"]) < 3.0


def test_a_day_of_short_pulses(benchmark) -> None:  # type: ignore[no-untyped-def]
    pack = packs(3)[2]
    asked = Demand(
        duration_s=np.array([0.05, 1.0, 4.95]),
        current_a=np.array([6.0, 0.25, 0.0]) * pack.parallel,
        power_w=np.array([0.0, 0.0, 0.3]),
        label=("start", "pull", "wait"),
    )
    trace = benchmark(run_pack, pack, asked, ROOM)
    print(f"\n{trace.time_s[-1] / 3600:.1f} h, {trace.time_s[-1] / 6:.0f} cycles of 3 pieces")
    assert float(benchmark.stats["min"]) < 1.0


MEMORY = """
import re, sys
from pathlib import Path
sys.path.insert(0, {folder!r})
import test_discharge_speed as speed
def peak():
    status = Path("/proc/self/status").read_text()
    return int(re.search(r"VmHWM:\\s+(\\d+)", status)[1]) / 1024
before = peak()
{work}
print(before, peak())
"""


@pytest.mark.parametrize(
    "work",
    [
        "speed.run_batch(speed.packs(1000), speed.mission(), [speed.ROOM] * 1000)",
        "speed.discharge_bands("
        "speed.packs(1)[0], speed.mission(), speed.ROOM, samples=10_000, with_trace=True)",
    ],
    ids=["1000 packs", "10000 draws with trace"],
)
def test_peak_memory_stays_below_300_mb(work: str) -> None:
    script = MEMORY.format(folder=str(Path(__file__).parent), work=work)
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    before, after = (float(each) for each in done.stdout.split())
    print(f"\nbefore {before:.0f} MB, peak {after:.0f} MB")
    assert after < 300
