"""The fuse in its place and at the end of the charge: warmth, watts from a low voltage."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from packdesign.engineering.demand.profile import Demand
from packdesign.planning.assess.beside_cells import beside_cells_degc, lead_before_short_degc
from packdesign.planning.assess.discharge import DischargeOutcome, run_discharge
from packdesign.planning.assess.fuse_load import fuse_load
from packdesign.planning.assess.loading import loading_of
from packdesign.planning.assess.service import design_of
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.verdicts.verdict import Status

CELL = {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1}
TUBE = {"shape": "tube", "bore": "25 mm", "length": "230 mm", "closure": "sealed"}


def sections(*, watts: float = 60.0, fuse: str = "ATO 10 A", **more: Any) -> dict[str, Any]:
    return {
        "pack": {**CELL, "fuse": {"part": fuse}},
        "loads": [{"name": "heater", "watts": watts}],
        **more,
    }


def run(**more: Any) -> tuple[Any, DischargeOutcome, Any, Any]:
    brief = brief_from_mapping(sections(**more))
    design = design_of(brief)
    loading = loading_of(brief, design)
    return brief, run_discharge(brief, design, loading), design, loading.demand


def test_a_fuse_carries_less_on_a_hot_day_and_less_yet_beside_hot_cells(judged):
    cool, hot = (
        judged(**sections(surroundings={"ambient": "20 degC", "ambient_max": day}))["fuse_holds"]
        for day in ("20 degC", "65 degC")
    )
    assert cool.limit == pytest.approx(7.5)
    assert hot.limit == pytest.approx(0.85 * 7.5)
    closed = judged(**sections(cavity=TUBE, surroundings={"ambient": "20 degC"}))["fuse_holds"]
    assert closed.limit < 7.3
    assert "in air of" in closed.reason


def test_beside_cells_in_a_cavity_it_is_as_hot_as_they_are():
    around = {"ambient": "20 degC", "ambient_max": "35 degC"}
    brief, outcome, _, _ = run(cavity=TUBE, surroundings=around)
    assert beside_cells_degc(brief, outcome) == pytest.approx(outcome.peak_cell_degc.mid + 15.0)
    assert lead_before_short_degc(brief, outcome) == beside_cells_degc(brief, outcome)
    brief, outcome, _, _ = run(surroundings=around)
    assert beside_cells_degc(brief, outcome) == 35.0
    assert lead_before_short_degc(brief, outcome) == 35.0


def test_where_nobody_tells_of_the_air_the_lead_is_taken_as_warm():
    brief, outcome, _, _ = run()
    assert beside_cells_degc(brief, outcome) == 25.0
    assert lead_before_short_degc(brief, outcome) == 40.0


def test_the_wire_behind_the_fuse_begins_as_warm_as_its_place(judged):
    cool, hot = (
        judged(
            pack={**CELL, "fuse": {"part": "ATO 10 A"}, "lead": {"awg": 18}},
            loads=[{"name": "lamp", "amps": "1 A"}],
            surroundings={"ambient": "20 degC", "ambient_min": "20 degC", "ambient_max": day},
        )["fuse_before_wire"]
        for day in ("20 degC", "70 degC")
    )
    # Onderdonk: log(1 + 1063 / 254) over log(1 + 1013 / 304), at the same weakest short circuit
    assert hot.value / cool.value == pytest.approx(
        np.log(1317 / 254) / np.log(1317 / 304), rel=1e-3
    )


def test_watts_draw_the_most_from_the_voltage_at_the_end():
    _, outcome, design, demand = run(watts=60.0)
    load = fuse_load(design, demand, outcome)
    last_v = float(outcome.trace.voltage_v[-1])
    assert load.largest_a == pytest.approx(60.0 / last_v, rel=0.03)
    assert load.largest_a > 1.2 * demand.peak_current_a(voltage_v=design.nominal_v)
    # the last ten minutes of the trace itself
    late = outcome.trace.time_s >= outcome.trace.time_s[-1] - 600.0
    mean = np.trapezoid(outcome.trace.current_a[late] ** 2, outcome.trace.time_s[late])
    span_s = outcome.trace.time_s[late][-1] - outcome.trace.time_s[late][0]
    assert load.steady_a == pytest.approx(float(np.sqrt(mean / span_s)), rel=0.05)
    assert load.steady_a > 1.05 * outcome.summary.rms_current_a


def test_a_device_that_stops_by_itself_never_draws_so_much():
    _, outcome, design, demand = run(watts=60.0)
    whole = fuse_load(design, demand, outcome)
    early = fuse_load(design, demand, outcome, own_stop_s=0.7 * float(outcome.trace.time_s[-1]))
    assert early.largest_a < 0.9 * whole.largest_a
    assert early.steady_a < whole.steady_a


def test_work_that_does_not_repeat_is_taken_as_it_ran():
    _, outcome, design, _ = run(watts=60.0)
    end_s = float(outcome.trace.time_s[-1])
    once = Demand(
        duration_s=np.array([0.5 * end_s, 0.5 * end_s]),
        current_a=np.zeros(2),
        power_w=np.array([60.0, 60.0]),
        label=("work", "work"),
        repeats=False,
    )
    load = fuse_load(design, once, outcome)
    assert load.repeats is False
    half_v = float(np.interp(0.5 * end_s, outcome.trace.time_s, outcome.trace.voltage_v))
    last_v = float(np.min(outcome.trace.voltage_v))
    assert load.current_a == pytest.approx([60.0 / half_v, 60.0 / last_v], rel=0.01)


def test_a_load_that_the_fuse_holds_at_nominal_voltage_is_caught_at_the_end(judged):
    """76 W are 7.0 A at 10.8 V, and 7.9 A in the last minutes; a 10 A blade holds 7.5 for good."""
    found = judged(**sections(watts=76.0, surroundings={"ambient": "20 degC"}))
    assert found["fuse_holds"].status is Status.STOP
    assert found["fuse_holds"].value == pytest.approx(7.9, abs=0.1)  # 10.1 A in the last second
    gentle = judged(**sections(watts=50.0, surroundings={"ambient": "20 degC"}))
    assert gentle["fuse_holds"].status is Status.OK
