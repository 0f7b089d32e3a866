"""A log made by the model itself with a higher resistance: the fit finds it again."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge.fast_engine import run_pack
from packdesign.foundation.errors import LogError
from packdesign.planning.assess.discharge import conditions_of
from packdesign.planning.assess.log_fit import fit_log, keys_of_fit, log_with_voltage
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
    found = fit_log(brief, design_of(brief), log_file)
    assert found.fit.resistance_factor.mid == pytest.approx(FACTOR, rel=0.05)
    assert found.errors_after.rms_v < found.errors_before.rms_v / 3


def test_what_it_taught_goes_into_the_brief(brief, log_file: Path) -> None:  # type: ignore[no-untyped-def]
    found = fit_log(brief, design_of(brief), log_file)
    taught = changed_brief(brief, keys_of_fit(found, brief, name="run.csv"))
    assert taught.measured is not None
    assert taught.measured.cell_resistance_ohm == found.resistance_ohm


def test_a_log_without_voltage_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "bare.csv"
    path.write_text("time_s,current_a\n0,1\n1,1\n2,1\n")
    with pytest.raises(LogError, match="has no voltage"):
        log_with_voltage(path)
