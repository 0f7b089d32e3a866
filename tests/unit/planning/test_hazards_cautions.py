"""The cautions: said with every result, and added where this pack calls for them."""

from __future__ import annotations

import pytest

from packdesign.planning.cautions import cautions_for, general_cautions
from packdesign.planning.hazards.situation import Situation


def test_general_cautions_say_openly_what_fire_services_advise_with_source_and_date():
    first = general_cautions()[0]
    assert "advise against building" in first
    assert "Fire and Rescue NSW" in first
    assert "2025-02-11" in first


@pytest.mark.parametrize(
    "words",
    ["present and awake", "does not burn", "0 degC", "datasheet", "local codes", "licensed",
     "call the fire service"],
)  # fmt: skip
def test_general_cautions_cover(words):
    assert words in " ".join(general_cautions())


def test_nothing_known_adds_nothing():
    assert cautions_for(Situation()) == ()


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ({"charge_count": 0}, "First charge"),
        ({"un38_3_tested": False}, "UN 38.3"),
        ({"energy_wh": 111.0}, "100 Wh"),
        ({"surface_degc": 46.0}, "43 degC"),
        ({"series": 3}, "drift apart"),
        ({"cell_charge_min_degc": -20.0}, "follow that sheet"),
        ({"parallel": 2}, "50 mV"),
        ({"cell_form": "pouch"}, "pierce"),
        ({"cell_rating_needs_temperature_cut": True}, "cut-off"),
        (
            {
                "cell_rating_needs_temperature_cut": True,
                "cell_load_continuous_a": 7.0,
                "cell_easy_without_cut_a": 6.0,
            },
            "fit that cut-off",
        ),
        (
            {
                "cell_rating_needs_temperature_cut": True,
                "cell_load_continuous_a": 2.0,
                "cell_easy_without_cut_a": 6.0,
            },
            "too little",
        ),
        ({"cell_origin": "scrap"}, "past"),
        ({"cavity_is_sealed": True, "cavity_is_rigid": True}, "burst"),
        ({"cell_family": "lfp"}, "chemistry"),
    ],
)
def test_this_very_pack(facts, words):
    (said,) = cautions_for(Situation(**facts))
    assert words in said
    assert "(" in said


@pytest.mark.parametrize(
    "facts",
    [
        {"charge_count": 3},
        {"un38_3_tested": True},
        {"energy_wh": 99.0},
        {"surface_degc": 40.0},
        {"series": 1, "parallel": 1},
        {"cell_form": "cylinder", "cell_family": "nmc", "cell_origin": "new"},
    ],
)
def test_what_does_not_apply_is_not_said(facts):
    assert cautions_for(Situation(**facts)) == ()
