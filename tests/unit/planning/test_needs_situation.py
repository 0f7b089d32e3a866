"""Every fact that a brief is asked for reaches the gate of hazards, and changes what it says."""

from __future__ import annotations

import pytest

from packdesign.data.cell_table import load_cells
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.hazards.gate import gate
from packdesign.planning.needs.situation import situation_of_brief
from packdesign.planning.verdicts.verdict import Status, Verdict

CELL = load_cells().find("Samsung SDI INR18650-25R")


def found_in(**sections: object) -> dict[str, Verdict]:
    situation = situation_of_brief(brief_from_mapping(sections), CELL, series=3, parallel=1)
    return {each.id: each for each in gate(situation)}


@pytest.mark.parametrize(
    ("hazard", "danger", "safe"),
    [
        (
            "trigger_can_switch_on_in_bag",
            {"pack": {"removable": False, "switch": {"locks": False}}},
            {"pack": {"removable": True, "switch": {"locks": False}}},
        ),
        (
            "energy_label_missing",
            {"pack": {"label_printed": False}, "carrying": {"mode": "air"}},
            {"pack": {"label_printed": True}, "carrying": {"mode": "air"}},
        ),
        (
            "reset_trip_without_measuring",
            {"measured": {"condition": {"board_tripped": True}}},
            {
                "measured": {
                    "condition": {"board_tripped": True},
                    "group_voltages": ["3.7 V", "3.7 V", "3.7 V"],
                }
            },
        ),
        (
            "extension_lead_for_charger",
            {"charger": {"current": "1 A", "mains": "daisy_chain"}},
            {"charger": {"current": "1 A", "mains": "wall_socket"}},
        ),
        (
            "makeshift_mains_feed",
            {"charger": {"current": "1 A", "mains": "makeshift"}},
            {"charger": {"current": "1 A", "mains": "wall_socket"}},
        ),
        (
            "charging_on_soft_or_flammable",
            {"charger": {"current": "1 A", "surface": "stone", "combustible_within": "0.3 m"}},
            {"charger": {"current": "1 A", "surface": "stone", "combustible_within": "2 m"}},
        ),
        (
            "charge_straight_after_hard_use",
            {
                "charger": {"current": "1 A", "rest_after_use": "5 min"},
                "measured": {"temperature": "45 degC"},
            },
            {
                "charger": {"current": "1 A", "rest_after_use": "60 min"},
                "measured": {"temperature": "45 degC"},
            },
        ),
        (
            "live_pins_exposed",
            {"carrying": {"terminals_covered": False}},
            {"carrying": {"terminals_covered": True}},
        ),
        (
            "charging_wet_pack",
            {"measured": {"condition": {"was_wet": True}}},
            {"measured": {"condition": {"was_wet": False}}},
        ),
    ],
)
def test_fact_of_the_brief_reaches_its_hazard(
    hazard: str, danger: dict[str, object], safe: dict[str, object]
) -> None:
    assert found_in(**danger)[hazard].status in (Status.STOP, Status.CAUTION)
    assert hazard not in found_in(**safe)
