"""Kinds of a cell that keep more or less of their resistance when warm."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from packdesign.data.cell_table import load_cells
from packdesign.engineering.discharge.bands import discharge_bands
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.draws import normal_hypercube
from packdesign.engineering.discharge.nodes import TEMPERATURE_GRID_DEGC
from packdesign.engineering.discharge.run import Conditions, PackModel
from packdesign.engineering.discharge.warm_kinds import WARM_DRAWS, kind_of, warm_kinds
from packdesign.engineering.thermal.path import ThermalPath
from tests.loads import hold

CELL = model_from_datasheet(load_cells().find("INR18650-30Q"))
PATH = ThermalPath(cell_to_surface_w_per_k=2.0, surface_to_air_w_per_k=0.05, surface_j_per_k=20.0)


def test_kinds_are_alike_up_to_25_degc_and_part_above() -> None:
    likely, *others = warm_kinds(CELL)
    assert likely is CELL
    cold, at_60 = TEMPERATURE_GRID_DEGC <= 25.0, TEMPERATURE_GRID_DEGC == 60.0
    for draw, kind in zip(WARM_DRAWS[1:], others, strict=True):
        for name in ("ohmic", "rc", "transfer"):
            ratio = getattr(kind, f"{name}_temperature_factor") / getattr(
                CELL, f"{name}_temperature_factor"
            )
            assert ratio[cold] == pytest.approx(1.0)
            # 0.50 to 0.90 for 90 %, over 0.777: 15.6 % at 60 degC by hand
            assert ratio[at_60] == pytest.approx(1.0 + 0.1565 * draw, abs=2e-3)


def test_draws_go_to_the_nearest_kind_and_keep_mean_and_variance() -> None:
    draws = normal_hypercube(8000, inputs=1, seed=3)[:, 0]
    stands_for = WARM_DRAWS[kind_of(draws)]
    assert kind_of(np.array([0.0, -9.0, 9.0])).tolist() == [0, 1, 8]
    assert stands_for.mean() == pytest.approx(0.0, abs=1e-3)
    assert stands_for.std() == pytest.approx(1.0, abs=1e-3)
    assert np.corrcoef(draws, stands_for)[0, 1] > 0.97


def test_a_run_that_warms_itself_is_in_doubt_by_the_warmth() -> None:
    pack = PackModel(cell=CELL, series=1, parallel=1, path_ohm=0.0, thermal=PATH)
    known = replace(CELL, spread=replace(CELL.spread, warm_resistance_fraction=np.zeros(151)))
    demand = hold(12.0, duration_s=3600.0)
    conditions = Conditions(ambient_degc=25.0, start_degc=25.0, max_cell_degc=150.0)
    doubtful, sure = (
        discharge_bands(replace(pack, cell=cell), demand, conditions).peak_cell_degc
        for cell in (CELL, known)
    )
    # steps are those of the whole batch, so the likely runs differ by a hair
    assert doubtful.mid == pytest.approx(sure.mid, abs=0.01)
    assert sure.mid > 60.0
    assert doubtful.high > sure.high + 0.5
