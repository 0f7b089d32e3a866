"""Each hazard holds under its condition, spares its near-miss, and never clears the unknown."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.engineering.thermal.touch import TOUCH_MATERIALS, touch_limit
from packdesign.planning.hazards.design_pack import HELD_SURFACE_DEGC
from packdesign.planning.hazards.gate import HAZARDS, gate
from packdesign.planning.hazards.hazard import Stage
from packdesign.planning.hazards.situation import Situation
from packdesign.planning.verdicts.verdict import Status

CASES: dict[str, dict[str, dict[str, Any]]] = tomllib.loads(
    Path(__file__).with_name("hazard_cases.toml").read_text(encoding="utf-8")
)
BY_ID = {hazard.id: hazard for hazard in HAZARDS}
PUBLISHED_BY_STAGE = {
    Stage.DESIGN: 25, Stage.ASSEMBLY: 9, Stage.CHARGING: 22, Stage.USE: 11, Stage.STORAGE: 9,
    Stage.CARRYING: 11, Stage.REPAIR: 4, Stage.DISPOSAL: 4, Stage.RESPONSE: 7,
}  # fmt: skip
OWN = {
    "no_fuse", "mixed_cell_models", "cell_rating_needs_temperature_cut", "sealed_rigid_cavity",
    "hand_held_surface_too_hot", "charging_below_freezing", "charge_voltage_above_cell",
    "cell_rests_below_cutoff",
}  # fmt: skip
MUST_ASK = {
    "charging_below_freezing", "charge_voltage_above_cell", "charger_for_other_chemistry",
    "no_balancing_path", "cell_rests_below_cutoff", "mixed_cell_models", "salvaged_cells_in_pack",
    "no_fuse", "no_per_group_voltage_watch", "cell_rating_needs_temperature_cut",
    "impossible_capacity_claim",
    "pouch_without_growth_room", "sealed_rigid_cavity", "hand_held_surface_too_hot",
}  # fmt: skip


def situation_of(facts: dict[str, Any]) -> Situation:
    return Situation(**{k: tuple(v) if isinstance(v, list) else v for k, v in facts.items()})


def test_every_hazard_has_a_case_and_every_case_a_hazard():
    assert set(CASES) == set(BY_ID)
    assert len(BY_ID) == len(HAZARDS)


def test_all_published_hazards_are_there():
    counted = Counter(hazard.stage for hazard in HAZARDS if hazard.id not in OWN)
    assert counted == PUBLISHED_BY_STAGE
    assert counted.total() == 102


@pytest.mark.parametrize("name", CASES)
def test_condition_is_flagged_with_its_severity(name):
    flagged = {v.id: v for v in gate(situation_of(CASES[name]["holds"]))}
    assert flagged[name].status is BY_ID[name].severity
    assert flagged[name].reason
    assert flagged[name].fix
    assert flagged[name].source
    assert "{" not in flagged[name].reason
    assert "unknown" not in flagged[name].reason


@pytest.mark.parametrize("name", CASES)
def test_near_miss_is_not_flagged(name):
    near_miss = situation_of(CASES[name]["near_miss"])
    assert BY_ID[name].holds(near_miss) is False
    assert name not in {v.id for v in gate(near_miss)}


@pytest.mark.parametrize("name", CASES)
def test_forgetting_a_fact_of_a_flagged_case_never_clears_it(name):
    facts = CASES[name]["holds"]
    for forgotten in facts:
        rest = {k: v for k, v in facts.items() if k != forgotten}
        assert BY_ID[name].holds(situation_of(rest)) is not False, forgotten


@pytest.mark.parametrize("hazard", HAZARDS, ids=lambda hazard: hazard.id)
def test_nothing_known_is_neither_cleared_nor_flagged(hazard):
    assert hazard.holds(Situation()) is None


def test_unknown_is_reported_exactly_for_what_matters_at_design():
    verdicts = gate(Situation())
    assert {v.id for v in verdicts} == MUST_ASK
    assert {v.status for v in verdicts} == {Status.UNKNOWN}
    assert all(v.fix for v in verdicts)


def test_each_open_question_has_its_own_sentence():
    for hazard in HAZARDS:
        assert bool(hazard.unknown) is bool(hazard.ask), hazard.id
    for verdict in gate(Situation()):
        assert verdict.reason.endswith(".")
        assert verdict.id.replace("_", " ") not in verdict.reason
    fuse = next(each for each in gate(Situation()) if each.id == "no_fuse")
    assert fuse.reason == "It is not known whether a fuse sits between the pack and its first wire."


def test_words_of_a_situation_are_written_for_people():
    told = {v.id: v.reason for v in gate(Situation(cell_origin="used_pack"))}
    assert "(origin: used pack)" in told["salvaged_cells_in_pack"]
    wrong = Situation(charger_chemistry="li_ion", cell_family="lfp")
    told = {v.id: v.reason for v in gate(wrong)}
    assert "for common Li-ion and the cells are LFP" in told["charger_for_other_chemistry"]


@given(st.sets(st.sampled_from(sorted(CASES)), max_size=6), st.data())
def test_knowing_more_never_overturns_an_answer(names, data):
    """Facts dropped at random: an answer given without them stands once they are back."""
    facts: dict[str, Any] = {}
    for name in sorted(names):
        facts |= CASES[name]["near_miss"]
    kept = data.draw(st.sets(st.sampled_from(sorted(facts) or ["series"])))
    partial = situation_of({k: v for k, v in facts.items() if k in kept})
    full = situation_of(facts)
    for hazard in HAZARDS:
        before, after = hazard.holds(partial), hazard.holds(full)
        if before is not None and hazard.id not in DEFAULTED:
            assert after is before


DEFAULTED = {
    # A missing sheet figure is replaced by the stricter published one, so more facts may clear it.
    "charging_below_freezing", "charge_when_hot", "cell_over_hot_limit_in_use",
    "fuse_breaking_capacity_too_small",
}  # fmt: skip


def test_gravest_come_first_and_what_is_cleared_stays_silent():
    situation = Situation(has_fuse=False, has_smoke_alarm=False, cell_origin="new")
    found = gate(situation)
    ranks = [(Status.STOP, Status.CAUTION, Status.UNKNOWN).index(v.status) for v in found]
    assert ranks == sorted(ranks)
    assert "salvaged_cells_in_pack" not in {v.id for v in found}


def test_stages_narrow_the_gate():
    situation = Situation(disposal_route="bin", has_fuse=False)
    assert [v.id for v in gate(situation, stages=[Stage.DISPOSAL])] == ["lithium_in_household_bin"]


@pytest.mark.parametrize(
    ("coldest", "family", "printed", "expected"),
    [
        (-10.0, "lto", -30.0, False),
        (-10.0, "nmc", -20.0, True),
        (5.0, "nmc", 10.0, True),
        (-10.0, "lto", None, True),
    ],
)
def test_freezing_line_is_lowered_only_by_a_sheet_of_a_cell_without_graphite(
    coldest, family, printed, expected
):
    situation = Situation(
        charge_temperature_min_degc=coldest, cell_family=family, cell_charge_min_degc=printed
    )
    assert BY_ID["charging_below_freezing"].holds(situation) is expected


@pytest.mark.parametrize(
    ("load_a", "uncut_a", "easy_a", "expected"),
    [
        (2.0, None, 6.0, False),
        (7.0, None, 6.0, None),
        (7.0, None, None, None),
        (20.0, 15.0, 15.0, True),
        (14.0, 15.0, 15.0, False),
    ],
)
def test_a_temperature_cut_is_asked_for_only_where_the_current_may_need_it(
    load_a, uncut_a, easy_a, expected
):
    situation = Situation(
        cell_rating_needs_temperature_cut=True,
        has_temperature_cut=False,
        cell_load_continuous_a=load_a,
        cell_uncut_continuous_a=uncut_a,
        cell_easy_without_cut_a=easy_a,
    )
    assert BY_ID["cell_rating_needs_temperature_cut"].holds(situation) is expected


def test_hot_limit_in_use_follows_the_sheet():
    hot = BY_ID["cell_over_hot_limit_in_use"]
    # Samsung INR18650-30Q sheet: 75 degC allowed in discharge; 60 degC is the line without a sheet.
    assert hot.holds(Situation(cell_temperature_degc=70.0, cell_discharge_max_degc=75.0)) is False
    assert hot.holds(Situation(cell_temperature_degc=70.0)) is True


def test_salvaged_lto_below_two_volts_is_not_the_graphite_hazard():
    facts = {"cell_voltage_v": 1.4, "cell_family": "lto"}
    assert BY_ID["recharge_after_deep_discharge"].holds(situation_of(facts)) is False


def test_every_fact_serves_some_hazard():
    """A fact that no case uses would be dead weight that a brief fills for nothing."""
    used = {key for case in CASES.values() for facts in case.values() for key in facts}
    used |= {"cell_charge_min_degc", "cell_discharge_max_degc"}
    assert {field.name for field in fields(Situation)} - used == set()


def test_no_source_points_at_a_bare_address():
    assert not [h.id for h in HAZARDS if re.search(r"\d{2,3}\.\d+\.\d+\.\d+", h.source)]


def test_gate_and_verdict_draw_one_line_for_a_held_surface():
    limits = {touch_limit(material=each).low_degc for each in TOUCH_MATERIALS}
    assert limits == {HELD_SURFACE_DEGC}


def test_a_fuse_with_a_rating_is_a_fuse():
    assert BY_ID["no_fuse"].holds(Situation(fuse_a=15.0)) is False
