"""What the tables fill in of a named part, and what is assumed where nobody says anything."""

from __future__ import annotations

import pytest

from packdesign.foundation.basis import Band
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.hazards.gate import gate
from packdesign.planning.needs.assumptions import assumptions_of, rail_output_v
from packdesign.planning.needs.fuse_parts import fuse_of, fuse_part, has_fuse
from packdesign.planning.needs.parts import board_of, connector_of, trip_of
from packdesign.planning.needs.rails import rail_tree_of
from packdesign.planning.needs.situation import situation_of_brief


def test_figures_left_beside_a_fuse_that_is_not_there_do_not_hide_that_it_is_missing():
    brief = brief_from_mapping({"pack": {"fuse": {"kind": "none", "rating": "15 A"}}})
    found = gate(situation_of_brief(brief, None, series=1, parallel=1))
    assert [each.status for each in found if each.id == "no_fuse"] == ["stop"]


def pack_of(**sections: object) -> Pack:
    brief = brief_from_mapping({"pack": sections})
    assert brief.pack is not None
    return brief.pack


@pytest.mark.parametrize(
    ("part", "expected"),
    [
        ("ATO 15 A", "ATO 257/287 15 A"),
        ("Littelfuse MINI 297 5A", "MINI 297 5 A"),
        ("ATO", None),
        ("ATO 14 A", None),
        ("XYZ 15 A", None),
    ],
)
def test_a_fuse_is_found_by_series_and_rating(part, expected):
    found = fuse_part(pack_of(fuse={"part": part}))
    assert (None if found is None else found.name) == expected


def test_a_fuse_of_the_table_brings_its_figures_and_the_brief_goes_first():
    bare = fuse_of(pack_of(fuse={"part": "ATO 15 A"}))
    assert (bare.rating_a, bare.rated_v, bare.breaking_capacity_a) == (15.0, 32.0, 1000.0)
    own = fuse_of(pack_of(fuse={"part": "ATO 15 A", "rated_voltage": "24 V"}))
    assert own.rated_v == 24.0
    assert fuse_of(pack_of(fuse={"part": "none"})) is None
    assert not has_fuse(pack_of(fuse={"kind": "none"}))


def test_a_board_by_name_brings_count_trip_and_delay():
    pack = pack_of(protection={"kind": "board", "board": "4S LiFePO4 20A board"})
    board = board_of(pack)
    # row of the table: 4 cells, 20 A, trips at 40 to 60 A after 20 ms, 3.75 V and 2.1 V
    assert (board.series, board.continuous_a, board.overcurrent_delay_s) == (4, 20.0, 0.02)
    assert (board.overcharge_trip_v, board.undervoltage_trip_v) == (3.75, 2.1)
    assert trip_of(pack) == Band(40.0, 50.0, 60.0)
    stated = pack_of(protection={"kind": "board", "overcurrent_trip": "40 A"})
    assert trip_of(stated) == Band(32.0, 40.0, 48.0)
    assert trip_of(pack_of(protection={"kind": "board", "board": "nobody knows it"})) is None


def test_a_connector_by_name_brings_its_rating():
    assert connector_of(pack_of(connector={"name": "XT60"})).rating_a == 30.0
    assert connector_of(pack_of(connector={"name": "own make"})).rating_a is None


def rails_of(*rails: dict[str, object]) -> Brief:
    return brief_from_mapping({"rails": list(rails)})


def test_a_rail_takes_its_voltage_from_part_name_or_habit():
    brief = rails_of({"name": "logic", "part": "LM2596-5.0"}, {"name": "3.3 V"}, {"name": "servo"})
    volts = [rail_output_v(rail) for rail in brief.rails]
    assert volts == [(5.0, True), (3.3, True), (5.0, False)]
    assert [each.about for each in assumptions_of(brief)] == ["voltage of servo"]
    regulator = rail_tree_of(brief).rails[0].regulator
    # LM2596-5.0: 7 to 40 V in, 80 %, TI sheet
    assert (regulator.lowest_input_v, regulator.highest_input_v) == (7.0, 40.0)
    assert regulator.efficiency_points[0][1] == pytest.approx(0.8)


def test_a_full_brief_assumes_nothing():
    from packdesign.planning.brief.examples import example_names, example_text
    from packdesign.planning.brief.load import brief_from_text

    for name in example_names():
        assert assumptions_of(brief_from_text(example_text(name))) == ()
