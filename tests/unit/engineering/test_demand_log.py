"""Logs as builders have them, and logs that cannot be used."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from packdesign.engineering.demand.measured_log import LogColumns, read_log
from packdesign.foundation.errors import LogError, UnknownNameError


def write(tmp_path: Path, text: str | bytes) -> Path:
    path = tmp_path / "log.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


@pytest.mark.parametrize(
    "text",
    [
        "time_s,current_a\n0,1\n10,1\n20,3\n",
        "time_s;current_a\n0;1,0\n10;1,0\n20;3,0\n",
        "t (ms)\tI (mA)\n0\t1000\n10000\t1000\n20000\t3000\n",
        "Time [s] | Current [A]\n0|1\n10|1\n20|3\n",
        "time_s current_a\n0 1\n10 1\n20 3\n",
        "# bench supply\n\ntime_s,current_a\r\n5,1\r\n15,1\r\n25,3\r\n",
        '"time_s","current_a"\n"0","1,0"\n"10","1,0"\n"20","3,0"\n',
        "time_min,note,current_a\n0,on,1\n0.16666666666666666,on,1\n0.3333333333333333,,3\n",
        "﻿time_s,current_a\n0,1\n10,1\n20,3",
    ],
)
def test_one_log_in_many_spellings(tmp_path: Path, text: str) -> None:
    log = read_log(write(tmp_path, text))
    np.testing.assert_allclose(log.time_s, [0, 10, 20])
    np.testing.assert_allclose(log.current_a, [1, 1, 3])
    np.testing.assert_allclose(log.demand.duration_s, [10, 10])
    np.testing.assert_allclose(log.demand.current_a, [1, 2])
    assert not log.demand.repeats


def test_voltage_and_temperature_come_along_and_may_have_gaps(tmp_path: Path) -> None:
    text = "time_s,current_a,voltage_v,cell_degc\n0,1,4.1,20\n1,1,,21\n2,1,4.0,nan\n"
    log = read_log(write(tmp_path, text))
    assert log.voltage_v is not None
    assert log.temperature_degc is not None
    np.testing.assert_array_equal(np.isnan(log.voltage_v), [False, True, False])
    np.testing.assert_array_equal(np.isnan(log.temperature_degc), [False, False, True])
    assert len(log.demand.duration_s) == 1
    assert "joined" in log.notes[0]


def test_the_builder_says_what_the_heading_does_not(tmp_path: Path) -> None:
    path = write(tmp_path, "clock,load\n0,-500\n60,-500\n")
    columns = LogColumns(
        time="clock", current="load", time_unit="s", current_unit="mA", discharge_is_negative=True
    )
    log = read_log(path, columns=columns, repeats=True)
    assert log.demand.current_a.tolist() == [0.5]
    assert log.demand.repeats


def test_a_column_of_cell_names_is_no_temperature(tmp_path: Path) -> None:
    log = read_log(write(tmp_path, "cell,time_s,current_a\nA1,0,1\nA1,1,2\n"))
    assert log.temperature_degc is None


def test_two_rows_at_one_time_are_a_step(tmp_path: Path) -> None:
    log = read_log(write(tmp_path, "time_s,current_a\n0,1\n10,1\n10,5\n20,5\n"))
    assert log.demand.current_a.tolist() == [1, 5]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "line 1: the log is empty"),
        ("time_s,current_a\n", "line 2: 0 rows"),
        ("time_s,current_a\n0,1\n", "line 2: 1 rows"),
        ("0,1\n1,1\n", "line 1: numbers where the headings belong"),
        ("time_s,current_a\n0,1\n1,high\n", r"line 3, column 'current_a': 'high' is not"),
        ("time_s,current_a\n0,1\n1,nan\n", r"line 3, column 'current_a': 'nan' is not"),
        ("time_s,current_a\n0,1\n1,inf\n", r"line 3, column 'current_a': 'inf' is not"),
        ("time_s,current_a\n0,1\n1,\n2,1\n", r"line 3, column 'current_a': 'nothing' is not"),
        ("time_s,current_a\n0,1\n\n5,1\n3,1\n", "line 5: time runs backwards, from 5 s to 3 s"),
        ("time_s,current_a\n1,1\n1,2\n", "all rows have the time 1 s"),
        ("time_s,current_a\n0,1,5\n1,2,5\n", "line 2: 3 cells under 2 headings"),
        ("time_s,current_a\n0;1\n1;2\n", "line 2: 1 cells under 2 headings"),
        ("time,current_a\n0,1\n1,2\n", "column 'time': has no unit"),
        ("time_s,current (furlong)\n0,1\n1,2\n", "no column of current"),
        ("time_s,volts\n0,1\n1,2\n", "no column of current"),
        (b"PK\x03\x04\x00\x00\x00", "not a text file"),
    ],
)
def test_logs_that_cannot_be_used(tmp_path: Path, text: str | bytes, message: str) -> None:
    with pytest.raises(LogError, match=message):
        read_log(write(tmp_path, text))


def test_a_missing_log_and_a_missing_column_are_named(tmp_path: Path) -> None:
    with pytest.raises(LogError, match=r"none.csv: the log cannot be read \(No such file"):
        read_log(tmp_path / "none.csv")
    path = write(tmp_path, "time_s,current_a\n0,1\n1,2\n")
    with pytest.raises(UnknownNameError, match="no column named 'curent_a'; nearest: current_a"):
        read_log(path, columns=LogColumns(current="curent_a"))


def test_very_many_pieces_are_averaged_and_the_charge_is_kept(tmp_path: Path) -> None:
    rows = "\n".join(f"{k * 0.1:.1f},{1 + k % 7}" for k in range(5000))
    log = read_log(write(tmp_path, f"time_s,current_a\n{rows}\n"), largest_pieces=100)
    assert len(log.demand.duration_s) == 100
    charge = float(np.trapezoid(log.current_a, log.time_s))
    assert float(np.sum(log.demand.duration_s * log.demand.current_a)) == pytest.approx(charge)
    assert "of the heating is lost" in log.notes[-1]


def test_more_rows_than_can_be_read_are_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("packdesign.engineering.demand.measured_log.LARGEST_ROWS", 10)
    rows = "\n".join(f"{k},1" for k in range(20))
    with pytest.raises(LogError, match="keep every tenth row"):
        read_log(write(tmp_path, f"time_s,current_a\n{rows}\n"))


@pytest.mark.parametrize("amps", ["1e300", "-10001"])
def test_a_current_that_nothing_draws_is_refused_with_its_line(tmp_path: Path, amps: str) -> None:
    path = write(tmp_path, f"time_s,current_a\n0,3\n\n10,{amps}\n20,3\n")
    with pytest.raises(LogError, match=r"log.csv line 4: the current is .* allowed: up to 10,000"):
        read_log(path)


def test_the_largest_current_that_is_read(tmp_path: Path) -> None:
    log = read_log(write(tmp_path, "time_s,current_a\n0,10000\n10,10000\n"))
    assert log.current_a[0] == 10_000.0


@pytest.mark.parametrize(
    ("heading", "value"),
    [("temperature_f", 77.0), ("temp (degF)", 77.0), ("temperature_k", 298.15)],
)
def test_temperatures_in_other_units_are_brought_to_celsius(
    tmp_path: Path, heading: str, value: float
) -> None:
    log = read_log(write(tmp_path, f"time_s,current_a,{heading}\n0,1,{value}\n10,1,{value}\n"))
    assert log.temperature_degc is not None
    np.testing.assert_allclose(log.temperature_degc, [25.0, 25.0])


@pytest.mark.parametrize(
    ("heading", "value", "told"),
    [
        ("temperature_c", "298", r"allowed: -60 to 150 degC"),
        ("temperature_c", "-90", r"allowed: -60 to 150 degC"),
        ("temperature", "72", r"names no unit.*temperature_f \(degrees Fahrenheit\)"),
        ("temperature", "295", r"temperature_k \(kelvin\)"),
    ],
)
def test_a_temperature_of_no_cell_is_refused_with_line_and_column(
    tmp_path: Path, heading: str, value: str, told: str
) -> None:
    text = f"time_s,current_a,{heading}\n0,1,21\n10,1,{value}\n"
    with pytest.raises(LogError, match=rf"log.csv line 3, column '{heading}'.*{told}"):
        read_log(write(tmp_path, text))


def test_a_hot_cell_whose_unit_is_named_is_believed(tmp_path: Path) -> None:
    log = read_log(write(tmp_path, "time_s,current_a,temperature_c\n0,1,21\n10,1,72\n"))
    assert log.temperature_degc is not None
    assert log.temperature_degc[1] == 72.0


def test_a_logger_that_runs_on_without_the_pack_does_not_lengthen_the_run(tmp_path: Path) -> None:
    rows = ["0,1,4.1", "10,1,4.0", "20,1,2.6", "30,0,0.0", "3600,0.001,0.02"]
    log = read_log(write(tmp_path, "time_s,current_a,voltage_v\n" + "\n".join(rows) + "\n"))
    assert log.time_s.tolist() == [0, 10, 20]
    assert float(log.demand.duration_s.sum()) == 20.0
    assert log.notes[0] == "left out: 2 rows at the end, at 0 V with the pack cut off"


@pytest.mark.parametrize(
    "rows",
    [
        ["0,1,4.1", "10,0,0.0", "20,1,4.0"],  # a gap in between
        ["0,1,4.1", "10,1,4.0", "20,9,0.1"],  # a short circuit
        ["0,1,4.1", "10,1,4.0", "20,0,"],  # nobody read it
    ],
)
def test_other_rows_at_no_voltage_are_kept(tmp_path: Path, rows: list[str]) -> None:
    log = read_log(write(tmp_path, "time_s,current_a,voltage_v\n" + "\n".join(rows) + "\n"))
    assert len(log.time_s) == 3
