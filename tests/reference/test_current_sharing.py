"""Sharing of current against a measured pair of unlike cells."""

from __future__ import annotations

import csv

import numpy as np
import pytest

from packdesign.engineering.electrical.network import PackNetwork
from packdesign.engineering.electrical.sharing import CellTable, SharedCells, share_discharge


def _columns(path) -> dict[str, np.ndarray]:
    with path.open(newline="") as file:
        rows = list(csv.DictReader(file))
    return {name: np.array([float(row[name]) for row in rows]) for name in rows[0]}


@pytest.fixture
def pair(measured):
    folder = measured / "parallel_pair_umich"
    if not folder.is_dir():
        pytest.skip("no parallel_pair_umich among the measured sets")
    names = ("ocv_dcr_cell151805.csv", "ocv_dcr_cell152098.csv")
    return _columns(folder / "expt_c_over_4.csv"), [_columns(folder / name) for name in names]


def test_a_measured_pair_shares_as_computed(pair):
    """A. Weng et al., J. Dyn. Sys. Meas. Control 2024 (data MIT, github wengandrew).

    Two aged cells of 1.83 and 1.93 Ah (C/20) discharged together at 1.25 A from the end of a long
    charge. Their open-circuit voltage and direct-current resistance are the authors' own tables;
    nothing is fitted. Sharing is held to a tenth of the pair's current, chosen before it was run.
    The length of the discharge is printed and not judged: it comes out 4 % long, for the tables'
    resistance is that of a short pulse and this module has no slower part.
    """
    log, tables = pair
    grid = np.linspace(0, 1, 201)
    ocv = np.array([np.interp(grid, one["soc"] / 100, one["ocv"]) for one in tables])
    ohm = np.array([np.interp(grid, one["soc"] / 100, one["dcr"]) for one in tables])
    active = np.flatnonzero(log["current_a"] > 1.2)
    start, last = active[0], active[-1]
    time = log["time_s"][start : last + 1] - log["time_s"][start]
    cells = SharedCells(
        table=CellTable(ocv_v=ocv[None], ohm=ohm[None]),
        capacity_ah=np.array([[[1.83, 1.93]]]),
        resistance_factor=np.ones((1, 1, 2)),
        soc=np.ones((1, 1, 2)),
    )
    run = share_discharge(
        cells,
        PackNetwork(),
        duration_s=np.array([1.5 * time[-1]]),
        current_a=np.array([1.2498]),
        cutoff_v=3.0,
        keeps_currents=True,
    )
    gone = ~np.isnan(run.cell_a[:, 0, 0, 0])
    errors = []
    for index, name in enumerate(("current_cell1_a", "current_cell2_a")):
        found = np.interp(time, run.time_s[gone], run.cell_a[gone, 0, 0, index])
        within = time <= run.end_s[0]
        errors.append(found[within] - log[name][start : last + 1][within])
    rms = [float(np.sqrt(np.mean(error**2))) for error in errors]
    worst = [float(np.max(np.abs(error))) for error in errors]
    print(f"branch current error RMS {rms} A, worst {worst} A of 1.25 A")
    print(f"discharge {run.end_s[0]:.0f} s against {time[-1]:.0f} s measured")
    assert max(rms) < 0.125
