"""One danger is said once in an assessment, by whoever computed more, and never lost."""

from __future__ import annotations

import pytest

from packdesign.foundation.basis import Basis
from packdesign.planning.assess.parts import judged_gauge
from packdesign.planning.assess.service import gate_of, judge_pack
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.hazards.gate import HAZARDS, gate
from packdesign.planning.hazards.said_once import GRAVER_SISTER, SAME_DANGER, said_once
from packdesign.planning.verdicts.verdict import Status, Verdict

HARSH = {
    "pack": {
        "cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 2,
        "protection": {"kind": "board", "series": 4, "continuous": "2 A",
                       "overcharge_trip": "4.5 V"},
        "fuse": {"kind": "fuse", "rating": "60 A", "breaking_capacity": "50 A"},
        "lead": {"awg": 24, "length": "200 mm"},
    },
    "surroundings": {"ambient": "35 degC", "ambient_max": "55 degC", "hand_held": True},
    "loads": [{"name": "heater", "watts": 100}],
    "mission": {"run_time": "5 min"},
    "charger": {"current": "12 A", "end_voltage_per_cell": "4.3 V", "end_current": "0.3 A",
                "temperature_min": "-5 degC", "temperature_max": "60 degC"},
    "measured": {"group_voltages": ["2.6 V", "3.6 V", "3.6 V"]},
}  # fmt: skip


def verdict(name: str, status: Status) -> Verdict:
    return Verdict(id=name, status=status, reason="", fix="", basis=Basis.ASSUMED, source="")


def test_each_danger_of_a_harsh_brief_is_said_by_its_check_alone() -> None:
    found = judge_pack(brief_from_mapping(HARSH))
    said = {each.id: each for each in gate(found.situation) if each.status is Status.STOP}
    left_out = set(said) - {each.id for each in found.dangers}
    assert left_out == {
        "fuse_bigger_than_wire", "fuse_breaking_capacity_too_small", "bms_series_count_wrong",
        "bms_voltage_for_other_chemistry", "bms_current_rating_below_load",
        "hand_held_surface_too_hot", "charging_below_freezing", "charge_when_hot",
        "charge_voltage_above_cell", "charger_current_too_high",
    }  # fmt: skip
    stops = {each.id for each in found.judged if each.status is Status.STOP}
    for name in left_out:
        assert stops & set(SAME_DANGER[name])
    assert "wire_current_over_limit" not in {each.id for each in found.dangers}
    assert "group_gap_after_build" not in {each.id for each in found.dangers}


@pytest.mark.parametrize(
    ("hazard", "check", "is_kept"),
    [
        (Status.STOP, Status.STOP, False),
        (Status.STOP, Status.CAUTION, True),
        (Status.STOP, Status.UNKNOWN, True),
        (Status.UNKNOWN, Status.UNKNOWN, False),
        (Status.UNKNOWN, Status.OK, True),
        (Status.CAUTION, Status.STOP, False),
    ],
)
def test_a_check_that_says_less_does_not_silence_the_gate(
    hazard: Status, check: Status, is_kept: bool
) -> None:
    gate_says = [verdict("charging_below_freezing", hazard)]
    assert bool(said_once(gate_says, [verdict("charge_cold", check)])) is is_kept


def test_a_check_of_something_else_does_not_silence_the_gate() -> None:
    gate_says = [verdict("charging_below_freezing", Status.STOP)]
    assert said_once(gate_says, [verdict("charge_hot", Status.STOP)]) == tuple(gate_says)


def test_no_mild_advice_stands_beside_the_grave_one() -> None:
    """ "Bring it up at a twentieth" and "recharge gently" spoke against "do not charge it"."""
    sections = {
        "pack": {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1},
        "charger": {"current": "1 A"},
        "measured": {
            "group_voltages": ["1.8 V", "2.6 V", "2.6 V"],
            "condition": {"time_below_floor": "2 day"},
        },
    }
    flagged = gate(gate_of(brief_from_mapping(sections)))
    mild = {"cell_rests_below_cutoff", "low_cell_charged_fast", "run_below_floor_voltage"}
    assert mild <= {each.id for each in flagged}
    left = {each.id for each in said_once(flagged, ())}
    assert not mild & left
    assert "recharge_after_deep_discharge" in left


def test_a_command_that_shows_no_check_keeps_its_hazards() -> None:
    """The gauge shows its own checks only: what others would say must still be said."""
    found = judged_gauge(brief_from_mapping(HARSH))
    assert "charging_below_freezing" in {each.id for each in found.dangers}


def test_the_tables_name_hazards_that_exist() -> None:
    known = {hazard.id for hazard in HAZARDS}
    named = {*SAME_DANGER, *GRAVER_SISTER, *(n for names in GRAVER_SISTER.values() for n in names)}
    assert named <= known
