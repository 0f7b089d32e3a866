"""Sharing of current against a measured pair of unlike cells."""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from packdesign.data.cell_table import load_cells
from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.nodes import SOC_GRID, TEMPERATURE_GRID_DEGC
from packdesign.engineering.discharge.run import Conditions, PackModel
from packdesign.engineering.discharge.unlike_cells import UnlikeCells, UnlikePoint
from packdesign.engineering.discharge.unlike_run import run_unlike
from packdesign.engineering.electrical.network import PackNetwork
from packdesign.engineering.thermal.path import ThermalPath

CAPACITY_AH = np.array([1.83, 1.93])
"""C/20 capacities of the two, as the authors print them. [A h]"""
PAIR_A = 1.2498


def _columns(path: Path) -> dict[str, np.ndarray]:
    with path.open(newline="") as file:
        rows = list(csv.DictReader(file))
    return {name: np.array([float(row[name]) for row in rows]) for name in rows[0]}


@pytest.fixture
def pair(measured: Path) -> tuple[dict[str, np.ndarray], list[dict[str, np.ndarray]]]:
    folder = measured / "parallel_pair_umich"
    if not folder.is_dir():
        pytest.skip("no parallel_pair_umich among the measured sets")
    names = ("ocv_dcr_cell151805.csv", "ocv_dcr_cell152098.csv")
    return _columns(folder / "expt_c_over_4.csv"), [_columns(folder / name) for name in names]


def _like_both(tables: list[dict[str, np.ndarray]]) -> tuple[CellModel, np.ndarray]:
    """One cell with the mean tables of both, and each one's resistance relative to it."""
    ocv, ohm = (
        np.array([np.interp(100 * SOC_GRID, each["soc"], each[name]) for each in tables])
        for name in ("ocv", "dcr")
    )
    mean_ohm = np.mean(ohm, axis=0)
    # the part that is there at every charge as ohmic, the rest as an RC element of half a second
    ohmic_ohm = 0.9 * float(np.min(mean_ohm))
    rest_ohm = mean_ohm - ohmic_ohm
    half_ohm = float(rest_ohm[SOC_GRID.size // 2])
    any_cell = model_from_datasheet(load_cells().find("INR18650-25R"))
    ones = np.ones(TEMPERATURE_GRID_DEGC.size)
    cell = replace(
        any_cell,
        capacity_ah=float(np.mean(CAPACITY_AH)),
        ocv_v=np.maximum.accumulate(np.mean(ocv, axis=0)),
        ohmic_ohm=ohmic_ohm,
        charge_transfer_ohm=1e-9,
        rc_ohm=(half_ohm, 0.0),
        rc_time_s=(0.5, 90.0),
        rc_rise=rest_ohm / half_ohm - 1.0,
        transfer_rise=np.zeros(SOC_GRID.size),
        lag_per_a=0.0,
        ohmic_temperature_factor=ones,
        rc_temperature_factor=ones,
        solid_temperature_factor=ones,
        empty_soc=0 * ones,
    )
    return cell, np.mean(ohm / mean_ohm, axis=1)


def test_a_measured_pair_shares_as_computed(
    pair: tuple[dict[str, np.ndarray], list[dict[str, np.ndarray]]],
) -> None:
    """A. Weng et al., J. Dyn. Sys. Meas. Control 2024 (data MIT, github wengandrew).

    Two aged cells discharged together at 1.25 A from the end of a long charge. Their open-circuit
    voltage and direct-current resistance are the mean of the authors' own tables, told apart by one
    factor on capacity and one on resistance; nothing is fitted. Sharing is held to a tenth of the
    pair's current, chosen before it was run. The length of the discharge is printed and not judged:
    the tables' resistance is that of a short pulse.
    """
    log, tables = pair
    cell, resistance = _like_both(tables)
    active = np.flatnonzero(log["current_a"] > 1.2)
    start, last = active[0], active[-1]
    time_s = log["time_s"][start : last + 1] - log["time_s"][start]
    pack = PackModel(
        cell=cell,
        series=1,
        parallel=2,
        path_ohm=0.0,
        thermal=ThermalPath(
            cell_to_surface_w_per_k=2.0, surface_to_air_w_per_k=0.1, surface_j_per_k=30.0
        ),
    )
    points: list[UnlikePoint] = []
    run = run_unlike(
        UnlikeCells(
            pack=pack,
            network=PackNetwork(),
            capacity_factor=(CAPACITY_AH / cell.capacity_ah)[None, None],
            resistance_factor=resistance[None, None],
            start_soc=np.ones((1, 1, 2)),
        ),
        Demand(
            duration_s=np.array([1.5 * time_s[-1]]),
            current_a=np.array([PAIR_A]),
            power_w=np.zeros(1),
            label=("load",),
            repeats=False,
        ),
        Conditions(ambient_degc=25.0, start_degc=25.0, cutoff_v=3.0),
        watch=points.append,
    )
    found_s = np.array([point.time_s for point in points])
    errors_a = []
    for index, name in enumerate(("current_cell1_a", "current_cell2_a")):
        found_a = np.interp(time_s, found_s, [point.cell_a[0, 0, index] for point in points])
        within = time_s <= run.end_s[0]
        errors_a.append(found_a[within] - log[name][start : last + 1][within])
    rms_a = [float(np.sqrt(np.mean(error**2))) for error in errors_a]
    worst_a = [float(np.max(np.abs(error))) for error in errors_a]
    print(f"branch current error RMS {rms_a} A, worst {worst_a} A of 1.25 A")
    print(f"discharge {run.end_s[0]:.0f} s against {time_s[-1]:.0f} s measured")
    assert max(rms_a) < 0.1 * PAIR_A
    assert run.end_s[0] > 0.9 * time_s[-1], "most of the discharge must have been compared"
