"""Briefs side by side: what differs, what does not, and who ranks first."""

from __future__ import annotations

import pytest

from packdesign.foundation.errors import BriefError
from packdesign.planning.assess.service import assess
from packdesign.planning.brief.change import changed_brief
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.brief.schema import Brief
from packdesign.planning.compare.service import compare
from packdesign.planning.verdicts.verdict import Status


@pytest.fixture(scope="module")
def lamp() -> Brief:
    """Give a lamp on three cells, wished to burn for an hour."""
    return brief_from_mapping(
        {
            "title": "lamp",
            "pack": {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1},
            "cavity": {"shape": "box", "length": "75 mm", "width": "65 mm", "height": "42 mm",
                       "closure": "vented"},
            "loads": [
                {"name": "lamp", "watts": 30.0, "min_voltage": "8.5 V", "max_voltage": "13 V"}
            ],
            "mission": {"run_time": "1 h"},
        }
    )  # fmt: skip


@pytest.fixture(scope="module")
def doubled(lamp):
    """Give the lamp beside itself with two cells in parallel."""
    change = {"pack.parallel": 2}
    return compare({"lamp": lamp, "two": changed_brief(lamp, change, name="two")})


def row(found, what):
    return next(each for each in found.figures if each.what == what)


def test_a_second_cell_doubles_energy_and_mass_and_lasts_the_hour(doubled):
    assert [each.name for each in doubled.packs] == ["lamp", "two"]
    assert row(doubled, "energy").changes == (0.0, pytest.approx(1.0))
    assert row(doubled, "run time").changes[1] > 1.0, "less current a cell gives more than double"
    run_time = next(each for each in doubled.verdicts if each.id == "run_time")
    assert run_time.statuses == (Status.STOP, Status.OK)
    assert run_time.differs
    assert doubled.best is doubled.packs[1]
    assert [each.rank for each in doubled.packs] == [2, 1]


def test_a_column_holds_what_the_assessment_says(lamp, doubled):
    own = assess(lamp)
    first = doubled.packs[0]
    assert first.pack is not None
    assert first.pack.verdicts == own.verdicts
    assert row(doubled, "run time").values[0] == own.discharge.run_time_s.mid
    assert row(doubled, "lowest voltage").values[0] == own.discharge.min_voltage_v.mid
    assert first.charge_time_s == own.charge.charge.time_s.mid


def test_a_brief_without_a_cell_is_given_one_and_says_so(lamp):
    free = changed_brief(
        lamp, {"pack": None, "preferences.only_cells": ["Samsung SDI INR18650-25R"]}
    )
    found = compare({"named": lamp, "free": free})
    assert [each.was_chosen for each in found.packs] == [False, True]
    chosen = found.packs[1].pack
    assert chosen is not None
    assert chosen.trial.parallel >= 2, "one cell does not last the hour"


def test_a_brief_for_which_nothing_passes_stands_there_without_a_pack(lamp):
    hopeless = changed_brief(lamp, {"pack": None, "mission.run_time": "100 h"})
    found = compare({"lamp": lamp, "hopeless": hopeless})
    assert found.packs[1].pack is None
    assert found.packs[1].problem == "no pack of the shortlist passes"
    assert row(found, "run time").values[1] is None
    assert found.packs[0].rank == 1


def test_one_brief_is_no_comparison(lamp):
    with pytest.raises(BriefError, match="two briefs or a change of one; got 1"):
        compare({"lamp": lamp})


def test_a_key_that_does_not_exist_is_refused_by_name(lamp):
    with pytest.raises(BriefError, match="no key 'paralel'"):
        changed_brief(lamp, {"pack.paralel": 2}, name="lamp")
