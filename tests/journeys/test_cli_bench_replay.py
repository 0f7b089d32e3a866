"""The bench replay of the design runs as written through every command and engine."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from tests.conftest import Ran

TRACE = "time_s,current_a,voltage_v,voltage_low_v,voltage_high_v,soc,cell_degc,surface_degc"
Run = Callable[..., Ran]


def _trace(path: Path) -> dict[str, np.ndarray]:
    text = path.read_text()
    assert text.splitlines()[0] == TRACE
    rows = list(csv.DictReader(text.splitlines()))
    columns = {name: np.array([float(row[name]) for row in rows]) for name in TRACE.split(",")}
    assert all(np.isfinite(column).all() for column in columns.values())
    return columns


@pytest.mark.slow
def test_assess_takes_it(packdesign: Run, bench: Path) -> None:
    ran = packdesign("assess", bench, "--json")
    assert ran.status == 0
    found = ran.json
    assert found["pack"]["cell"] == "Samsung SDI INR18650-30Q"
    assert found["discharge"]["ends_by"] == "end of the demand"
    assert found["discharge"]["runtime_s"]["mid"] == pytest.approx(2395)
    assert found["charge"]["current_a"] == pytest.approx(1.5)
    assert found["starts"] == []


@pytest.mark.slow
@pytest.mark.parametrize("engine", ["fast", "pybamm"])
def test_discharge_replays_the_log(
    packdesign: Run, bench: Path, tmp_path: Path, engine: str
) -> None:
    out = tmp_path / "out.csv"
    ran = packdesign("discharge", bench, "--engine", engine, "--trace", out, "--json")
    assert ran.status == 0
    found = ran.json["discharge"]
    trace = _trace(out)
    assert found["engine"] == engine
    assert trace["time_s"][-1] == pytest.approx(found["runtime_s"]["mid"])
    assert (np.diff(trace["time_s"]) >= 0).all()
    assert trace["current_a"].max() == pytest.approx(3.0) == found["peak_current_a"]
    assert trace["voltage_v"].min() == pytest.approx(found["min_voltage_v"]["mid"], abs=2e-3)
    assert (trace["voltage_low_v"] <= trace["voltage_v"] + 1e-9).all()
    assert (trace["voltage_high_v"] >= trace["voltage_v"] - 1e-9).all()
    # 40 min at 3 A and 0.5 A, five to one; the log's rows stand for the 5 s between them
    assert found["delivered_ah"] == pytest.approx(2395 / 3600 * (50 * 3 + 10 * 0.5) / 60, rel=0.01)


@pytest.mark.slow
def test_the_engines_agree_on_it(packdesign: Run, bench: Path) -> None:
    fast, solved = (
        packdesign("discharge", bench, "--engine", engine, "--json").json["discharge"]
        for engine in ("fast", "pybamm")
    )
    assert fast["min_voltage_v"]["mid"] == pytest.approx(solved["min_voltage_v"]["mid"], abs=5e-3)
    assert fast["peak_cell_degc"]["mid"] == pytest.approx(solved["peak_cell_degc"]["mid"], abs=0.3)


@pytest.mark.slow
def test_charge_takes_it(packdesign: Run, bench: Path, tmp_path: Path) -> None:
    out = tmp_path / "charge.csv"
    ran = packdesign("charge", bench, "--start-soc", "0.2", "--trace", out, "--json")
    assert ran.status == 0
    found = ran.json["charge"]
    trace = _trace(out)
    assert 0 < found["cc_time_s"] < found["time_s"] == pytest.approx(trace["time_s"][-1], rel=1e-6)
    assert found["balance_time_s"] == 0, "one group: nothing to balance"
    assert trace["current_a"].min() == pytest.approx(-1.5, rel=1e-3), "charging is negative"
    assert trace["voltage_v"].max() == pytest.approx(4.2, abs=2e-3)
    assert trace["soc"][0] == pytest.approx(0.2, abs=1e-6)


def test_cold_cells_are_not_charged(packdesign: Run, bench: Path, tmp_path: Path) -> None:
    bench.write_text(bench.read_text().replace("22.8 degC", "-5 degC"))
    out = tmp_path / "charge.csv"
    ran = packdesign("charge", bench, "--trace", out, "--json")
    assert ran.status == 1
    assert ran.json["charge"]["time_s"] is None
    assert not ran.json["charge"]["allowed"]
    stops = {each["id"] for each in ran.json["verdicts"] if each["status"] == "stop"}
    assert "charge_cold" in stops
    assert not out.exists()


def test_its_own_cells_can_be_used(packdesign: Run, bench: Path) -> None:
    text = bench.read_text().replace("Samsung SDI INR18650-30Q", "Made up T30")
    bench.write_text(text)
    ran = packdesign("discharge", bench, "--engine", "fast", "--json")
    assert ran.status == 0
    pack = ran.json["pack"]
    assert pack["cell"] == "Made up T30"
    assert pack["mass_is_estimated"], "its table gives no mass"
    assert 40 < pack["mass_g"] < 60, "an 18650 of 3 Ah weighs 45 to 50 g"


@pytest.mark.slow
def test_the_physics_engine_replays_a_cell_that_has_a_set(
    packdesign: Run, bench: Path, tmp_path: Path
) -> None:
    text = bench.read_text().replace("Samsung SDI INR18650-30Q", "INR21700-M50")
    bench.write_text(text.replace("1.5 A", "1.4 A"))  # more than its standard charge is a stop
    out = tmp_path / "out.csv"
    ran = packdesign("discharge", bench, "--engine", "physics", "--trace", out, "--json")
    assert ran.status == 0
    assert ran.json["discharge"]["engine"] == "physics"
    trace = _trace(out)
    assert trace["current_a"].max() == pytest.approx(3.0, abs=1e-3)
    assert 2.5 < trace["voltage_v"].min() < 4.2


def test_the_physics_engine_says_which_cells_it_takes(packdesign: Run, bench: Path) -> None:
    ran = packdesign("discharge", bench, "--engine", "physics", "--json")
    assert ran.status == 2
    assert "no published physics parameter set fits Samsung SDI INR18650-30Q" in ran.err
    assert "use the engine 'fast' or 'pybamm'" in ran.err
    assert ran.out == ""
