"""The measured cells beside the project, and how a prediction is set against them.

The sets lie in `../shared/measured`, with their sources in the SOURCE.md of each. Nothing here
judges; the tests that use it do.
"""

from __future__ import annotations

import csv
import functools
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from scipy.optimize import least_squares

from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Cell, CellForm, Family
from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge.bands import discharge_bands
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.fast_engine import run_pack
from packdesign.engineering.discharge.nodes import SOC_GRID
from packdesign.engineering.discharge.replay import Log, log_demand, log_start, replay_errors
from packdesign.engineering.discharge.run import Conditions, PackModel, Trace
from packdesign.engineering.thermal.cavity_case import CavityHeatCase
from packdesign.engineering.thermal.cavity_heat import thermal_path
from packdesign.engineering.thermal.cell_body import CellBody
from packdesign.engineering.thermal.path import ThermalPath

Bench = tuple[str, float, float, float]
"""Part number, ambient [degC], heat loss [W/K], added thermal mass [J/K]."""
LEAF = Cell(
    maker="AESC", part_number="2013 vehicle cell", form=CellForm.POUCH, size_code="290216",
    family=Family.LMO, chemistry="LiMn2O4 + LiNiO2", capacity_ah=33.1, rated_capacity_ah=33.1,
    nominal_v=3.75, full_v=4.2, cutoff_v=3.0, thickness_m=0.0071, width_m=0.216, length_m=0.290,
    mass_kg=0.799,
)  # fmt: skip
# ORNL, doi 10.5281/zenodo.2580327: the facts printed with the data, no resistance among them
ENERTECH = Cell(
    maker="Enertech", part_number="2.28 Ah pouch", form=CellForm.POUCH, size_code="",
    family=Family.LCO, chemistry="LiCoO2", capacity_ah=2.28, rated_capacity_ah=2.28,
    nominal_v=3.7, full_v=4.2, cutoff_v=3.0,
)  # fmt: skip
# Ai et al., J. Electrochem. Soc. 167 (2020) 013512: capacity and chemistry; 3.7 V and the window
# of 3.0 to 4.2 V are usual for LCO (common practice, no source)
WITHOUT_ROW = {cell.part_number: cell for cell in (LEAF, ENERTECH)}
"""Measured cells that the shipped table does not have."""

# the two figures of the bench as the project's text gives them (samsung30q: 0.07 W/K and 40 J/K;
# lgm50: 0.1 to 0.2 W/K and 70 J/K); for the rest a guess, from which the fit starts or that only
# warms the cell a little
SAMSUNG: Bench = ("INR18650-30Q", 22.8, 0.07, 40.0)
LG_WARM: Bench = ("INR21700-M50", 25.0, 0.15, 70.0)
LG_COLD: Bench = ("INR21700-M50", 0.0, 0.15, 70.0)
A123: Bench = ("ANR26650M1-B", 25.0, 0.2, 20.0)
KOKAM: Bench = ("SLPB75106100", 25.0, 0.5, 50.0)
AESC: Bench = (LEAF.part_number, 25.0, 1.0, 100.0)
POUCH: Bench = (ENERTECH.part_number, 25.0, 0.2, 20.0)
IN_ROOM_AIR = (SAMSUNG,)
"""Benches whose SOURCE.md speaks of room air. The others stood in chambers, whose fan cools alike
at every rise, or say nothing."""
SETS: dict[str, tuple[str, Bench]] = {
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
    "Enertech pouch C/2": ("enertech_pouch/discharge_0.5C_and_cooldown.csv", POUCH),
    "Enertech pouch 1C": ("enertech_pouch/discharge_1C_and_cooldown.csv", POUCH),
    "Enertech pouch 2C": ("enertech_pouch/discharge_2C_and_cooldown.csv", POUCH),
    "AESC 2013 pouch 1C": ("nissan_leaf_cell/discharge_1c_rest_charge.csv", AESC),
    "AESC 2013 pouch 2C": ("nissan_leaf_cell/discharge_2c_rest_charge.csv", AESC),
    "AESC 2013 pouch 3C": ("nissan_leaf_cell/discharge_3c_rest_charge.csv", AESC),
}
BENCH_GIVEN = ("30Q", "M50")
BENCH_FITTED_ON = {
    "30Q": "30Q S001 2C",
    "M50": "M50 25 degC 2C",
    "Ene": "Enertech pouch 2C",
    "AES": "AESC 2013 pouch 2C",
}
"""Rate on which heat loss and added mass of a bench are fitted, to predict the rise at the others:
2C, the largest that all these sets have."""


def columns(path: Path) -> dict[str, np.ndarray]:
    """Read a CSV file column by column; what is blank is no number."""
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
    if degc is not None:
        read = np.isfinite(degc)
        degc = np.interp(table["time_s"], table["time_s"][read], degc[read])
    return Log(
        time_s=table["time_s"][known][rows],
        current_a=current[rows],
        voltage_v=table["voltage_v"][known][rows],
        temperature_degc=None if degc is None else degc[known][rows],
    )


def pack_of(bench: Bench) -> PackModel:
    """One cell on its bench, from its sheet."""
    part_number, _, loss, mass = bench
    cell = WITHOUT_ROW.get(part_number) or load_cells().find(part_number)
    thermal = ThermalPath(
        cell_to_surface_w_per_k=2.0,
        surface_to_air_w_per_k=loss,
        buoyant_fraction=still_air_fraction(cell) if bench in IN_ROOM_AIR else 0.0,
        surface_j_per_k=mass,
    )
    return PackModel(
        cell=model_from_datasheet(cell), series=1, parallel=1, path_ohm=0.0, thermal=thermal
    )


def still_air_fraction(cell: Cell) -> float:
    """Share of the loss of a round cell lying in still air that grows with its rise, computed."""
    body = CellBody(length_m=cell.length_m, diameter_m=cell.diameter_m)
    return thermal_path(CavityHeatCase(cell=body, cell_count=1)).buoyant_fraction


def start(name: str, folder: Path) -> Conditions:
    """Where a set starts, by its first sample; its lowest voltage ends the run.

    The charge is no parameter of the cell: it is how full the bench had charged it, in the cold
    less than at room temperature, and stands in the log as the temperature does.
    """
    file, bench = SETS[name]
    log = discharge_log(folder / file, with_rest=True)
    otherwise = Conditions(
        ambient_degc=bench[1],
        start_degc=bench[1],
        cutoff_v=float(np.min(discharge_log(folder / file).voltage_v)),
        max_cell_degc=120.0,
    )
    return log_start(log, pack_of(bench), otherwise)


def setting(name: str, folder: Path) -> tuple[Log, PackModel, Conditions, Demand]:
    """The log of a set, the cell of its sheet on its bench, where it starts, what it asks."""
    file, bench = SETS[name]
    log = discharge_log(folder / file)
    demand = log_demand(log, beyond_s=0.5 * float(log.time_s[-1] - log.time_s[0]))
    return log, pack_of(bench), start(name, folder), demand


def used_ah(log: Log) -> np.ndarray:
    """Charge drawn until each row of a log."""
    step_as = np.diff(log.time_s) * (log.current_a[1:] + log.current_a[:-1]) / 2
    return np.concatenate([[0.0], np.cumsum(step_as)]) / 3600


@functools.cache
def rested_curve(cell: str, folder: Path) -> tuple[np.ndarray, np.ndarray]:
    """Charge drawn [A h] and rested voltage [V] of a set's own cell.

    M50: `ocv_25C.csv`, over the charge of its slowest discharge. 30Q: the ends of the 90 min rests
    of its two pulse files, the second going on where the first ends.
    """
    if cell == "M50":
        table = columns(folder / "lgm50_21700" / "ocv_25C.csv")
        whole_ah = used_ah(setting("M50 25 degC C/10", folder)[0])[-1]
        return (1.0 - table["soc"][::-1]) * whole_ah, table["ocv_v"][::-1]
    before_ah, points = 0.0, []
    for file in ("hppc_2C_20C_10pct_steps.csv", "hppc_2C_20C_5pct_steps_low_soc.csv"):
        table = columns(folder / "samsung30q_18650" / file)
        log = Log(
            time_s=table["time_s"], current_a=table["current_a"], voltage_v=table["voltage_v"]
        )
        drawn_ah = before_ah + used_ah(log)
        rests = np.abs(log.current_a) < 0.05
        edges = np.flatnonzero(np.diff(np.concatenate([[0], rests.astype(int), [0]])))
        for first, after in zip(edges[::2], edges[1::2], strict=True):
            last = after - 1
            if log.time_s[last] - log.time_s[first] > 3000 or (first == 0 and not points):
                points.append((drawn_ah[last], log.voltage_v[last]))
        before_ah = drawn_ah[-1]
    drawn, volts = np.array(points).T
    return drawn, volts


def heat_percent(name: str, folder: Path) -> float | None:
    """Predicted over measured integral of current x (OCV - V), each with its own rested curve."""
    if name[:3] not in BENCH_GIVEN:
        return None
    log, pack, conditions, demand = setting(name, folder)
    trace = run_pack(pack, demand, conditions)
    open_v = np.interp(used_ah(log), *rested_curve(name[:3], folder))
    measured_j = np.trapezoid(log.current_a * (open_v - log.voltage_v), log.time_s)
    return float(100 * (lost_j(trace, pack.cell) / measured_j - 1))


def lost_j(trace: Trace, cell: CellModel) -> float:
    """Predicted integral of current x (OCV - V)."""
    open_v = np.interp(trace.soc, SOC_GRID, cell.ocv_v)
    return float(np.trapezoid(trace.current_a * (open_v - trace.voltage_v), trace.time_s))


@functools.cache
def fitted_bench(name: str, folder: Path) -> ThermalPath:
    """Heat loss and added mass of a bench that make the predicted surface follow one log."""
    log, pack, conditions, demand = setting(name, folder)

    def path(x: np.ndarray) -> ThermalPath:
        loss, mass = np.exp(x).tolist()
        return replace(pack.thermal, surface_to_air_w_per_k=loss, surface_j_per_k=mass)

    def apart_k(x: np.ndarray) -> np.ndarray:
        trace = run_pack(replace(pack, thermal=path(x)), demand, conditions)
        time_s = log.time_s - log.time_s[0]
        grid_s = np.linspace(0.0, min(time_s[-1], trace.time_s[-1]), 200)
        predicted = np.interp(grid_s, trace.time_s, trace.surface_degc)
        return np.asarray(predicted - np.interp(grid_s, time_s, log.temperature_degc))

    return path(least_squares(apart_k, np.log([0.1, 40.0]), diff_step=1e-2).x)


def rise_on_fitted_bench(name: str, folder: Path) -> float | None:
    """Error of the rise, with the bench fitted on another rate. [K]"""
    fitted_on = BENCH_FITTED_ON.get(name[:3])
    if fitted_on is None or fitted_on == name:
        return None
    log, pack, conditions, demand = setting(name, folder)
    pack = replace(pack, thermal=fitted_bench(fitted_on, folder))
    return replay_errors(log, run_pack(pack, demand, conditions)).rise_error_k


@dataclass(frozen=True)
class Score:
    """One row of the table."""

    figures: dict[str, float | None]
    rise_k: float | None
    """Error of the rise with the figures of the bench given. [K]"""
    fitted_rise_k: float | None
    """The same with those fitted on another rate. [K]"""
    measured_rise_k: float


@functools.cache
def score(name: str, folder: Path) -> Score:
    """Hold the prediction for one set against it."""
    log, pack, conditions, demand = setting(name, folder)
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
            "heat %": heat_percent(name, folder),
            "outside band %": 100 - errors.covered_percent,
            "band width %": 100 * errors.band_v / (cell.full_v - cell.cutoff_v),
        },
        rise_k=errors.rise_error_k if name[:3] in BENCH_GIVEN else None,
        fitted_rise_k=rise_on_fitted_bench(name, folder),
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
