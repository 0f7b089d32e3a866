"""Every parts table, walked: sources, bases, ranges, order of ranges, unique names."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable
from dataclasses import fields
from typing import Any

import pytest

from packdesign.data.boards import find_board, load_boards
from packdesign.data.conductors import load_conductors, wire
from packdesign.data.connectors import find_connector, load_connectors
from packdesign.data.controllers import controller_rows, load_controllers
from packdesign.data.folder import table_path
from packdesign.data.fuses import load_fuses, load_resettable_fuses
from packdesign.data.materials import find_material, load_materials
from packdesign.data.motors import find_motor, load_motors
from packdesign.data.record_reader import field_of_column
from packdesign.data.regulators import find_regulator, load_regulators
from packdesign.data.supplies import load_charger_circuits, load_supply_levels
from packdesign.data.switches import find_switch, load_switches
from packdesign.data.touch_limits import load_touch_limits
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import UnknownNameError

LOADERS = {
    "boards": load_boards,
    "chargers": load_charger_circuits,
    "conductors": load_conductors,
    "connectors": load_connectors,
    "controllers": load_controllers,
    "fuses": load_fuses,
    "materials": load_materials,
    "motors": load_motors,
    "regulators": load_regulators,
    "resettable_fuses": load_resettable_fuses,
    "supplies": load_supply_levels,
    "switches": load_switches,
    "touch_limits": load_touch_limits,
}
EACH = pytest.mark.parametrize("name", LOADERS)
ALL_TABLES = sorted(table_path("cells.csv").parent.rglob("*.csv"))


def _records(name: str) -> Iterable[Any]:
    return LOADERS[name]()  # type: ignore[operator]


@EACH
def test_each_record_has_a_source_and_a_basis(name: str) -> None:
    for record in _records(name):
        assert record.source
        assert isinstance(record.basis, Basis)
        if "from memory" in record.source and not re.search(";|, |\\(", record.source):
            assert record.basis is Basis.ASSUMED


@EACH
def test_low_ends_of_ranges_lie_below_high_ends(name: str) -> None:
    for record in _records(name):
        names = {field.name for field in fields(record)}
        for low_name in names:
            for low, high in (("min", "max"), ("low", "high"), ("shortest", "longest")):
                high_name = re.sub(rf"(^|_){low}(_|$)", rf"\1{high}\2", low_name)
                if high_name == low_name or high_name not in names:
                    continue
                ends = getattr(record, low_name), getattr(record, high_name)
                if None not in ends:
                    assert ends[0] <= ends[1], (record, low_name)


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("boards", ("part", "maker")),
        ("chargers", ("part",)),
        ("conductors", ("kind", "awg")),
        ("fuses", ("series", "rated_a")),
        ("materials", ("material", "use")),
        ("motors", ("motor",)),
        ("regulators", ("part",)),
        ("resettable_fuses", ("series", "hold_a", "highest_v")),
        ("supplies", ("level",)),
        ("switches", ("part",)),
    ],
)
def test_names_are_unique(name: str, key: tuple[str, ...]) -> None:
    seen = [tuple(getattr(record, part) for part in key) for record in _records(name)]
    assert len(set(seen)) == len(seen)


@pytest.mark.parametrize("path", ALL_TABLES, ids=[path.stem for path in ALL_TABLES])
def test_no_table_carries_traces_of_how_it_was_gathered(path: Any) -> None:
    text = path.read_text(encoding="utf-8")
    assert not re.search(r"\d+\.\d+\.\d+\.\d+[:/]", text), "an address of a bare machine"
    assert not re.search(r"/(work|tmp|home|root)/|read_file|find_string", text)
    assert not re.search(r"\bstored\b(?! hot)|\bexcerpt\b|\bcorpora\b", text)


@pytest.mark.parametrize("path", ALL_TABLES, ids=[path.stem for path in ALL_TABLES])
def test_a_column_of_numbers_ends_in_its_unit(path: Any) -> None:
    """Counts, gauges, fractions and the names of settings have none."""
    plain = {
        "awg", "awg_thickest", "awg_thinnest", "bits", "gear_ratio", "mating_cycles", "ratio",
        "ratio_low", "ratio_high", "emissivity", "emissivity_low", "emissivity_high", "stranding",
        "contacts_min", "contacts_max", "cells_in_series_min", "cells_in_series_max", "c_rate",
        "size_code", "year", "contact", "brownout_level", "part", "part_number",
        "trade_name", "series", "batch",
    }  # fmt: skip
    units = (
        "_mah|_v|_a|_w|_s|_milliohm|_ohm|_kohm|_mm|_mm2|_g|_degc|_k|_mv|_ma|_ua|_us|_percent|"
        "_fraction|_mnm|_rpm|_gcm2|_pf|_lsb|_a2s|_v_dc|_v_ac|_per_m|_per_k|_per_w|_per_a|_k_per_w|"
        "_per_m_k|_ohm_m|_per_month|_j_per_kg_k"
    )
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            for column, text in row.items():
                if column in plain or not re.fullmatch(r"-?\d+(\.\d+)?(e-?\d+)?", text or ""):
                    continue
                assert re.search(f"({units})$", column), (column, text)


def test_the_unit_of_a_column_becomes_si() -> None:
    assert field_of_column("on_resistance_at_4v5_milliohm") == ("on_resistance_at_4v5_ohm", 1e-3)
    assert field_of_column("conductor_mm2") == ("conductor_m2", 1e-6)
    assert field_of_column("rated_a") == ("rated_a", 1.0)


def test_lookups_find_and_offer() -> None:
    assert find_material("Pure Nickel").resistivity_ohm_m == pytest.approx(6.99e-8)
    assert find_board("umw dw01a").overcurrent_v == pytest.approx(0.140)
    assert find_regulator("mcp1703").dropout_v == pytest.approx(0.625)
    assert find_motor("Faulhaber 1524 SR 6 V").torque_constant_nm_per_a == pytest.approx(6e-3)
    assert find_switch("AOD4184A").on_resistance_at_4v5_ohm == pytest.approx(9.5e-3)
    assert {row.source_impedance_most_ohm for row in controller_rows("stm32f103")} >= {400, 50_000}
    for function, near in (
        (find_material, "pure nickle"),
        (find_board, "DW01B"),
        (find_regulator, "MCP1705"),
        (find_motor, "37D 12 V 31:1"),
        (find_switch, "AO3400B"),
        (find_connector, "XT61"),
        (controller_rows, "RP2041"),
    ):
        with pytest.raises(UnknownNameError, match="nearest: "):
            function(near)  # type: ignore[operator]
    with pytest.raises(UnknownNameError, match="no wire named '7 AWG"):
        wire(7)


def test_of_several_ratings_of_a_connector_the_lowest_is_given() -> None:
    ratings = {each.rated_a for each in load_connectors() if each.trade_name == "XT60"}
    assert ratings == {30, 40, 60}
    assert find_connector("xt60").rated_a == 30
    assert find_connector("XT30").rated_a == 15


def test_fuse_gates_rise_in_current_and_shorten() -> None:
    for fuse in load_fuses():
        multiples = [gate.rating_fraction for gate in fuse.gates]
        assert multiples == sorted(multiples)
        opening = [gate.longest_s for gate in fuse.gates if gate.longest_s is not None]
        assert opening == sorted(opening, reverse=True), fuse.name


def test_blade_fuse_gates_as_quoted_from_the_sheet() -> None:
    """Littelfuse ATOF 287, 35 to 40 A: 0.75 to 600 s at 135 %, 0.15 to 5 s at 200 %."""
    fuse = next(each for each in load_fuses() if each.name == "ATOF 287 40 A")
    gates = {gate.rating_fraction: (gate.shortest_s, gate.longest_s) for gate in fuse.gates}
    assert gates[1.35] == (0.75, 600)
    assert gates[2.0] == (0.15, 5)
    assert gates[3.5] == (0.08, 0.5)
    assert fuse.cold_resistance_ohm == pytest.approx(1.44e-3)


def test_a_fuse_for_alternating_voltage_only_has_no_direct_rating() -> None:
    glass = [each for each in load_fuses() if each.series == "617"]
    assert glass
    assert all(each.rated_v_dc is None and each.rated_v_ac == 250 for each in glass)


def test_resettable_fuses_trip_above_what_they_hold() -> None:
    for each in load_resettable_fuses():
        assert each.trip_a > each.hold_a
        if each.resistance_least_ohm is not None and each.resistance_after_trip_ohm is not None:
            assert each.resistance_least_ohm < each.resistance_after_trip_ohm


def test_printed_gram_centimetres_are_converted() -> None:
    """RS-540S prints 200 g*cm: 19.6 mN m; RS-380S 75 g*cm: 7.35 mN m."""
    assert find_motor("RS-540S").load_torque_nm == pytest.approx(0.0196, abs=0.0001)
    assert find_motor("RS-380S").load_torque_nm == pytest.approx(0.00735, abs=0.0001)


def test_motor_constants_agree_with_their_speeds() -> None:
    """(V - I0 R) / k is the no-load speed, within the 4 % to which the sheets round."""
    checked = 0
    for each in load_motors():
        values = each.nominal_v, each.no_load_a, each.terminal_ohm, each.torque_constant_nm_per_a
        if None in values or each.no_load_rpm is None or each.maker != "Faulhaber":
            continue
        voltage, current, ohm, constant = (float(value or 0) for value in values)
        rpm = (voltage - current * ohm) / constant * 60 / 6.283185307
        assert rpm == pytest.approx(each.no_load_rpm, rel=0.04), each.motor
        checked += 1
    assert checked >= 10


def test_usb_power_is_voltage_times_current() -> None:
    for level in load_supply_levels():
        if level.kind in ("plain", "fixed") and level.most_w is not None:
            assert level.most_w == pytest.approx(level.highest_v * level.most_a)


def test_touched_metal_may_be_no_hotter_than_plastic() -> None:
    by_contact: dict[tuple[str, str], dict[str, float]] = {}
    for row in load_touch_limits():
        by_contact.setdefault((row.document, row.contact), {})[row.material] = row.low_degc
    both = [pair for pair in by_contact.values() if {"metal", "plastic"} <= set(pair)]
    assert len(both) > 10
    assert all(pair["metal"] <= pair["plastic"] for pair in both)


def test_nickel_strip_as_published() -> None:
    """Data notes: 0.15 x 8 mm pure nickel over a pitch of 20.2 mm has 1.18 milliohm."""
    resistivity = find_material("pure nickel").resistivity_ohm_m
    assert resistivity is not None
    assert resistivity * 0.0202 / (0.15e-3 * 8e-3) == pytest.approx(1.18e-3, abs=0.005e-3)


def test_each_strip_has_a_resistivity_and_each_surface_an_emissivity() -> None:
    for each in load_materials():
        if each.use == "strip":
            assert each.resistivity_ohm_m
            assert each.temperature_coefficient_per_k
        elif each.use == "surface":
            assert each.emissivity
            assert 0 < each.emissivity < 1
        else:
            assert each.conductivity_w_per_m_k
