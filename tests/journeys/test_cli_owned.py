"""A pack already owned, walked through the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from packdesign.presentation.cli.main import run

BRIEF = """
title = "bought pack"
[pack]
series = 3
label_capacity = "2200 mAh"
label_crate = 45.0
cell_origin = "new"
[[loads]]
name = "pump"
watts = 40
min_voltage = "9 V"
"""
READING = """
[measured.two_load]
light_current = "0.5 A"
light_voltage = "11.9 V"
heavy_current = "8 A"
heavy_voltage = "11.2 V"
"""


def walked(path: Path, capsys: pytest.CaptureFixture[str]) -> tuple[int, dict[str, object]]:
    with pytest.raises(SystemExit, match=r"^[01]$") as ended:
        run(["owned", str(path), "--json"])
    return int(ended.value.code or 0), json.loads(capsys.readouterr().out)


def test_a_reading_goes_before_the_label(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(BRIEF)
    _, by_label = walked(path, capsys)
    path.write_text(BRIEF + READING)
    _, by_reading = walked(path, capsys)
    assert by_label["reading"] is None
    # 0.7 V over 7.5 A
    assert by_reading["reading"]["resistance_ohm"]["mid"] == pytest.approx(0.7 / 7.5)  # type: ignore[index]
    assert by_reading["pack"]["resistance_ohm"] == pytest.approx(0.7 / 7.5, rel=0.1)  # type: ignore[index]
    assert [claim["id"] for claim in by_reading["claims"]]  # type: ignore[attr-defined]


def test_a_pack_without_label_or_cell_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "mine.toml"
    path.write_text('[pack]\nseries = 3\n[[loads]]\nname = "pump"\nwatts = 4\n')
    with pytest.raises(SystemExit, match=r"^2$"):
        run(["owned", str(path)])
    assert "label_capacity" in capsys.readouterr().err
