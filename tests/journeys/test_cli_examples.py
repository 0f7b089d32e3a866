"""The examples through the command line: judged packs, and the contract key by key."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from packdesign.planning.brief.examples import example_names, example_text
from tests.conftest import Ran

Run = Callable[..., Ran]

NUMBER, TEXT, BAND = "number", "text", "band"
CONTRACT: dict[str, Any] = {
    "schema": NUMBER,
    "overall": TEXT,
    "pack": {
        "cell": TEXT, "series": NUMBER, "parallel": NUMBER, "arrangement": TEXT,
        "capacity_ah": NUMBER, "energy_wh": NUMBER, "full_v": NUMBER, "nominal_v": NUMBER,
        "cutoff_v": NUMBER, "resistance_ohm": NUMBER, "mass_g": NUMBER,
    },
    "discharge": {
        "runtime_s": BAND, "delivered_ah": NUMBER, "delivered_wh": NUMBER, "min_voltage_v": BAND,
        "peak_current_a": NUMBER, "rms_current_a": NUMBER, "peak_cell_degc": BAND,
        "peak_surface_degc": NUMBER, "ends_by": TEXT,
    },
    "charge": {
        "time_s": NUMBER, "cc_time_s": NUMBER, "current_a": NUMBER, "balance_time_s": NUMBER,
        "supply_w": NUMBER,
    },
    "gauge": {
        "full_v": NUMBER, "warn_v": NUMBER, "limit_v": NUMBER, "stop_v": NUMBER,
        "hard_cut_v": NUMBER, "r_top_ohm": NUMBER, "r_bottom_ohm": NUMBER,
    },
}  # fmt: skip
VERDICT = ("id", "status", "value", "limit", "unit", "margin", "reason", "fix", "basis", "source")
STATUSES = {"ok", "caution", "stop", "unknown"}


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)


def _check(found: Any, wanted: Any, where: str) -> None:
    if wanted == NUMBER:
        assert _is_number(found), where
    elif wanted == TEXT:
        assert isinstance(found, str), where
        assert found, where
    elif wanted == BAND:
        assert list(found) == ["low", "mid", "high"], where
        assert all(_is_number(value) for value in found.values()), where
        assert found["low"] <= found["mid"] <= found["high"], where
    else:
        assert list(found)[: len(wanted)] == list(wanted), f"{where}: the contract's keys first"
        for key, inner in wanted.items():
            _check(found[key], inner, f"{where}.{key}")


def _check_verdicts(found: dict[str, Any]) -> None:
    assert found["verdicts"]
    for verdict in found["verdicts"]:
        assert tuple(verdict) == VERDICT
        assert verdict["status"] in STATUSES
        assert verdict["id"]
        assert verdict["reason"]
        for key in ("value", "limit", "margin"):
            assert verdict[key] is None or _is_number(verdict[key]), verdict["id"]
        if verdict["status"] in ("stop", "caution"):
            assert verdict["fix"], f"{verdict['id']} says {verdict['status']} and no way out"
    statuses = [verdict["status"] for verdict in found["verdicts"]]
    worst = "stop" if "stop" in statuses else "ok"
    if worst == "ok" and {"caution", "unknown"} & set(statuses):
        worst = "caution"
    assert found["overall"] == worst


@pytest.mark.slow
@pytest.mark.parametrize("name", example_names())
def test_an_example_is_a_judged_pack(packdesign: Run, tmp_path: Path, name: str) -> None:
    brief = tmp_path / "brief.toml"
    assert packdesign("brief", brief, "--example", name).status == 0
    ran = packdesign("assess", brief, "--json")
    assert ran.status == 0
    found = ran.json
    _check(found, CONTRACT, "assess")
    _check_verdicts(found)
    assert list(found)[:8] == [*CONTRACT, "verdicts", "cautions"]
    pack, gauge = found["pack"], found["gauge"]
    assert pack["full_v"] > pack["nominal_v"] > pack["cutoff_v"]
    assert pack["energy_wh"] == pytest.approx(pack["capacity_ah"] * pack["nominal_v"])
    order = [gauge[key] for key in ("full_v", "warn_v", "limit_v", "stop_v", "hard_cut_v")]
    assert order == sorted(order, reverse=True)
    assert gauge["full_v"] == pytest.approx(pack["full_v"])
    assert found["discharge"]["delivered_ah"] <= pack["capacity_ah"] * 1.02
    assert len(found["cautions"]) >= 5
    assert "burn" in found["cautions"][0]
    assert found["starts"], "all three have motors"
    for start in found["starts"]:
        assert start["stall_motor_a"] >= start["steady_motor_a"] > 0
        assert start["lowest_rail_v"] > start["needed_rail_v"]


@pytest.mark.slow
def test_dangers_come_before_numbers_on_the_screen(packdesign: Run, tmp_path: Path) -> None:
    brief = tmp_path / "brief.toml"
    brief.write_text(example_text("soil_corer"))
    ran = packdesign("assess", brief)
    assert ran.status == 0
    places = [
        ran.out.index(words)
        for words in (
            "READ THIS FIRST", "VERDICT ON THE WHOLE", "THE PACK", "VERDICTS\n", "DISCHARGE",
            "MOTORS", "CHARGE\n", "GAUGE",
        )
    ]  # fmt: skip
    assert places == sorted(places)
    assert "3S1P of Samsung SDI INR18650-25R" in ran.out
    assert "\x1b[" not in ran.out, "no colour where nobody watches"
    assert ran.err == "", "and no progress bar"


@pytest.mark.slow
def test_a_motor_that_stalls_on_one_small_cell_is_a_stop(packdesign: Run, tmp_path: Path) -> None:
    text = example_text("soil_corer")
    for written, instead in (
        ('cell = "Samsung SDI INR18650-25R"', 'cell = "Generic ICR10440"'),
        ("series = 3\nparallel = 1", "series = 1\nparallel = 1"),
        ('torque = "0.9 N*m"', 'torque = "9 N*m"'),
    ):
        assert written in text
        text = text.replace(written, instead, 1)
    brief = tmp_path / "stalled.toml"
    brief.write_text(text)
    ran = packdesign("assess", brief, "--json")
    assert ran.status == 1
    found = ran.json
    _check_verdicts(found)
    assert found["overall"] == "stop"
    stops = {each["id"]: each for each in found["verdicts"] if each["status"] == "stop"}
    assert {"mission_possible", "burst_current"} <= set(stops)
    assert "stood still" in stops["mission_possible"]["reason"]
    assert "gear" in stops["mission_possible"]["fix"]
    sag = stops["voltage_min_driver_of_corer"]
    assert 0 <= sag["value"] < 4.2, "a single cell never stands higher"
    shown = packdesign("assess", brief)
    assert shown.status == 1
    assert "!! STOP  mission_possible" in shown.out
    assert "Do: " in shown.out


@pytest.mark.slow
@pytest.mark.parametrize("command", ["discharge", "charge", "gauge"])
def test_the_parts_speak_the_same_language(packdesign: Run, tmp_path: Path, command: str) -> None:
    brief = tmp_path / "brief.toml"
    brief.write_text(example_text("rover"))
    ran = packdesign(command, brief, "--json")
    assert ran.status == 0
    found = ran.json
    wanted = {key: CONTRACT[key] for key in ("schema", "pack", command)}
    _check(found, wanted, command)
    _check_verdicts(found)
    shown = packdesign(command, brief)
    assert shown.status == 0
    assert shown.out.startswith("####")
    assert command.upper() in shown.out
