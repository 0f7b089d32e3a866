"""Both ends of the short circuit, and what of the brief moves which of them."""

from __future__ import annotations

from typing import Any

import pytest

from packdesign.planning.assess.discharge import run_discharge
from packdesign.planning.assess.loading import loading_of
from packdesign.planning.assess.service import design_of, judge_pack
from packdesign.planning.assess.short_circuit import PackShort, short_circuit_of
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.verdicts.verdict import Status

CELL = {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1}
AROUND = {"ambient": "20 degC", "ambient_min": "0 degC", "ambient_max": "20 degC"}
LEAD = {"awg": 16, "length": "100 mm"}


def shorted(*, own_stop_share: float | None = None, **changes: Any) -> PackShort:
    """Short the pack of a brief; ``own_stop_share`` of its run is when the device stops."""
    sections: dict[str, Any] = {
        "pack": {**CELL, "lead": LEAD, "fuse": {"part": "ATO 10 A"}},
        "loads": [{"name": "lamp", "amps": "2 A"}],
        "surroundings": AROUND,
    }
    brief = brief_from_mapping(sections | changes)
    design = design_of(brief)
    loading = loading_of(brief, design)
    outcome = run_discharge(brief, design, loading)
    stops_s = None
    if own_stop_share is not None:
        stops_s = own_stop_share * float(outcome.trace.time_s[-1])
    return short_circuit_of(brief, design, loading, outcome, own_stop_s=stops_s)


@pytest.fixture(scope="module")
def plain() -> PackShort:
    return shorted()


def test_a_colder_day_weakens_the_weakest_alone(plain):
    warmer, colder = (
        shorted(surroundings={**AROUND, "ambient_min": day}) for day in ("15 degC", "-20 degC")
    )
    assert colder.current.least_a < 0.95 * plain.current.least_a
    assert plain.current.least_a < 0.97 * warmer.current.least_a
    assert colder.current.most_a == plain.current.most_a == warmer.current.most_a
    assert "cells at -20 degC" in colder.weakest


def test_without_a_coldest_day_it_is_as_cold_as_when_switched_on():
    cool = {"ambient": "8 degC"}
    assert "cells at 8 degC" in shorted(surroundings=cool).weakest


def test_a_hotter_day_hardens_the_hardest_alone(plain):
    hotter = shorted(surroundings={**AROUND, "ambient_max": "55 degC"})
    assert hotter.current.most_a > 1.02 * plain.current.most_a
    assert hotter.current.least_a == plain.current.least_a


def test_a_wider_spread_moves_both_ends_apart():
    sure, unsure = (
        shorted(measured={"cell_resistance": "25 mohm", "cell_resistance_spread": spread})
        for spread in (0.02, 0.2)
    )
    # 1.645 standard deviations: 33 % of the cells against 3 %
    assert unsure.current.most_a > 1.2 * sure.current.most_a
    assert unsure.current.least_a < 0.9 * sure.current.least_a


def test_years_of_service_weaken_the_weakest_alone(plain):
    old = shorted(storage={"service_life": "8 years", "uses_per_week": 3})
    assert old.current.least_a < 0.95 * plain.current.least_a
    assert old.current.most_a == plain.current.most_a
    assert "8 years old" in old.weakest
    assert "years" not in plain.weakest


def test_cells_whose_ageing_is_not_known_are_taken_at_their_usual_end(monkeypatch, plain):
    """Twice the resistance; the path keeps its own."""
    from packdesign.planning.assess import short_circuit

    monkeypatch.setattr(short_circuit, "wear_at_service_end", lambda *_: None)
    old = shorted(storage={"service_life": "8 years"})
    assert 0.5 < old.current.least_a / plain.current.least_a < 0.62


def test_the_leads_are_in_the_weakest_and_not_in_the_hardest(plain):
    long = shorted(
        pack={**CELL, "lead": {"awg": 24, "length": "1 m"}, "fuse": {"part": "ATO 10 A"}}
    )
    # 2 m of 24 AWG are 168 milliohm at 20 degC, more than three cells have
    assert long.current.least_a < 0.6 * plain.current.least_a
    # the run alone is another one: its last cells are a little warmer
    assert long.current.most_a == pytest.approx(plain.current.most_a, rel=0.01)


def test_a_device_that_stops_early_leaves_more_behind_the_weakest(plain):
    early = shorted(own_stop_share=0.93)
    assert early.current.least_a > 1.01 * plain.current.least_a
    # never more than a tenth is counted on
    assert shorted(own_stop_share=0.5).current.least_a == pytest.approx(
        shorted(own_stop_share=0.7).current.least_a
    )


@pytest.mark.slow
def test_the_danger_and_the_check_see_the_same_short_circuit():
    """A fuse that breaks 250 A: enough for the likely pack, not for a warm one right behind it."""
    fuse = {"part": "ATO 10 A", "breaking_capacity": "250 A"}
    brief = brief_from_mapping(
        {
            "pack": {**CELL, "lead": LEAD, "fuse": fuse},
            "loads": [{"name": "lamp", "watts": 10}],
            "surroundings": {"ambient": "20 degC", "ambient_max": "45 degC"},
        }
    )
    found = judge_pack(brief)
    checked = {each.id: each for each in found.judged}["fuse_interrupts"]
    assert checked.status is Status.STOP
    assert checked.value is not None
    assert found.situation.pack_resistance_ohm == pytest.approx(12.6 / checked.value)
    dangers = {each.id: each.status for each in found.hazards}
    assert dangers["fuse_breaking_capacity_too_small"] is Status.STOP
