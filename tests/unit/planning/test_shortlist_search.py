"""What is searched: which packs are tried, what keeps a cell out, and what a change must do."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Cell, CellForm, Family
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.brief.schema import Brief
from packdesign.planning.shortlist.envelope import MOST_SERIES, envelope_of, open_brief
from packdesign.planning.shortlist.need import Need
from packdesign.planning.shortlist.record import Stage
from packdesign.planning.shortlist.rooms import Rooms
from packdesign.planning.shortlist.search import Search, search

Make = Callable[..., Cell]

SOME = tuple(load_cells())[::6]
"""Every sixth cell of the table: all forms and families, in a quarter of a second."""


def lamp(
    *, length_mm: float = 150.0, bore_mm: float = 46.0, least_v: float = 6.0, most_v: float = 13.0,
    **more: Any,
) -> Brief:  # fmt: skip
    """Give a lamp of 4 W in a tube."""
    return brief_from_mapping(
        {
            "cavity": {
                "shape": "tube",
                "bore": f"{bore_mm} mm",
                "length": f"{length_mm} mm",
                "closure": "vented",
            },
            "loads": [
                {
                    "name": "lamp",
                    "watts": 4.0,
                    "min_voltage": f"{least_v} V",
                    "max_voltage": f"{most_v} V",
                }
            ],
            **more,
        }
    )


def searched(brief: Brief, cells: tuple[Cell, ...] = SOME, need_wh: float | None = None) -> Search:
    wanted = open_brief(brief)
    return search(
        wanted, cells, Rooms(wanted), envelope_of(wanted), Need(energy_wh=need_wh, rms_w=4.0)
    )


def names(found: Search) -> set[str]:
    return {trial.name for trial in found.trials}


@settings(max_examples=15, deadline=None)
@given(
    bore_mm=st.floats(30, 80),
    length_mm=st.floats(60, 250),
    wider_mm=st.floats(0, 20),
    longer_mm=st.floats(0, 60),
)
def test_a_larger_cavity_never_shortens_the_list(bore_mm, length_mm, wider_mm, longer_mm):
    small = searched(lamp(bore_mm=bore_mm, length_mm=length_mm))
    large = searched(lamp(bore_mm=bore_mm + wider_mm, length_mm=length_mm + longer_mm))
    assert names(small) <= names(large)
    assert small.fit <= large.fit


@settings(max_examples=25, deadline=None)
@given(
    least_v=st.floats(3, 11),
    higher_v=st.floats(0, 6),
    most_v=st.floats(12, 30),
    lower_v=st.floats(0, 8),
)
def test_tighter_voltages_never_add_a_pack(least_v, higher_v, most_v, lower_v):
    wide = searched(lamp(least_v=least_v, most_v=max(most_v, least_v + 0.5)))
    least_v, most_v = least_v + higher_v, most_v - lower_v
    if most_v > least_v:
        assert names(searched(lamp(least_v=least_v, most_v=most_v))) <= names(wide)


def test_every_cell_is_tried_or_told_off():
    found = searched(lamp())
    tried = {trial.cell.name for trial in found.trials}
    fallen = {each.cell.name for each in found.rejected}
    assert tried | fallen == {cell.name for cell in SOME}
    assert not tried & fallen
    assert found.considered >= found.fit >= len(found.trials)


def test_every_pack_keeps_the_voltages_and_goes_in():
    brief = lamp()
    rooms = Rooms(brief)
    for trial in searched(brief).trials:
        assert trial.series * trial.cell.full_v <= 13.0
        assert trial.series * trial.cell.nominal_v >= 6.0
        assert trial.count <= rooms.of(trial.cell).most


def test_where_nothing_asks_for_more_one_cell_is_looked_at():
    """No voltage, no room, no time: counts are the least that carry the current twice."""
    brief = brief_from_mapping({"loads": [{"name": "lamp", "watts": 4.0}]})
    found = searched(brief)
    assert {each.series for each in found.trials} == {1}
    for each in found.trials:
        one_a = each.cell.continuous_a or each.cell.capacity_ah
        assert (each.parallel - 1) * one_a < 2 * 4.0 / each.cell.nominal_v


def test_no_pack_is_full_above_what_is_safe_to_touch():
    brief = brief_from_mapping({"loads": [{"name": "lamp", "watts": 4.0, "min_voltage": "2 V"}]})
    assert envelope_of(brief).most_series == MOST_SERIES
    assert MOST_SERIES * 4.2 < 60.0 < (MOST_SERIES + 1) * 4.2


@pytest.mark.parametrize(
    ("least_v", "most_v", "words"),
    [
        (12.2, 12.4, r"2 in series hold 7.2 V, 5.0 V under what lamp needs \(12.2 V\)"),
        (3.0, 4.0, r"1 in series are full at 4.2 V, 0.2 V over what lamp bears \(4.0 V\)"),
    ],
)
def test_a_cell_of_the_wrong_voltage_says_by_how_much(make_cell: Make, least_v, most_v, words):
    found = searched(lamp(least_v=least_v, most_v=most_v), (make_cell(diameter_m=0.0184),))
    assert not found.trials
    assert found.rejected[0].stage is Stage.VOLTAGE
    assert re.search(words, found.rejected[0].reason)


def test_a_cell_that_holds_too_little_says_how_far_it_comes(make_cell: Make):
    cell = make_cell(diameter_m=0.0184, length_m=0.065)
    found = searched(lamp(bore_mm=24.0, length_mm=230.0), (cell,), need_wh=65.0)
    told = found.rejected[0]
    assert (told.stage, told.limit) == (Stage.ENERGY, "energy")
    assert told.reason.startswith("holds 32.4 Wh")  # three of 10.8 Wh in one line
    assert told.over_fraction == pytest.approx(1 - 32.4 / 65.0)


def test_preferences_leave_out_by_family_form_and_name(make_cell: Make):
    iron = make_cell(part_number="F", family=Family.LFP, nominal_v=3.2, full_v=3.65)
    flat = make_cell(part_number="P", form=CellForm.POUCH, thickness_m=0.01)
    hated, liked = make_cell(part_number="H"), make_cell(part_number="L")
    brief = lamp(
        preferences={
            "families": ["nmc"],
            "forms": ["cylinder"],
            "never_cells": ["Example H"],
        }
    )
    found = searched(brief, (iron, flat, hated, liked))
    told = {each.cell.part_number: each.reason for each in found.rejected}
    assert "chemistry (lfp)" in told["F"]
    assert "form (pouch)" in told["P"]
    assert "never wanted" in told["H"]
    assert {trial.cell.part_number for trial in found.trials} == {"L"}


def test_a_charger_for_another_chemistry_keeps_a_cell_out(make_cell: Make):
    iron = make_cell(family=Family.LFP, nominal_v=3.2, full_v=3.65, cutoff_v=2.0)
    found = searched(lamp(charger={"chemistry": "li_ion"}), (iron,))
    assert found.rejected[0].limit == "charger_chemistry"
    set_high = searched(lamp(charger={"end_voltage_per_cell": "4.2 V"}), (iron,))
    assert set_high.rejected[0].limit == "charge_voltage"
    assert "0.55 V over its 3.65 V" in set_high.rejected[0].reason


def test_the_board_fixes_the_count_in_series_unless_it_is_left_open():
    brief = lamp(pack={"protection": {"kind": "board", "series": 3}})
    assert {trial.series for trial in searched(brief).trials} == {3}
    free = open_brief(brief, any_parts=True)
    assert len({envelope_of(free).least_series, envelope_of(free).most_series}) == 2


def test_a_named_cell_is_asked_about_with_all_others_but_counts_alone_are_a_wish():
    named = open_brief(lamp(pack={"cell": "Samsung SDI INR18650-25R", "series": 3}))
    assert named.pack is not None
    assert named.pack.cell is named.pack.series is None
    wished = open_brief(lamp(pack={"series": 3}))
    assert {trial.series for trial in searched(wished).trials} == {3}


def test_what_was_measured_of_one_pack_says_nothing_of_another():
    old = {"age": "5 years", "cycles_done": 300}
    pack = {"cell": "Samsung SDI INR18650-25R", "series": 3, **old}
    given = lamp(pack=pack, measured={"cell_capacity": "1200 mAh", "cell_resistance": "90 mohm"})
    assert given.measured is not None
    free = open_brief(given)
    assert free.measured is None
    assert free.pack is not None
    assert free.pack.age_s is free.pack.cycles_done is None


def test_a_size_nobody_knows_is_said_and_not_guessed(make_cell: Make):
    found = searched(lamp(), (make_cell(size_code="odd"),))
    assert found.rejected[0].stage is Stage.ROOM
    assert "nobody knows whether it fits" in found.rejected[0].reason


def test_a_pack_over_the_mass_wanted_is_left_out_and_says_how_heavy_it_is():
    cells = (load_cells().find("Samsung SDI INR18650-25R"),)
    free = searched(lamp(bore_mm=60, length_mm=240), cells, need_wh=20.0)
    held = searched(
        lamp(bore_mm=60, length_mm=240, preferences={"mass_max": "200 g"}), cells, need_wh=20.0
    )
    assert {trial.count for trial in held.trials} == {
        trial.count for trial in free.trials if trial.count * 45 <= 200
    }
    assert {trial.count for trial in free.trials} - {trial.count for trial in held.trials}
    none = searched(lamp(preferences={"mass_max": "80 g"}), cells)
    (fallen,) = none.rejected
    assert fallen.limit == "mass"
    assert re.search(r"cells alone weigh \d+ g; 80 g are wanted", fallen.reason)
    assert fallen.keys == {"preferences.mass_max": f"{fallen.change.split()[-2]} g"}
