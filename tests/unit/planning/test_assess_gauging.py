"""The gauge of a brief: its coldest day, its worn cells, its starts, and the run beside it."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome, run_discharge
from packdesign.planning.assess.gauging import gauge_of
from packdesign.planning.assess.loading import loading_of
from packdesign.planning.assess.service import design_of, judge_pack
from packdesign.planning.brief.examples import example_text
from packdesign.planning.brief.load import brief_from_mapping, brief_from_text
from packdesign.planning.gauge.service import Gauge
from packdesign.planning.gauge.words import gauge_notes
from packdesign.planning.verdicts.verdict import Status

LAMP = """
[pack]
cell = "Samsung SDI INR18650-25R"
series = 3
[pack.protection]
kind = "board"
watches_each_group = true
[surroundings]
ambient = "{degc} degC"
ambient_min = "{coldest} degC"
[[loads]]
name = "lamp"
amps = "{amps} A"
"""


def gauged(text: str) -> tuple[Gauge, PackDesign, DischargeOutcome]:
    brief = brief_from_text(text)
    design = design_of(brief)
    loading = loading_of(brief, design)
    outcome = run_discharge(brief, design, loading)
    return gauge_of(brief, design, loading, outcome), design, outcome


def lamp(*, degc: float = 20.0, coldest: float = 20.0, amps: float = 0.4) -> str:
    return LAMP.format(degc=degc, coldest=coldest, amps=amps)


@pytest.mark.parametrize("degc", [0.0, 20.0])
def test_the_charge_at_each_threshold_is_that_of_the_run(degc: float) -> None:
    """The discharge engine, on a load so small that it does not warm its cells by much."""
    found, _, outcome = gauged(lamp(degc=degc, coldest=degc))
    trace = outcome.trace
    for level in found.thresholds.in_order[:-1]:
        met = float(np.interp(-level.loaded_v, -trace.voltage_v, trace.soc))
        assert level.soc_fraction == pytest.approx(met, abs=0.01)


def test_all_that_sags_under_a_lasting_load_counts() -> None:
    found, design, _ = gauged(lamp(coldest=-5.0))
    cell, pack = design.model.cell, found.pack
    instant = design.model.instant_ohm(soc=0.3, temperature_degc=-5.0, current_a=pack.working_a)
    slow = sum(ohm for ohm, _ in cell.relaxing_at(soc=0.3, temperature_degc=-5.0))
    assert pack.lasting_ohm(0.3) == pytest.approx(instant + 3 * slow, rel=0.02)
    assert instant < pack.sudden_ohm(0.3) < pack.lasting_ohm(0.3)


def test_a_load_that_comes_on_is_met_over_the_hold_of_the_stop() -> None:
    found, design, _ = gauged(lamp(coldest=3.0))
    hold_s = found.thresholds.stop.hold_s
    cell_ohm = design.model.cell.pulse_ohm(
        soc=0.3, temperature_degc=3.0, current_a=found.pack.peak_a, pulse_s=hold_s
    )
    expected = 3 * cell_ohm + design.model.path_ohm
    assert found.pack.sudden_ohm(0.3) == pytest.approx(expected)


def test_a_colder_day_lifts_the_charge_at_which_the_device_acts() -> None:
    """A lamp has no worst moment of its own: the coldest day of the brief counts all the same."""
    mild, cold = gauged(lamp())[0], gauged(lamp(coldest=-10.0))[0]
    for warm_level, cold_level in zip(
        mild.thresholds.in_order, cold.thresholds.in_order, strict=True
    ):
        assert cold_level.resting_v - cold_level.loaded_v > warm_level.resting_v - (
            warm_level.loaded_v
        )
        assert cold_level.soc_fraction > warm_level.soc_fraction
    assert mild.thresholds.loaded_full_v > cold.thresholds.loaded_full_v
    assert "cells at -10 degC, which sag most" in gauge_notes(cold)[0]


def test_the_coldest_day_of_a_device_with_a_motor_counts() -> None:
    text = example_text("soil_corer")
    usual = gauged(text)[0]
    colder = gauged(text.replace('ambient_min = "5 degC"', 'ambient_min = "-10 degC"'))[0]
    assert colder.pack.lasting_ohm(0.5) > 1.3 * usual.pack.lasting_ohm(0.5)
    assert colder.thresholds.stop.soc_fraction > usual.thresholds.stop.soc_fraction


def test_the_cells_are_as_worn_as_the_brief_lets_them_become() -> None:
    new = gauged(lamp())[0]
    kept = gauged(lamp() + '[storage]\nservice_life = "6 years"\nuses_per_week = 3\n')[0]
    used = gauged(lamp().replace("series = 3", "series = 3\ncycles_done = 300"))[0]
    for worn in (kept, used):
        assert worn.pack.lasting_ohm(0.5) > 1.05 * new.pack.lasting_ohm(0.5)
    assert "cells at 20 degC after 6 years" in gauge_notes(kept)[0]


def test_the_coldest_day_counts_where_no_worst_moment_is_known() -> None:
    brief = brief_from_text(lamp(coldest=-10.0))
    design = design_of(brief)
    loading = loading_of(brief, design)
    outcome = run_discharge(brief, design, loading)
    without = gauge_of(brief, design, replace(loading, worst=None), outcome)
    assert without.thresholds == gauge_of(brief, design, loading, outcome).thresholds


@pytest.mark.parametrize(
    ("changed", "hold_s"),
    [(("seconds = 0.6", "seconds = 0.6"), 2.0), (("seconds = 0.6", "seconds = 2.5"), 5.0)],
)
def test_the_stop_waits_out_the_starts_of_the_mission(
    changed: tuple[str, str], hold_s: float
) -> None:
    found, _, _ = gauged(example_text("soil_corer").replace(*changed))
    assert found.thresholds.stop.hold_s == hold_s
    assert found.firmware[2].hold_ms == 1000 * hold_s


def test_a_ramp_is_a_start_and_one_second_stands_for_none() -> None:
    rover = example_text("rover").replace('ramp_up = "0.15 s"', 'ramp_up = "3 s"')
    assert gauged(rover)[0].pack.start_s == 3.0
    assert gauged(lamp())[0].pack.start_s == 1.0


def test_a_pack_that_is_empty_in_minutes_is_not_read_after_an_hour_of_frost() -> None:
    """150 W in the cold: the reading would fall below the stop after an hour, not at the start."""
    sections = tomllib.loads(example_text("soil_corer"))
    for driven in ("motor", "mission", "rails", "lights"):
        sections.pop(driven, None)
    sections["loads"] = [{"name": "heater", "watts": 150}]
    judged = judge_pack(brief_from_mapping(sections)).judged
    room = next(each for each in judged if each.id == "gauge_room")
    assert room.status is Status.CAUTION
    assert room.value is not None
    assert room.value < 9.0  # after the hour, where the pack would stop


def test_a_start_of_a_minute_is_not_waited_out_twice_and_the_maker_is_told() -> None:
    """Two minutes below the stop harm cells: at 4.5 A, some 20 s take the pack a step down."""
    corer = example_text("soil_corer")
    found, design, _ = gauged(corer.replace("seconds = 0.6", "seconds = 60"))
    hold_s = found.thresholds.stop.hold_s
    assert 2.0 < hold_s < 60.0
    assert found.pack.peak_a * hold_s / 3600 < 0.02 * design.capacity_ah
    assert any("A start lasts 1 min, the hold of the stop" in each for each in gauge_notes(found))
    usual = gauged(corer)[0]
    assert not any("the hold of the stop" in each for each in gauge_notes(usual))


def test_the_working_load_of_a_mostly_idle_device_is_that_of_its_work(tmp_path: Path) -> None:
    """3 A for a minute in ten, else 0.1 A: 0.95 A rms, at which no reading of its work is taken.

    The discharge engine shows what the device reads at the end of each minute of work; 10 mV a
    cell, for its cells warm up a little.
    """
    rows = ["time_s,current_a", "0,3", "59.9,3", "60,0.1", "600,0.1"]
    (tmp_path / "work.csv").write_text("\n".join(rows))
    sections = tomllib.loads(lamp())
    del sections["loads"]
    sections["load"] = {"log": "work.csv", "repeats": True}
    brief = brief_from_mapping(sections, base_folder=tmp_path)
    design = design_of(brief)
    loading = loading_of(brief, design)
    outcome = run_discharge(brief, design, loading)
    pack = gauge_of(brief, design, loading, outcome).pack
    assert outcome.summary.rms_current_a < 1.1
    assert pack.working_a == pytest.approx(3.0, rel=0.02)
    trace = outcome.trace
    ends = np.flatnonzero((trace.current_a[:-1] > 2.0) & (trace.current_a[1:] < 2.0))
    met = [at for at in ends.tolist() if 0.2 < trace.soc[at] < 0.9]
    assert len(met) > 5
    for at in met:
        assert pack.curve.at(float(trace.soc[at])) == pytest.approx(trace.voltage_v[at], abs=0.03)
