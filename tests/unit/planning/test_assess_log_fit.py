"""A log made by the model itself with a higher resistance: the fit finds it again."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge.fast_engine import run_pack
from packdesign.foundation.errors import LogError
from packdesign.planning.assess.discharge import conditions_of
from packdesign.planning.assess.log_fit import fit_log, keys_of_fit
from packdesign.planning.assess.logs_to_fit import log_with_voltage
from packdesign.planning.assess.service import design_of
from packdesign.planning.brief.change import changed_brief
from packdesign.planning.brief.examples import example_text
from packdesign.planning.brief.load import brief_from_text

FACTOR = 1.4


@pytest.fixture(scope="module")
def brief():  # type: ignore[no-untyped-def]
    return brief_from_text(example_text("soil_corer"))


@pytest.fixture(scope="module")
def log_file(brief, tmp_path_factory: pytest.TempPathFactory) -> Path:  # type: ignore[no-untyped-def]
    design = design_of(brief)
    cell = design.model.cell.aged(capacity_fraction=1.0, resistance_factor=FACTOR)
    pack = replace(design.model, cell=cell)
    pulses = np.tile([2.0, 6.0, 0.5], 20)
    demand = Demand(
        duration_s=np.full(60, 30.0),
        current_a=pulses,
        power_w=np.zeros(60),
        label=("pulse",) * 60,
        minimum_v=0.0,
        repeats=False,
    )
    trace = run_pack(pack, demand, conditions_of(brief, design))
    path = tmp_path_factory.mktemp("log") / "run.csv"
    rows = zip(trace.time_s, trace.current_a, trace.voltage_v, strict=True)
    path.write_text("time_s,current_a,voltage_v\n" + "".join(f"{t},{a},{v}\n" for t, a, v in rows))
    return path


def test_the_fit_finds_the_resistance_the_log_was_made_with(brief, log_file: Path) -> None:  # type: ignore[no-untyped-def]
    found = fit_log(brief, design_of(brief), [log_file])
    assert found.fit.resistance_factor.mid == pytest.approx(FACTOR, rel=0.05)
    assert found.logs[0].errors_after.rms_v < found.logs[0].errors_before.rms_v / 3


def test_what_it_taught_goes_into_the_brief(brief, log_file: Path) -> None:  # type: ignore[no-untyped-def]
    found = fit_log(brief, design_of(brief), [log_file])
    taught = changed_brief(brief, keys_of_fit(found, brief))
    assert taught.measured is not None
    assert taught.measured.cell_resistance_ohm == found.resistance_ohm


def test_two_logs_are_fitted_together(brief, log_file: Path, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    second = tmp_path / "again.csv"
    head, *rows = log_file.read_text().splitlines(keepends=True)
    second.write_text(head + "".join(rows[: 2 * len(rows) // 3]))
    found = fit_log(brief, design_of(brief), [log_file, second])
    assert [each.name for each in found.logs] == ["run.csv", "again.csv"]
    assert found.fit.resistance_factor.mid == pytest.approx(FACTOR, rel=0.05)
    taught = changed_brief(brief, keys_of_fit(found, brief))
    assert taught.measured is not None
    assert taught.measured.from_log == "run.csv, again.csv"


def test_a_log_without_voltage_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "bare.csv"
    path.write_text("time_s,current_a\n0,1\n1,1\n2,1\n")
    with pytest.raises(LogError, match="has no voltage"):
        log_with_voltage(path)


def pulled(path: Path, *, rest_v: float, drop_v: float, load_a: float) -> Path:
    """A log of forty minutes: rest, half an hour of one load, rest; the voltage falls slowly."""
    with path.open("w") as file:
        file.write("time_s,current_a,voltage_v\n")
        for time_s in range(0, 2400, 10):
            on = 60 <= time_s <= 1800
            volts = rest_v * (1.0 - 5e-5 * time_s) - (drop_v if on else 0.0)
            file.write(f"{time_s},{load_a if on else 0.0},{volts}\n")
    return path


@pytest.mark.parametrize(
    ("rest_v", "drop_v", "load_a", "words"),
    [
        (4.1, 0.05, 2.0, "voltage of the whole pack"),
        (12300.0, 200.0, 2.0, "voltage of the whole pack, in volts"),
        (12.3, 0.2, 2000.0, "current of the whole pack, in amperes"),
        (12.3, 0.2, -2.0, "turn the sign round"),
        (11.0, -1.5, 2.0, "does not fit this pack"),
    ],
)
def test_a_log_that_cannot_be_of_this_pack_is_refused_with_what_is_wrong(  # type: ignore[no-untyped-def]
    brief, tmp_path: Path, rest_v: float, drop_v: float, load_a: float, words: str
) -> None:
    log = pulled(tmp_path / "run.csv", rest_v=rest_v, drop_v=drop_v, load_a=load_a)
    with pytest.raises(LogError, match=words):
        fit_log(brief, design_of(brief), [log])


def rewritten(log_file: Path, path: Path, change: Callable[[list[str]], list[str]]) -> Path:
    """The log with its rows changed, below the heading."""
    head, *rows = log_file.read_text().splitlines()
    path.write_text("\n".join([head, *change(rows), ""]))
    return path


def test_the_same_run_given_twice_is_refused(brief, log_file: Path, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    copy = rewritten(log_file, tmp_path / "copy.csv", lambda rows: rows)
    with pytest.raises(LogError, match=r"copy.csv holds the same run as run.csv"):
        fit_log(brief, design_of(brief), [log_file, copy])


def test_a_log_of_only_a_rest_is_named(brief, log_file: Path, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    rest = tmp_path / "rest.csv"
    rest.write_text("time_s,current_a,voltage_v\n0,0,12.3\n60,0,12.3\n120,0,12.3\n")
    with pytest.raises(LogError, match=r"rest.csv draws no current"):
        fit_log(brief, design_of(brief), [log_file, rest])


def test_a_log_that_begins_elsewhere_is_refused_with_that_question(  # type: ignore[no-untyped-def]
    brief, log_file: Path, tmp_path: Path
) -> None:
    late = rewritten(log_file, tmp_path / "late.csv", lambda rows: rows[2 * len(rows) // 3 :])
    emptier = changed_brief(brief, {"start.soc": 0.3})
    with pytest.raises(LogError, match=r"Does late.csv begin at 30 % of the charge"):
        fit_log(emptier, design_of(emptier), [late])


def test_a_gap_under_load_and_a_start_under_load_are_told(  # type: ignore[no-untyped-def]
    brief, log_file: Path, tmp_path: Path
) -> None:
    def cut(rows: list[str]) -> list[str]:
        return [row for row in rows if not 600.0 < float(row.split(",")[0]) < 900.0]

    (found,) = fit_log(
        brief, design_of(brief), [rewritten(log_file, tmp_path / "cut.csv", cut)]
    ).logs
    assert "cut.csv begins at 100 % of the charge, as the brief has it" in found.words
    assert "its first voltage is under load" in found.words
    assert "no rows between 10 min and 15 min" in found.words
    (whole,) = fit_log(brief, design_of(brief), [log_file]).logs
    assert "no rows" not in whole.words


def test_a_temperature_column_without_figures_is_none(tmp_path: Path) -> None:
    path = tmp_path / "blank.csv"
    path.write_text("time_s,current_a,voltage_v,temperature_c\n0,0,12,\n1,1,12,\n2,1,12,\n")
    assert log_with_voltage(path).temperature_degc is None
    path.write_text("time_s,current_a,voltage_v\n0,0,12\n1,1,\n2,1,\n")
    with pytest.raises(LogError, match=r"blank.csv: 1 of its 3 rows have voltage"):
        log_with_voltage(path)
