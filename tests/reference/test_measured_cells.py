"""Predictions from datasheet rows only, held against measured cells; good or bad, the table stands.

The measured sets lie beside the project (`../shared/measured`, sources in the SOURCE.md of each);
nothing of the model is fitted to them, which a test here enforces. Targets are those of the
project: charge 3 %, energy 4 %, mean voltage 1.5 %, RMS 60 mV up to the rated current, 10 s
resistance 25 %, 90 % of the time inside a band no wider than 12 % of the voltage range, heat 12 %.
What misses one is listed in MISSED and must go on missing it, so that progress shows.
"""

from __future__ import annotations

import csv
import functools
import re
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

import packdesign
from packdesign.data.cell_table import load_cells
from packdesign.engineering.discharge.bands import discharge_bands
from packdesign.engineering.discharge.cell_model import SOC_GRID, CellModel
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.fast_engine import run_pack
from packdesign.engineering.discharge.refit import refit
from packdesign.engineering.discharge.replay import Log, log_demand, replay_errors
from packdesign.engineering.discharge.run import Conditions, PackModel, Trace
from packdesign.engineering.thermal.path import ThermalPath

PACKAGE = Path(packdesign.__file__).parent
README = PACKAGE / "engineering" / "discharge" / "README.md"

# part number, ambient, and the two figures of the bench as the project's text gives them
# (samsung30q: 0.07 W/K and 40 J/K; lgm50: 0.1 to 0.2 W/K and 70 J/K; the rest: own guess)
SAMSUNG = ("INR18650-30Q", 22.8, 0.07, 40.0)
LG_WARM = ("INR21700-M50", 25.0, 0.15, 70.0)
LG_COLD = ("INR21700-M50", 0.0, 0.15, 70.0)
A123 = ("ANR26650M1-B", 25.0, 0.2, 20.0)
KOKAM = ("SLPB75106100", 25.0, 0.5, 50.0)
SETS = {
    "30Q S002 C/10": ("samsung30q_18650/discharge_S002_C10.csv", SAMSUNG),
    "30Q S001 1C": ("samsung30q_18650/discharge_S001_1C.csv", SAMSUNG),
    "30Q S002 1C": ("samsung30q_18650/discharge_S002_1C.csv", SAMSUNG),
    "30Q S003 1C": ("samsung30q_18650/discharge_S003_1C.csv", SAMSUNG),
    "30Q S001 2C": ("samsung30q_18650/discharge_S001_2C.csv", SAMSUNG),
    "30Q S002 2C": ("samsung30q_18650/discharge_S002_2C.csv", SAMSUNG),
    "30Q S001 3C": ("samsung30q_18650/discharge_S001_3C.csv", SAMSUNG),
    "30Q S002 3C": ("samsung30q_18650/discharge_S002_3C.csv", SAMSUNG),
    "M50 25 degC C/10": ("lgm50_21700/ratetest_25C_0p1C.csv", LG_WARM),
    "M50 25 degC C/2": ("lgm50_21700/ratetest_25C_0p5C.csv", LG_WARM),
    "M50 25 degC 1C": ("lgm50_21700/ratetest_25C_1C.csv", LG_WARM),
    "M50 25 degC 2C": ("lgm50_21700/ratetest_25C_2C.csv", LG_WARM),
    "M50 0 degC C/10": ("lgm50_21700/ratetest_0C_0p1C.csv", LG_COLD),
    "M50 0 degC C/2": ("lgm50_21700/ratetest_0C_0p5C.csv", LG_COLD),
    "M50 0 degC 1C": ("lgm50_21700/ratetest_0C_1C.csv", LG_COLD),
    "M50 0 degC 2C": ("lgm50_21700/ratetest_0C_2C.csv", LG_COLD),
    "A123 26650 1C": ("a123_26650_lfp/discharge_1C_25C.csv", A123),
    "Kokam pouch 1C": ("kokam_pouch/discharge_1C.csv", KOKAM),
}
ABOVE_RATING = ("M50 25 degC 2C", "M50 0 degC 2C")
"""10 A, above the 7.3 A of the sheet: the target for RMS goes up to the rated current."""
LOW_RATE = {"30Q": "30Q S002 C/10", "M50 25": "M50 25 degC C/10"}
TARGETS = {
    "charge %": 3.0,
    "energy %": 4.0,
    "mean voltage %": 1.5,
    "RMS mV": 60.0,
    "heat %": 12.0,
    "outside band %": 10.0,
    "band width %": 12.0,
}
PULSE_PERCENT = 25.0
RISE_K, RISE_FRACTION = 2.0, 0.15
TOO_HIGH = "this cell of the bench drops more than the others and than its sheet says"
WIDE = "11 % doubt about a resistance known from a 1 kHz maximum, and the knee"
HEAT = "follows the curve that lies too high: OCV of the low-rate run is lower"
COLD = "this energy cell gives less charge and voltage in the cold than the one cell published"
BENCH = "this bench reads some 65 milliohm, ten times the cell: its leads are in the voltage"
NO_RATING = "no resistance and no rating on the sheet, and a computed curve"
MISSED: dict[str, str] = {
    "30Q S001 1C, heat %": HEAT,
    "30Q S001 2C, heat %": HEAT,
    "30Q S001 3C, heat %": HEAT,
    "30Q S001 3C, band width %": WIDE,
    "30Q S002 3C, band width %": WIDE,
    "M50 25 degC C/2, heat %": HEAT,
    "M50 25 degC 1C, band width %": WIDE,
    "M50 25 degC 2C, band width %": WIDE,
    "M50 0 degC C/2, charge %": COLD,
    "M50 0 degC C/2, energy %": COLD,
    "M50 0 degC 1C, charge %": COLD,
    "M50 0 degC 1C, energy %": COLD,
    "M50 0 degC 1C, RMS mV": COLD,
    "M50 0 degC 1C, band width %": WIDE,
    "M50 0 degC 2C, charge %": COLD,
    "M50 0 degC 2C, energy %": COLD,
    "M50 0 degC 2C, band width %": WIDE,
    "A123 26650 1C, mean voltage %": BENCH,
    "A123 26650 1C, RMS mV": BENCH,
    "A123 26650 1C, outside band %": BENCH,
    "Kokam pouch 1C, charge %": NO_RATING,
    "Kokam pouch 1C, energy %": NO_RATING,
    "Kokam pouch 1C, RMS mV": NO_RATING,
    "Kokam pouch 1C, band width %": NO_RATING,
}


REVERSIBLE = "too cold at 1C by as much as at 3C: reversible heat that no sheet tells"
CHAMBER = "0.15 W/K, the middle of the 0.1 to 0.2 given for the chamber, is too much here"
RISE_MISSED = {
    "30Q S001 1C": REVERSIBLE,
    "30Q S002 1C": REVERSIBLE,
    "30Q S003 1C": REVERSIBLE,
    "M50 25 degC 2C": CHAMBER,
    "M50 0 degC 1C": CHAMBER,
    "M50 0 degC 2C": CHAMBER,
}


@dataclass(frozen=True)
class Score:
    """One row of the table."""

    figures: dict[str, float | None]
    rise_k: float | None
    measured_rise_k: float


def columns(path: Path) -> dict[str, np.ndarray]:
    with path.open(newline="") as file:
        rows = list(csv.DictReader(file))
    return {
        name: np.array([float(row[name] or "nan") for row in rows])
        for name in rows[0]
        if name != "cell"
    }


def discharge_log(path: Path, *, with_rest: bool = False) -> Log:
    """The first discharge of a file; with the rest before and after it where asked."""
    table = columns(path)
    known = np.isfinite(table["voltage_v"])
    current = table["current_a"][known]
    on = current > 0.05 * np.max(current)
    begin = int(np.argmax(on))
    stop = current < -0.05 * np.max(current) if with_rest else ~on
    after = np.flatnonzero(stop[begin:])
    end = begin + int(after[0]) if after.size else current.size
    rows = slice(max(0, begin - 1) if with_rest else begin, end)
    degc = table.get("temperature_c")
    return Log(
        time_s=table["time_s"][known][rows],
        current_a=current[rows],
        voltage_v=table["voltage_v"][known][rows],
        temperature_degc=None if degc is None else degc[known][rows],
    )


def pack_of(bench: tuple[str, float, float, float]) -> PackModel:
    part_number, _, loss, mass = bench
    thermal = ThermalPath(
        cell_to_surface_w_per_k=2.0, surface_to_air_w_per_k=loss, surface_j_per_k=mass
    )
    cell = model_from_datasheet(load_cells().find(part_number))
    return PackModel(cell=cell, series=1, parallel=1, path_ohm=0.0, thermal=thermal)


def start(log: Log, ambient_degc: float) -> Conditions:
    degc = log.temperature_degc
    return Conditions(
        ambient_degc=ambient_degc,
        start_degc=ambient_degc if degc is None else float(degc[0]),
        cutoff_v=float(np.min(log.voltage_v)),
        max_cell_degc=120.0,
    )


def heat_percent(name: str, log: Log, trace: Trace, cell: CellModel, folder: Path) -> float | None:
    """Predicted over measured integral of current x (OCV - V); OCV from the slowest discharge."""
    slow = next((each for key, each in LOW_RATE.items() if name.startswith(key)), None)
    if slow is None or slow == name:
        return None
    rest = discharge_log(folder / SETS[slow][0])

    def used_ah(of: Log) -> np.ndarray:
        step_as = np.diff(of.time_s) * (of.current_a[1:] + of.current_a[:-1]) / 2
        return np.concatenate([[0.0], np.cumsum(step_as)]) / 3600

    open_v = np.interp(used_ah(log), used_ah(rest), rest.voltage_v)
    measured_j = np.trapezoid(log.current_a * (open_v - log.voltage_v), log.time_s)
    model_v = np.interp(trace.soc, SOC_GRID, cell.ocv_v)
    predicted = np.trapezoid(trace.current_a * (model_v - trace.voltage_v), trace.time_s)
    return float(100 * (predicted / measured_j - 1))


@functools.cache
def score(name: str, folder: Path) -> Score:
    file, bench = SETS[name]
    log, pack = discharge_log(folder / file), pack_of(bench)
    conditions = start(log, bench[1])
    demand = log_demand(log, beyond_s=0.5 * float(log.time_s[-1] - log.time_s[0]))
    bands = discharge_bands(pack, demand, conditions, with_trace=True)
    trace = run_pack(pack, demand, conditions)
    errors = replay_errors(log, trace, bands)
    cell, degc = pack.cell, log.temperature_degc
    return Score(
        figures={
            "charge %": errors.charge_percent,
            "energy %": errors.energy_percent,
            "mean voltage %": errors.mean_voltage_percent,
            "RMS mV": 1000 * errors.rms_v,
            "heat %": heat_percent(name, log, trace, cell, folder),
            "outside band %": 100 - errors.covered_percent,
            "band width %": 100 * errors.band_v / (cell.full_v - cell.cutoff_v),
        },
        rise_k=errors.rise_error_k,
        measured_rise_k=0.0 if degc is None else float(np.ptp(degc)),
    )


@functools.cache
def pulse_errors(degc: int, folder: Path) -> tuple[float, float, int]:
    """Error of the 10 s resistance over cells and charges: median, largest, how many. [%]"""
    table = columns(folder / "lgm50_21700" / "pulses_all_cells.csv")
    cell = pack_of(LG_WARM).cell
    found = []
    rows = table["temp_set_c"] == degc
    starts = np.flatnonzero(rows & (np.diff(table["time_s"], prepend=1.0) < 0))
    for begin in starts:
        after = np.flatnonzero(np.diff(table["time_s"][begin:]) < 0)
        end = begin + 1 + (int(after[0]) if after.size else table["time_s"].size - begin - 1)
        time_s, current = table["time_s"][begin:end], table["current_a"][begin:end]
        near = int(np.argmin(np.abs(time_s - 10.0)))
        if abs(time_s[near] - 10.0) > 0.5 or current[near] < 0.5:
            continue
        drop_v = table["voltage_v"][begin] - table["voltage_v"][begin + near]
        soc, pulse_a = float(table["soc"][begin]), float(current[near])
        moved = pulse_a * 10 / 3600 / cell.capacity_ah
        drift_v = cell.ocv_at(soc, temperature_degc=degc) - cell.ocv_at(
            soc - moved, temperature_degc=degc
        )
        ohm = cell.pulse_ohm(soc=soc, temperature_degc=degc, current_a=pulse_a, pulse_s=10.0)
        found.append(100 * ((ohm + drift_v / pulse_a) / (drop_v / pulse_a) - 1))
    worst = found[int(np.argmax(np.abs(found)))]
    return float(np.median(found)), float(worst), len(found)


def cases() -> list[object]:
    made = []
    for name in SETS:
        for figure in TARGETS:
            if figure == "RMS mV" and name in ABOVE_RATING:
                continue
            key = f"{name}, {figure}"
            reason = MISSED.get(key)
            marks = [pytest.mark.xfail(strict=True, reason=reason)] if reason else []
            made.append(pytest.param(name, figure, id=key, marks=marks))
    return made


@pytest.mark.parametrize(("name", "figure"), cases())
def test_prediction_meets_its_target(measured: Path, name: str, figure: str) -> None:
    value = score(name, measured).figures[figure]
    if value is None:
        pytest.skip("no slow discharge of this cell at this temperature to take its OCV from")
    assert abs(value) <= TARGETS[figure]


@pytest.mark.parametrize(
    "name",
    [
        pytest.param(
            name,
            marks=[pytest.mark.xfail(strict=True, reason=RISE_MISSED[name])]
            if name in RISE_MISSED
            else [],
        )
        for name in SETS
    ],
)
def test_rise_with_the_figures_of_the_bench_given(measured: Path, name: str) -> None:
    found = score(name, measured)
    if found.rise_k is None:
        pytest.skip("no temperature in this set")
    assert abs(found.rise_k) <= max(RISE_K, RISE_FRACTION * found.measured_rise_k)


@pytest.mark.parametrize("degc", [0, 10, 25, 45])
def test_ten_second_resistance_of_the_m50(measured: Path, degc: int) -> None:
    median, _, count = pulse_errors(degc, measured)
    assert count >= 48  # 6 cells at 8 or 9 states of charge
    assert abs(median) <= PULSE_PERCENT


REFITS = {
    "30Q S002 2C": ("30Q S002 C/10", "30Q S002 1C", "30Q S002 3C"),
    "30Q S001 1C": ("30Q S001 2C", "30Q S001 3C"),
    "M50 25 degC 2C": ("M50 25 degC C/10", "M50 25 degC C/2", "M50 25 degC 1C"),
}
REFIT_RMS_MV, REFIT_RISE_K = 25.0, 2.0


@functools.cache
def refit_scores(name: str, folder: Path) -> dict[str, tuple[float, float]]:
    """RMS [mV] and error of the rise [K] at the other rates, after a re-fit on one."""
    file, bench = SETS[name]
    log = discharge_log(folder / file, with_rest=True)
    fitted = refit(log, pack_of(bench), start(log, bench[1])).pack
    found = {}
    for other in REFITS[name]:
        log = discharge_log(folder / SETS[other][0])
        demand = log_demand(log, beyond_s=0.5 * float(log.time_s[-1] - log.time_s[0]))
        errors = replay_errors(log, run_pack(fitted, demand, start(log, bench[1])))
        found[other] = (1000 * errors.rms_v, errors.rise_error_k or 0.0)
    return found


@pytest.mark.xfail(
    strict=True, reason="18 to 55 mV instead of 25, rises up to 3.9 K off; see the README"
)
@pytest.mark.parametrize("name", list(REFITS))
def test_other_rates_after_a_refit(measured: Path, name: str) -> None:
    for rms_mv, rise_k in refit_scores(name, measured).values():
        assert rms_mv <= REFIT_RMS_MV
        assert abs(rise_k) <= REFIT_RISE_K


def tables(folder: Path) -> list[str]:
    """The tables of the README, line by line."""
    names = list(TARGETS)
    lines = [f"| set | {' | '.join(names)} | rise K |", f"|---|{'---|' * (len(names) + 1)}"]
    for name in SETS:
        row = score(name, folder)
        cells = [_cell(value) for value in (*row.figures.values(), row.rise_k)]
        lines.append(f"| {name} | {' | '.join(cells)} |")
    lines += ["", "| M50 pulses | median % | farthest % | pulses |", "|---|---|---|---|"]
    for degc in (0, 10, 25, 45):
        median, worst, count = pulse_errors(degc, folder)
        lines.append(f"| {degc} degC | {median:.1f} | {worst:.1f} | {count} |")
    lines += ["", "| re-fitted on | set | RMS mV | rise K |", "|---|---|---|---|"]
    for name in REFITS:
        for other, (rms_mv, rise_k) in refit_scores(name, folder).items():
            lines.append(f"| {name} | {other} | {rms_mv:.1f} | {rise_k:.1f} |")
    return lines


def _cell(value: float | None) -> str:
    return "" if value is None else f"{value:.1f}"


def test_readme_shows_the_tables_as_they_stand(measured: Path) -> None:
    fresh = tables(measured)
    print("\n".join(fresh))
    shown = [line for line in README.read_text().splitlines() if line.startswith("|")]
    fresh = [line for line in fresh if line]
    assert len(shown) == len(fresh)
    number = re.compile(r"(?<![\w.])-?\d+\.\d+")
    for line, expected in zip(shown, fresh, strict=True):
        assert number.sub("#", line) == number.sub("#", expected)
        found = [float(each) for each in number.findall(line)]
        wanted = [float(each) for each in number.findall(expected)]
        # rounding to 0.1, and a few tenths more where another numpy draws or sums differently
        assert found == pytest.approx(wanted, abs=0.3, rel=0.01), line


def test_model_reads_nothing_of_the_measured_sets() -> None:
    """No module and no table of the project mentions the folder or one of its files."""
    folders = ("samsung30q_18650", "lgm50_21700", "a123_26650_lfp", "kokam_pouch", "nissan_leaf")
    words = ("shared/measured", "ratetest_", *folders)
    data = PACKAGE.parent / "cell_data"
    for path in [*PACKAGE.rglob("*.py"), *data.rglob("*.csv")]:
        text = path.read_text(encoding="utf-8")
        assert not [word for word in words if word in text], path
