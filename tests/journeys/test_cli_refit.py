"""A log of the real device fitted, written into a copy of the brief, and used from there."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge.fast_engine import run_pack
from packdesign.planning.assess.discharge import conditions_of
from packdesign.planning.assess.service import design_of
from packdesign.planning.brief.load import load_brief

FACTOR = 1.4
BRIEF = """\
title = "bench"
[pack]
cell = "Samsung SDI INR18650-30Q"
series = 2
[cavity]
shape = "open"
[surroundings]
ambient = "22 degC"
[start]
soc = 1.0
[[loads]]
name = "lamp"
watts = 10
min_voltage = "5 V"
"""


def _log(brief: Path, path: Path, *, current_a: float) -> Path:
    """Log pulses of a pack whose resistance is higher than its datasheet says."""
    wanted = load_brief(brief)
    design = design_of(wanted)
    cell = design.model.cell.aged(capacity_fraction=1.0, resistance_factor=FACTOR)
    demand = Demand(
        duration_s=np.full(61, 30.0),
        current_a=np.append(0.0, np.tile([current_a, 0.5], 30)),
        power_w=np.zeros(61),
        label=("pulse",) * 61,
        minimum_v=0.0,
        repeats=False,
    )
    trace = run_pack(replace(design.model, cell=cell), demand, conditions_of(wanted, design))
    rows = zip(trace.time_s, trace.current_a, trace.voltage_v, trace.surface_degc, strict=True)
    head = "time_s,current_a,voltage_v,temperature_c\n"
    path.write_text(head + "".join(f"{t},{a},{v},{c}\n" for t, a, v, c in rows))
    return path


@pytest.fixture
def brief(tmp_path: Path) -> Path:
    path = tmp_path / "bench.toml"
    path.write_text(BRIEF)
    return path


def test_a_fit_is_written_and_later_predictions_use_it(packdesign, brief, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    log = _log(brief, tmp_path / "run.csv", current_a=4.0)
    taught = tmp_path / "taught.toml"
    ran = packdesign("refit", brief, log, "--write", taught, "--json")
    assert ran.status == 0, ran.err
    factor = ran.json["resistance_factor"]
    assert factor["low"] < FACTOR < factor["high"]
    assert factor["mid"] == pytest.approx(FACTOR, rel=0.05)
    assert ran.json["after"]["rms_mv"] < ran.json["before"]["rms_mv"] / 3

    other = _log(brief, tmp_path / "other.csv", current_a=7.0)
    from_sheet = packdesign("refit", brief, other, "--json").json["before"]["rms_mv"]
    from_fit = packdesign("refit", taught, other, "--json").json["before"]["rms_mv"]
    assert from_fit < from_sheet / 3

    told = packdesign("discharge", taught, "--engine", "fast", "--json").json
    assert told["bases"]["resistance"].startswith("measured")
    assert told["bases"]["open-circuit voltage"].startswith("measured")
    assert told["cooling_basis"] == "measured"
    bare = packdesign("discharge", brief, "--engine", "fast", "--json").json
    assert not bare["bases"]["resistance"].startswith("measured")


def test_what_is_written_predicts_as_the_fit_did(packdesign, brief, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    log = _log(brief, tmp_path / "run.csv", current_a=4.0)
    taught = tmp_path / "taught.toml"
    fitted = packdesign("refit", brief, log, "--write", taught, "--json").json["after"]
    again = packdesign("refit", taught, log, "--json").json["before"]
    assert again["rms_mv"] == pytest.approx(fitted["rms_mv"], abs=0.5)
    assert again["rise_error_k"] == pytest.approx(fitted["rise_error_k"], abs=0.05)


def test_a_second_fit_stays_where_the_first_one_was(packdesign, brief, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    log = _log(brief, tmp_path / "run.csv", current_a=4.0)
    one, two = tmp_path / "one.toml", tmp_path / "two.toml"
    packdesign("refit", brief, log, "--write", one)
    ran = packdesign("refit", one, log, "--write", two, "--json")
    assert ran.json["resistance_factor"]["mid"] == pytest.approx(1, abs=0.05)
    first, second = load_brief(one).measured, load_brief(two).measured
    assert first is not None
    assert second is not None
    assert second.open_circuit_shift_v == pytest.approx(first.open_circuit_shift_v, abs=0.01)


def test_the_terminal_shows_errors_before_and_after(packdesign, brief, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    ran = packdesign("refit", brief, _log(brief, tmp_path / "run.csv", current_a=4.0))
    assert ran.status == 0
    assert "before" in ran.out
    assert "95 %" in ran.out


def test_two_logs_are_told_one_by_one(packdesign, brief, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    gentle, hard = (
        _log(brief, tmp_path / name, current_a=amperes)
        for name, amperes in (("gentle.csv", 2.0), ("hard.csv", 6.0))
    )
    ran = packdesign("refit", brief, gentle, hard, "--json").json
    assert [each["log"] for each in ran["logs"]] == ["gentle.csv", "hard.csv"]
    assert ran["resistance_factor"]["mid"] == pytest.approx(FACTOR, rel=0.05)
    for each in ran["logs"]:
        assert each["after"]["rms_mv"] < each["before"]["rms_mv"] / 3
        assert each["start_soc"] == pytest.approx(1.0, abs=0.02)


@pytest.mark.parametrize("name", ["bench.toml", "run.csv"])
def test_brief_and_log_are_never_written_over(packdesign, brief, tmp_path: Path, name: str) -> None:  # type: ignore[no-untyped-def]
    log = _log(brief, tmp_path / "run.csv", current_a=4.0)
    before = (tmp_path / name).read_text()
    ran = packdesign("refit", brief, log, "--write", tmp_path / name, "--overwrite")
    assert ran.status == 2
    assert (tmp_path / name).read_text() == before


def test_a_log_that_is_not_there_is_one_message(packdesign, brief, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    ran = packdesign("refit", brief, tmp_path / "nowhere.csv")
    assert ran.status == 2
    assert "nowhere.csv" in ran.err
    assert "Traceback" not in ran.err
