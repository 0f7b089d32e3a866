"""Discharges of cells that nobody looked at before they were predicted, read by others.

They were collected from public data and sheets by somebody who did not see a prediction, by cell,
rate and temperature, and were first predicted after that. `tables/other_cells.csv` has a row for
each with its source, `tables/other_cells_points.csv` what was read of its voltage. How a bench
cools stands in no source: it is a chamber with a fan (the one of the measured M50 loses 0.1 to
0.2 W/K), but for one that tells how its cell warms.
"""

from __future__ import annotations

import csv
import functools
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from scipy.optimize import brentq

from packdesign.data.cell_table import load_cells
from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.bands import discharge_bands
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.fast_engine import run_pack
from packdesign.engineering.discharge.run import Conditions, PackModel, Trace
from packdesign.engineering.thermal.path import ThermalPath
from tests.loads import hold
from tests.reference.readme_tables import cell_text

TABLES = Path(__file__).parent / "tables"
LOSS_W_PER_K = {"chamber": 0.15, "still": 0.05}
"""Of a bench that nobody describes: assumed."""
ADDED_J_PER_K = 20.0
_LONGER_THAN_ANY_S = 360_000.0
WARMS_ON = {"mcmaster": "HG2 -10 degC 2C"}
"""Benches whose loss is the one that gives the end temperature of one set: that of most rise."""
HEADER = (
    "| set | A | charge % | mean voltage % | RMS mV | points outside band % | end of surface K |"
)


@dataclass(frozen=True, kw_only=True)
class OtherSet:
    """One discharge as it was read; what was not is ``None``."""

    name: str
    part_number: str
    current_a: float
    ambient_degc: float
    start_degc: float
    end_degc: float | None
    cutoff_v: float
    capacity_of: str
    """Set whose charge is taken as that of the cell; blank: the sheet tells."""
    delivered_ah: float | None
    delivered_wh: float | None
    bench: str
    source: str
    drawn_ah: FloatArray
    voltage_v: FloatArray


@dataclass(frozen=True, kw_only=True)
class OtherScore:
    """How far a prediction is off; ``None`` where nothing was read."""

    charge_percent: float | None
    voltage_percent: float | None
    rms_mv: float | None
    outside_percent: float | None
    end_k: float | None


@functools.cache
def other_sets() -> dict[str, OtherSet]:
    """Every set by its name."""
    with (TABLES / "other_cells_points.csv").open(newline="", encoding="utf-8") as file:
        points = list(csv.DictReader(file))
    with (TABLES / "other_cells.csv").open(newline="", encoding="utf-8") as file:
        return {row["set"]: _set_of(row, points) for row in csv.DictReader(file)}


def _set_of(row: dict[str, str], points: list[dict[str, str]]) -> OtherSet:
    own = [each for each in points if each["set"] == row["set"]]

    def known(column: str) -> float | None:
        return float(row[column]) if row[column] else None

    return OtherSet(
        name=row["set"],
        part_number=row["part_number"],
        current_a=float(row["current_a"]),
        ambient_degc=float(row["ambient_degc"]),
        start_degc=float(row["start_degc"] or row["ambient_degc"]),
        end_degc=known("end_degc"),
        cutoff_v=float(row["cutoff_v"]),
        capacity_of=row["capacity_of"],
        delivered_ah=known("delivered_ah"),
        delivered_wh=known("delivered_wh"),
        bench=row["bench"],
        source=row["source"],
        drawn_ah=np.array([float(each["drawn_ah"]) for each in own]),
        voltage_v=np.array([float(each["voltage_v"]) for each in own]),
    )


def _pack(each: OtherSet, *, loss_w_per_k: float) -> PackModel:
    """The cell of a set; with its own charge where a slow discharge of it tells."""
    pack = _pack_of_the_sheet(each, loss_w_per_k=loss_w_per_k)
    if not each.capacity_of:
        return pack
    told = other_sets()[each.capacity_of]
    found_ah = _run(told, pack).summary().delivered_ah
    capacity_ah = pack.cell.capacity_ah * (told.delivered_ah or found_ah) / found_ah
    return replace(pack, cell=replace(pack.cell, capacity_ah=capacity_ah))


def _pack_of_the_sheet(each: OtherSet, *, loss_w_per_k: float) -> PackModel:
    thermal = ThermalPath(
        cell_to_surface_w_per_k=2.0,
        surface_to_air_w_per_k=loss_w_per_k,
        surface_j_per_k=ADDED_J_PER_K,
    )
    cell = model_from_datasheet(load_cells().find(each.part_number))
    return PackModel(cell=cell, series=1, parallel=1, path_ohm=0.0, thermal=thermal)


@functools.cache
def sheet_charge_percent(name: str) -> float:
    """How far the charge of a set is off by its sheet alone. [%]"""
    each = other_sets()[name]
    pack = _pack_of_the_sheet(each, loss_w_per_k=_loss_w_per_k(each.bench))
    if each.delivered_ah is None:
        msg = f"{name}: no charge was read"
        raise ValueError(msg)
    return _percent(_run(each, pack).summary().delivered_ah, each.delivered_ah)


def _conditions(each: OtherSet) -> Conditions:
    return Conditions(
        ambient_degc=each.ambient_degc,
        start_degc=each.start_degc,
        cutoff_v=each.cutoff_v,
        max_cell_degc=150.0,
    )


def _run(each: OtherSet, pack: PackModel) -> Trace:
    return run_pack(pack, hold(each.current_a, duration_s=_LONGER_THAN_ANY_S), _conditions(each))


@functools.cache
def _loss_w_per_k(bench: str) -> float:
    if bench in LOSS_W_PER_K:
        return LOSS_W_PER_K[bench]
    warms = other_sets()[WARMS_ON[bench]]

    def too_warm_k(loss_w_per_k: float) -> float:
        trace = _run(warms, _pack(warms, loss_w_per_k=loss_w_per_k))
        return float(trace.surface_degc[-1]) - (warms.end_degc or 0.0)

    return float(brentq(too_warm_k, 0.05, 5.0, xtol=1e-3))


@functools.cache
def other_score(name: str) -> OtherScore:
    """Hold the prediction for one set against what was read of it."""
    each = other_sets()[name]
    pack = _pack(each, loss_w_per_k=_loss_w_per_k(each.bench))
    trace = _run(each, pack)
    summary = trace.summary()
    found_ah, found_v = summary.delivered_ah, summary.delivered_wh / summary.delivered_ah
    mean_v = each.delivered_wh / each.delivered_ah if each.delivered_wh else None
    rms_mv, outside_percent = _voltage_errors(each, pack, trace)
    return OtherScore(
        charge_percent=None if each.delivered_ah is None else _percent(found_ah, each.delivered_ah),
        voltage_percent=None if mean_v is None else _percent(found_v, mean_v),
        rms_mv=rms_mv,
        outside_percent=outside_percent,
        end_k=None if each.end_degc is None else float(trace.surface_degc[-1]) - each.end_degc,
    )


def _percent(found: float, read: float) -> float:
    return 100.0 * (found / read - 1.0)


def _voltage_errors(
    each: OtherSet, pack: PackModel, trace: Trace
) -> tuple[float | None, float | None]:
    """RMS over the points that were read [mV], and how many lie outside the band [%].

    Beyond the predicted end the prediction stays at the voltage that ended it.
    """
    if not each.drawn_ah.size:
        return None, None
    at_s = each.drawn_ah / each.current_a * 3600.0
    apart_v = np.interp(at_s, trace.time_s, trace.voltage_v) - each.voltage_v
    bands = discharge_bands(
        pack,
        hold(each.current_a, duration_s=_LONGER_THAN_ANY_S),
        _conditions(each),
        with_trace=True,
    )
    assert bands.trace is not None
    low_v = np.interp(at_s, bands.trace.time_s, np.asarray(bands.voltage_low_v))
    high_v = np.interp(at_s, bands.trace.time_s, np.asarray(bands.voltage_high_v))
    outside = (each.voltage_v < low_v) | (each.voltage_v > high_v)
    return 1000.0 * float(np.sqrt(np.mean(apart_v**2))), 100.0 * float(np.mean(outside))


def other_rows() -> list[str]:
    """The table with a row a set, line by line."""
    lines = [HEADER, f"|{'---|' * HEADER.strip('|').count('|')}---|"]
    for name, each in other_sets().items():
        found = other_score(name)
        figures = (
            found.charge_percent,
            found.voltage_percent,
            found.rms_mv,
            found.outside_percent,
            found.end_k,
        )
        cells = " | ".join(cell_text(value) for value in figures)
        lines.append(f"| {name} | {each.current_a:.2f} | {cells} |")
    return lines
