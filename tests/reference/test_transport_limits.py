"""Watt-hours and transport classes against published examples and rules."""

from __future__ import annotations

import pytest

from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.hazards.transport import (
    CargoRule,
    PassengerRule,
    energy_wh,
    largest_capacity_ah,
    transport,
)

# A builders' forum thread on flying with packs (dronevibes.com, "restrictions about lipos"), at
# 3.7 V per cell: 6 cells 4.0 Ah are 88.8 Wh, 6 cells 5.0 Ah and 3 cells 10 Ah are 111 Wh; 24.42 Wh
# and the largest capacities follow by arithmetic.
FORUM = [(6, 4.0, 88.8), (6, 5.0, 111.0), (3, 10.0, 111.0), (3, 2.2, 24.42)]


@pytest.mark.parametrize(("series", "capacity_ah", "expected_wh"), FORUM)
def test_energy_of_the_forum_packs(series, capacity_ah, expected_wh):
    found = energy_wh(nominal_v=series * 3.7, capacity_ah=capacity_ah)
    assert found == pytest.approx(expected_wh, abs=0.005)


@pytest.mark.parametrize(("series", "expected_ah"), [(3, 9.0), (4, 6.76)])
def test_largest_capacity_within_100_wh(series, expected_ah):
    found = largest_capacity_ah(limit_wh=100.0, nominal_v=series * 3.7)
    assert found == pytest.approx(expected_ah, abs=0.01)


def test_airline_page_example():
    # TSA and airline pages: 11.1 V x 5 Ah = 55.5 Wh.
    assert energy_wh(nominal_v=11.1, capacity_ah=5.0) == pytest.approx(55.5)


@pytest.mark.parametrize(
    ("battery_wh", "expected"),
    [
        (99.0, PassengerRule.FREE),
        (100.0, PassengerRule.FREE),
        (100.1, PassengerRule.APPROVAL),
        (160.0, PassengerRule.APPROVAL),
        (160.1, PassengerRule.FORBIDDEN),
    ],
)
def test_passenger_lines_at_100_and_160_wh(battery_wh, expected):
    # IATA DGR 67th edition as reported 2026-03-12; TSA; IATA leaflet 2018 for "over 160".
    assert transport(battery_wh=battery_wh, cell_wh=10.0).passenger is expected


@pytest.mark.parametrize(
    ("battery_wh", "cell_wh", "expected"),
    [(100.0, 20.0, True), (100.1, 20.0, False), (99.0, 20.1, False)],
)
def test_small_limits_of_20_and_100_wh(battery_wh, cell_wh, expected):
    # Packing instruction 965 section II table, on a maker's safety sheet (Makita BL1860B p.4).
    assert transport(battery_wh=battery_wh, cell_wh=cell_wh).is_small is expected


@pytest.mark.parametrize(
    ("how", "cell_wh", "number", "most_charge"),
    [
        ({}, 10.0, CargoRule.ALONE, 0.30),
        ({"packed_with_equipment": True}, 10.0, CargoRule.WITH_OR_IN_EQUIPMENT, 0.30),
        ({"packed_with_equipment": True}, 2.7, CargoRule.WITH_OR_IN_EQUIPMENT, None),
        ({"in_equipment": True}, 10.0, CargoRule.WITH_OR_IN_EQUIPMENT, None),
    ],
)
def test_thirty_percent_rule(how, cell_wh, number, most_charge):
    # UN 3480: PHMSA HM-224I. UN 3481 packed with: mandatory from 2026-01-01 above 2.7 Wh per cell;
    # contained in: a recommendation (Lion Technology 2024-10-21).
    found = transport(battery_wh=30.0, cell_wh=cell_wh, **how)
    assert found.cargo is number
    assert found.air_cargo_soc_fraction == most_charge


def test_a_home_built_pack_has_no_report_and_may_not_go_by_air_or_post():
    built = transport(battery_wh=30.0, cell_wh=10.0)
    assert not built.may_travel_by_air_or_post
    assert "no UN 38.3 report" in built.notes[0]
    tested = transport(battery_wh=30.0, cell_wh=10.0, un38_3_tested=True)
    assert tested.may_travel_by_air_or_post
    assert not any("no UN 38.3 report" in note for note in tested.notes)


def test_rules_are_dated():
    for note in transport(battery_wh=30.0, cell_wh=10.0).notes[:-1]:
        assert any(year in note for year in ("2017", "2018", "2019", "2024", "2026")), note


@pytest.mark.parametrize(("battery_wh", "cell_wh"), [(0.0, 10.0), (30.0, -1.0)])
def test_no_energy_is_an_error(battery_wh, cell_wh):
    with pytest.raises(OutOfRangeError, match="above 0 Wh"):
        transport(battery_wh=battery_wh, cell_wh=cell_wh)
