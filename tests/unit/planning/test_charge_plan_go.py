"""Go or no-go, settings, the plan, the intake file."""

from __future__ import annotations

import dataclasses

import pytest

from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Family
from packdesign.engineering.charging.intake import CellReading, Origin
from packdesign.engineering.charging.supply import Supply, SupplyKind
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.run import Conditions, PackModel
from packdesign.engineering.thermal.path import ThermalPath
from packdesign.foundation.errors import OutOfRangeError, TableError
from packdesign.planning.charge_plan.balance_plan import GroupFacts
from packdesign.planning.charge_plan.go_no_go import (
    RECHARGE_FLOORS,
    Inspection,
    Light,
    go_or_no_go,
    recharge_floor_v,
)
from packdesign.planning.charge_plan.intake_file import read_intake
from packdesign.planning.charge_plan.intake_plan import plan_intake
from packdesign.planning.charge_plan.plan import plan_charge, summary_of
from packdesign.planning.charge_plan.settings import ChargerFacts, charge_settings
from packdesign.planning.charge_plan.supply_plan import SourceFacts

CELL = load_cells().find("Samsung SDI INR18650-30Q")
FINE = Inspection(
    group_v=(3.71, 3.70, 3.71),
    cell_degc=21.0,
    room_degc=21.0,
    swollen_fraction=0.0,
    dented=False,
    leaking=False,
    smells=False,
    warm_at_rest=False,
    was_wet=False,
    days_below_two_v=0.0,
)
PACK = PackModel(
    cell=model_from_datasheet(CELL),
    series=3,
    parallel=2,
    path_ohm=0.02,
    thermal=ThermalPath(
        cell_to_surface_w_per_k=0.5, surface_to_air_w_per_k=0.05, surface_j_per_k=20.0
    ),
)
BEHIND = GroupFacts(behind_ah=(0.0, 0.12, 0.0))
ROOM = Conditions(ambient_degc=21.0, start_degc=21.0, start_soc=0.1)


def test_all_known_and_fine_is_green():
    result = go_or_no_go(CELL, FINE)
    assert result.light is Light.GREEN
    assert result.reasons == ()
    assert any("maker" in text for text in result.always)


@pytest.mark.parametrize(
    ("change", "part"),
    [
        ({"group_v": (3.7, 1.8, 3.7)}, "Group 2 at 1.80 V: below 2 V"),
        ({"group_v": (3.7, -0.2, 3.7)}, "reversed"),
        ({"group_v": (4.1, 4.31, 4.1)}, "above full"),
        ({"group_v": (3.9, 3.5, 3.9)}, "400 mV apart"),
        ({"cell_degc": -2.0}, "too cold"),
        ({"cell_degc": 55.0}, "too hot"),
        ({"dented": True}, "dented"),
        ({"leaking": True}, "leaking"),
        ({"smells": True}, "smell"),
        ({"warm_at_rest": True}, "warm without load"),
        ({"was_wet": True}, "under water"),
        ({"swollen_fraction": 0.15}, "gas inside"),
        ({"days_below_two_v": 8.0}, "8 days"),
    ],
)
def test_what_makes_it_red(change, part):
    result = go_or_no_go(CELL, dataclasses.replace(FINE, **change))
    assert result.light is Light.RED
    assert result.reasons[0].light is Light.RED
    assert any(part in reason.text for reason in result.reasons)


@pytest.mark.parametrize(
    ("change", "part"),
    [
        ({"group_v": ()}, "No group voltage"),
        ({"group_v": (2.45, 2.45, 2.45)}, "Pre-charge"),
        ({"group_v": (3.80, 3.70, 3.80)}, "100 mV apart"),
        ({"cell_degc": None}, "not known"),
        ({"cell_degc": 5.0}, "cool zone"),
        ({"cell_degc": 47.0}, "warm zone"),
        ({"room_degc": 42.0}, "40 degC"),
        ({"swollen_fraction": 0.05}, "plan for its end"),
        ({"smells": None}, "Nobody has looked for"),
        ({"days_below_two_v": 1.0}, "watched"),
    ],
)
def test_what_makes_it_amber(change, part):
    result = go_or_no_go(CELL, dataclasses.replace(FINE, **change))
    assert result.light is Light.AMBER
    assert any(part in reason.text for reason in result.reasons)


def test_nothing_known_is_amber_never_green():
    assert go_or_no_go(CELL, Inspection()).light is Light.AMBER


def test_the_strictest_published_floor_is_held_and_all_are_shown():
    assert recharge_floor_v(CELL) == max(each.volts for each in RECHARGE_FLOORS) == 2.0
    assert go_or_no_go(CELL, FINE).floors == RECHARGE_FLOORS
    lto = dataclasses.replace(CELL, family=Family.LTO, cutoff_v=1.5, full_v=2.7)
    assert recharge_floor_v(lto) == 1.5
    assert go_or_no_go(lto, FINE).floors == ()


def test_the_plan_takes_the_sheet_where_the_charger_is_silent():
    plan = plan_charge(CELL, PACK, ChargerFacts(balance_a=0.06), ROOM, groups=BEHIND)
    figures = {figure.name: figure for figure in plan.card}
    assert plan.allowed
    assert figures["current"].value == pytest.approx(2 * CELL.standard_charge_a)
    assert "standard charge" in figures["current"].origin
    assert figures["voltage, whole pack"].value == pytest.approx(12.6)
    assert plan.balance.first_h == pytest.approx(2.0)
    assert plan.charge.run.balance_time_s == pytest.approx(7200.0)
    assert plan.first_charge_a <= 0.2 * PACK.capacity_ah
    assert 3 * 3.5 < plan.storage_v < 3 * 3.8
    assert plan.cautions == ()
    assert plan.clock_s <= plan.charge.time_s.high
    summary = summary_of(plan)
    assert summary.time_s == plan.charge.time_s.mid
    assert summary.balance_time_s == pytest.approx(7200.0)
    assert summary.supply_w == pytest.approx(12.6 * 3.0 / 0.9)


def test_too_cold_gives_no_run_but_says_why():
    cold = dataclasses.replace(ROOM, start_degc=-5.0)
    plan = plan_charge(CELL, PACK, ChargerFacts(balance_a=0.06), cold)
    assert not plan.allowed
    assert plan.charge is None
    assert summary_of(plan).time_s is None
    assert "too cold" in plan.cautions[0]


def test_a_cool_pack_gets_a_fifth_and_a_fixed_charger_must_wait():
    cool = dataclasses.replace(ROOM, start_degc=5.0, ambient_degc=5.0)
    plan = plan_charge(CELL, PACK, ChargerFacts(charge_a=3.0, balance_a=0.06), cool)
    assert plan.settings.charge_a == pytest.approx(0.6)
    assert "must wait" in plan.cautions[0]


@pytest.mark.parametrize(
    ("balance_a", "part"), [(0.0, "is a stop"), (None, "not known whether anything balances")]
)
def test_a_series_pack_without_balancing_is_said(balance_a, part):
    plan = plan_charge(CELL, PACK, ChargerFacts(balance_a=balance_a), ROOM)
    assert plan.balance.first_h is None
    assert any(part in text for text in plan.cautions)
    assert summary_of(plan).balance_time_s is None


def test_one_group_needs_no_balance():
    single = dataclasses.replace(PACK, series=1)
    plan = plan_charge(CELL, single, ChargerFacts(), ROOM)
    assert plan.balance.first_h == 0.0
    assert plan.cautions == ()


def test_bleeding_that_starts_late_needs_several_charges():
    facts = ChargerFacts(balance_a=0.06, balance_start_v=4.19)
    late = plan_charge(CELL, PACK, facts, ROOM, groups=BEHIND).balance
    always = plan_charge(CELL, PACK, ChargerFacts(balance_a=0.06), ROOM, groups=BEHIND).balance
    assert late.first_h == always.first_h == pytest.approx(2.0)
    assert late.charges_needed > always.charges_needed >= 1


def test_the_supply_named_is_judged_with_the_plan():
    facts = ChargerFacts(balance_a=0.06)
    adapter = Supply(kind=SupplyKind.MAINS_ADAPTER, out_v=12.6, max_a=3.0)
    plan = plan_charge(CELL, PACK, facts, ROOM, source=SourceFacts(thing=adapter))
    assert not plan.supply.match.usable
    assert plan_charge(CELL, PACK, facts, ROOM).supply.match is None


def readings(volts: list[float]) -> list[CellReading]:
    return [
        CellReading(
            label=f"c{index}", rested_v=each, capacity_ah=3.0 - 0.01 * index,
            resistance_ohm=0.020, rest_days=14.0, start_v=each + 0.001,
        )
        for index, each in enumerate(volts)
    ]  # fmt: skip


def test_the_lot_is_sorted_grouped_and_its_joints_looked_at():
    plan = plan_intake(
        CELL, readings([3.60, 3.60, 3.60, 3.60, 3.80, 3.60, 1.70]), series=3, parallel=2
    )
    assert [each.label for each in plan.intake.rejected] == ["c6"]
    assert plan.grouping.spread_fraction < 0.01
    assert len(plan.joints) == 3
    unlevel = [joint for joint in plan.joints if not joint.is_level]
    assert [joint.label for joint in unlevel] == ["c4"]
    assert "resistor" in unlevel[0].advice
    assert unlevel[0].levelling.peak_a == pytest.approx(0.2 / 0.04)
    assert plan.voltage_match_v <= 0.05


def test_a_lot_without_resistance_is_refused():
    bare = [CellReading(label=str(i), rested_v=3.6, capacity_ah=3.0) for i in range(2)]
    with pytest.raises(OutOfRangeError, match="has no resistance"):
        plan_intake(CELL, bare, series=1, parallel=2)


def test_a_charger_set_above_the_cell_is_not_allowed():
    plan = plan_charge(CELL, PACK, ChargerFacts(end_v_per_cell=4.35, balance_a=0.06), ROOM)
    assert not plan.allowed
    assert plan.settings.end_v_per_cell == CELL.full_v
    assert "do not use it so" in plan.cautions[0]


def test_a_charger_whose_figures_contradict_each_other_is_refused():
    with pytest.raises(OutOfRangeError, match="below charge_a"):
        charge_settings(CELL, PACK, ChargerFacts(charge_a=1.0, end_a=2.0), start_degc=21.0)


def test_a_cell_without_a_printed_current_gets_a_third_of_capacity():
    silent = dataclasses.replace(CELL, standard_charge_a=None, max_charge_a=None)
    settings, _ = charge_settings(silent, PACK, ChargerFacts(), start_degc=21.0)
    assert settings.charge_a == pytest.approx(2 * silent.capacity_ah / 3)


def test_intake_file_is_read_and_bad_cells_are_pointed_at(tmp_path):
    good = tmp_path / "cells.csv"
    good.write_text(
        "cell,rested_v,capacity_ah,resistance_milliohm,rest_days,start_v,origin\n"
        "A1,3.601,2.51,19.8,14,3.603,new\n"
        "A2,3.598,,,,,salvaged\n",
        encoding="utf-8",
    )
    first, second = read_intake(good)
    assert first.resistance_ohm == pytest.approx(0.0198)
    assert second.capacity_ah is None
    assert second.origin is Origin.SALVAGED
    bad = tmp_path / "bad.csv"
    bad.write_text("cell,rested_v\nA1,three\n", encoding="utf-8")
    with pytest.raises(TableError, match="line 2, column rested_v"):
        read_intake(bad)
