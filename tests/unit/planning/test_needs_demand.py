"""From a brief to motors, rails, missions, logs, charger and monitor."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from packdesign.data.cell_table import load_cells
from packdesign.engineering.electrical.source import PackSource
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import BriefError, OutOfRangeError
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.brief.schema import Brief
from packdesign.planning.hazards.gate import gate
from packdesign.planning.needs.assumptions import assumptions_of
from packdesign.planning.needs.charger import charge_conditions, charger_facts
from packdesign.planning.needs.mission import circuit_of, has_demand, log_demand_of, mission_of
from packdesign.planning.needs.monitor import adc_of, divider_of
from packdesign.planning.needs.motors import driven_of, known_motors, torque_of
from packdesign.planning.needs.rails import rail_tree_of
from packdesign.planning.needs.situation import situation_of_brief
from packdesign.planning.verdicts.verdict import Status

SOURCE = PackSource(open_circuit_v=12.0, instant_ohm=0.1)


def brief_of(**sections: object) -> Brief:
    return brief_from_mapping(sections)


def test_a_locked_rotor_reading_goes_before_the_sheet() -> None:
    brief = brief_of(
        motor={
            "nominal_voltage": "12 V",
            "stall_current": "10 A",
            "locked_rotor": {"voltage": "2 V", "current": "1 A"},
        }
    )
    assert known_motors(brief)["motor"].resistance_ohm.mid == pytest.approx(2.0, rel=0.05)


def test_each_kind_of_knowledge_gives_a_motor() -> None:
    kinds = {
        "sheet": {"nominal_voltage": "12 V", "stall_current": "10 A", "no_load_current": "0.4 A"},
        "ohmmeter": {"nominal_voltage": "12 V", "ohmmeter_readings": ["1.3 ohm", "1.5 ohm"]},
        "constant": {
            "nominal_voltage": "11 V", "speed_constant": "1000 rpm/V", "max_current": "20 A",
        },
        "nothing": {"nominal_voltage": "6 V"},
    }  # fmt: skip
    brief = brief_of(motors=[{"name": name, **known} for name, known in kinds.items()])
    motors = known_motors(brief)
    assert set(motors) == set(kinds)
    assert motors["nothing"].basis is Basis.ASSUMED
    assert motors["sheet"].resistance_ohm.mid == pytest.approx(1.2, rel=0.02)
    # Kv x Kt = 9549 rpm/V mNm/A
    constant = motors["constant"].torque_constant_nm_per_a.mid
    assert constant * 1000 * 1000 == pytest.approx(9549, rel=0.01)


def test_a_motor_without_any_voltage_takes_that_of_its_pack() -> None:
    motor = {"name": "m", "stall_current": "3 A"}
    # 2 cells of 3.6 V across a stall current of 3 A; without a pack 12 V, own choice
    paired = brief_of(motor=motor, pack={"cell": "Samsung SDI INR18650-25R", "series": 2})
    assert known_motors(paired)["m"].resistance_ohm.mid == pytest.approx(7.2 / 3, rel=0.05)
    assert known_motors(brief_of(motor=motor))["m"].resistance_ohm.mid == pytest.approx(4, rel=0.05)


@pytest.mark.parametrize(
    ("around", "cold_degc"),
    [
        ({}, 25.0),
        ({"ambient": "35 degC"}, 25.0),
        ({"ambient": "15 degC"}, 15.0),
        ({"ambient": "20 degC", "ambient_min": "-5 degC"}, -5.0),
    ],
)
def test_the_hungriest_motor_has_a_cold_winding(around: dict[str, str], cold_degc: float) -> None:
    """Copper resists 0.393 % less for every kelvin below the 25 degC of the sheet."""
    motor = {"nominal_voltage": "12 V", "ohmmeter_readings": ["1 ohm", "2 ohm"]}
    brief = brief_of(motor=motor, surroundings=around)
    warm = known_motors(brief)["motor"]
    hungry = driven_of(brief, hungriest=True)["motor"].machine.motor
    least_ohm = warm.resistance_ohm.low * (1 + 0.00393 * (cold_degc - 25.0))
    assert hungry.resistance_ohm == pytest.approx(least_ohm)
    assert hungry.torque_constant_nm_per_a == warm.torque_constant_nm_per_a.low
    assert driven_of(brief)["motor"].machine.motor.resistance_ohm == warm.resistance_ohm.mid


def test_the_hungriest_motor_has_the_least_resistance() -> None:
    brief = brief_of(motor={"nominal_voltage": "12 V", "ohmmeter_readings": ["1 ohm", "2 ohm"]})
    typical = driven_of(brief)["motor"].machine.motor
    hungry = driven_of(brief, hungriest=True)["motor"].machine.motor
    assert hungry.resistance_ohm < typical.resistance_ohm


@pytest.mark.parametrize(
    ("shape", "sizes", "expected"),
    [
        ("rod_about_middle", {"length": "300 mm"}, 0.2 * 0.3**2 / 12),
        ("rod_about_end", {"length": "300 mm"}, 0.2 * 0.3**2 / 3),
        ("disc", {"radius": "100 mm"}, 0.2 * 0.1**2 / 2),
        ("ring", {"radius": "100 mm"}, 0.2 * 0.1**2),
        ("point", {"radius": "100 mm"}, 0.2 * 0.1**2),
    ],
)
def test_each_driven_body_has_the_inertia_of_the_textbook(
    shape: str, sizes: dict[str, str], expected: float
) -> None:
    # m L^2/12, m L^2/3, m r^2/2, m r^2: any text on mechanics, from memory
    brief = brief_of(
        motor={"nominal_voltage": "12 V", "drives": {"shape": shape, "mass": "200 g", **sizes}}
    )
    assert driven_of(brief)["motor"].machine.inertia_kg_m2 == pytest.approx(expected)


def test_a_body_without_size_counts_for_nothing_and_is_asked_for() -> None:
    brief = brief_of(motor={"nominal_voltage": "12 V", "drives": {"shape": "disc", "mass": "1 g"}})
    assert driven_of(brief)["motor"].machine.inertia_kg_m2 == 0.0
    assert [each.about for each in assumptions_of(brief)] == ["inertia of motor"]


def test_torque_laws_pass_through_their_point() -> None:
    brief = brief_of(
        motor={
            "nominal_voltage": "12 V",
            "load": {"kind": "square", "torque": "0.4 N*m", "at_speed": "100 rad/s"},
        }
    )
    load = torque_of(brief.all_motors[0].load)
    assert load.per_rad_per_s_squared_nm * 100**2 == pytest.approx(0.4)
    assert torque_of(None, torque_nm=0.3).constant_nm == 0.3


def test_rails_and_loads_come_down_to_the_battery() -> None:
    brief = brief_of(
        rails=[{"name": "5 V", "kind": "buck", "output_voltage": "5 V", "efficiency": 0.8}],
        loads=[{"name": "lamp", "watts": 4, "rail": "5 V"}, {"name": "fan", "amps": 0.2}],
    )
    draw = rail_tree_of(brief).draw(battery_v=12.0)
    assert draw.power_w == pytest.approx(4 / 0.8, rel=0.05)
    assert draw.current_a == pytest.approx(0.2)


def test_bursts_raise_the_peak_and_the_mean() -> None:
    brief = brief_of(
        loads=[
            {
                "name": "radio",
                "watts": 0.1,
                "burst": "1 W",
                "burst_time": "100 ms",
                "burst_period": "1 s",
            }
        ]
    )
    load = rail_tree_of(brief).loads[0]
    assert load.peak.power_w == pytest.approx(1.0)
    assert load.mean.power_w == pytest.approx(0.19)


def test_a_brief_with_only_loads_has_a_demand() -> None:
    brief = brief_of(loads=[{"name": "lamp", "watts": 6}])
    assert has_demand(brief)
    found = mission_of(brief, circuit_of(brief, SOURCE, parallel=1))
    assert found.summary.mean_a == pytest.approx(0.5)


def test_an_empty_brief_has_none() -> None:
    assert not has_demand(brief_of())
    with pytest.raises(BriefError, match="nothing in the brief draws current"):
        mission_of(brief_of(), circuit_of(brief_of(), SOURCE, parallel=1))


def test_shares_of_time_become_a_round() -> None:
    brief = brief_of(
        motor={"nominal_voltage": "12 V", "terminal_resistance": "1 ohm", "no_load_current": "1 A",
               "no_load_speed": "3000 rpm"},
        mission={"modes": [{"name": "go", "share": 0.5}, {"name": "wait", "share": 0.5,
                                                          "duty": 0}]},
    )  # fmt: skip
    found = mission_of(brief, circuit_of(brief, SOURCE, parallel=1))
    assert found.demand.period_s == pytest.approx(60.0)
    assert 0.3 < found.summary.mean_a < 1.0  # half the time at the no-load current, plus starts


def test_a_log_becomes_a_demand_with_the_rails_minimum(tmp_path: Path) -> None:
    (tmp_path / "log.csv").write_text("time_s,current_a\n0,1\n10,1\n20,3\n30,3\n")
    brief = brief_from_mapping(
        {
            "load": {"log": "log.csv"},
            "rails": [{"name": "5 V", "output_voltage": "5 V", "dropout": "1 V"}],
        },
        base_folder=tmp_path,
    )
    demand = log_demand_of(brief)
    assert demand.minimum_v == pytest.approx(6.0)
    charge_as = float(np.sum(demand.current_a * demand.duration_s))
    assert charge_as == pytest.approx(60.0)  # 10 s at 1 A, 10 s rising, 10 s at 3 A
    assert not demand.repeats


def test_a_charger_above_the_cell_stays_as_it_is_set() -> None:
    brief = brief_of(charger={"end_voltage_per_cell": "4.35 V", "balances": False})
    facts = charger_facts(brief)
    assert facts.end_v_per_cell == pytest.approx(4.35)
    assert facts.balance_a == 0.0


def test_a_board_that_balances_counts_where_the_charger_does_not() -> None:
    brief = brief_of(
        charger={"balances": False},
        pack={"protection": {"kind": "board", "balances": True, "balance_current": "50 mA"}},
    )
    assert charger_facts(brief).balance_a == pytest.approx(0.05)


def test_charging_happens_in_a_room_unless_said() -> None:
    assert charge_conditions(brief_of(), start_soc=0.1).start_degc == 20.0
    cold = brief_of(charger={"temperature_min_degc": -5, "temperature_max_degc": 0})
    assert charge_conditions(cold, start_soc=0.1).start_degc == 0.0


def test_the_monitor_is_read_with_the_longest_sampling_and_its_capacitor() -> None:
    plain = adc_of(brief_of(monitor={"controller": "STM32F103"}))
    assert plain.max_source_ohm == 50_000.0
    # 0.1 s between readings: R C ln 2^12 = 0.1 s gives 120 kohm at 100 nF, too small at 10 nF
    large = adc_of(brief_of(monitor={"controller": "ATmega328P/PB", "capacitor": "0.1 uF"}))
    assert large.max_source_ohm == pytest.approx(0.1 / (1e-7 * math.log(2**12)))
    small = adc_of(brief_of(monitor={"controller": "ATmega328P/PB", "capacitor": "0.01 uF"}))
    assert small.max_source_ohm == 10_000.0


def test_a_controller_is_found_by_the_first_of_its_names() -> None:
    both = adc_of(brief_of(monitor={"controller": "ATmega328P/PB"}))
    assert adc_of(brief_of(monitor={"controller": "atmega328p"})) == both


def test_bits_that_the_table_lacks_are_taken_from_the_brief() -> None:
    with pytest.raises(OutOfRangeError, match="gives no bits for AVR Dx"):
        adc_of(brief_of(monitor={"controller": "AVR Dx"}))
    assert adc_of(brief_of(monitor={"controller": "AVR Dx", "adc_bits": 12})).bits == 12


def test_the_monitor_takes_the_row_with_its_reference() -> None:
    brief = brief_of(monitor={"controller": "ATmega328P/PB", "reference": "1.1 V"})
    assert adc_of(brief).reference_v == pytest.approx(1.1)
    assert divider_of(brief) is None
    told = brief_of(monitor={"r_top": "33 kOhm", "r_bottom": "10 kOhm"})
    divider = divider_of(told)
    assert divider is not None
    assert divider.ratio_fraction == pytest.approx(10 / 43)


def test_what_nobody_said_stays_unknown() -> None:
    found = situation_of_brief(brief_of(), None, series=None, parallel=None)
    assert found.has_fuse is None
    assert found.charger_balances is None
    assert found.cell_origin is None


@pytest.mark.parametrize(
    ("others", "flagged"),
    [
        (["Molicel INR-18650-P26A", "Lithium Werks APR18650M1B"], "mixed_chemistry_pack"),
        (["some other cell", "Lithium Werks APR18650M1B"], "mixed_chemistry_pack"),
        (["some other cell"], "mixed_cell_models"),
    ],
)
def test_other_cells_named_in_the_pack_are_flagged(others: list[str], flagged: str) -> None:
    cell = load_cells().find("Molicel INR-18650-P28A")
    brief = brief_of(pack={"mixed_cells": others})
    found = {v.id: v.status for v in gate(situation_of_brief(brief, cell, series=2, parallel=1))}
    assert found[flagged] in (Status.STOP, Status.CAUTION)
    if flagged == "mixed_chemistry_pack":
        assert found[flagged] is Status.STOP


def test_another_model_of_one_chemistry_is_no_mix_of_chemistry() -> None:
    cell = load_cells().find("Molicel INR-18650-P28A")
    brief = brief_of(pack={"mixed_cells": ["Molicel INR-18650-P26A"]})
    situation = situation_of_brief(brief, cell, series=2, parallel=1)
    assert situation.cell_families == ("nmc",)
    found = {v.id: v.status for v in gate(situation)}
    assert "mixed_chemistry_pack" not in found
    assert found["mixed_cell_models"] is Status.CAUTION


@pytest.mark.parametrize(
    ("count", "flagged"),
    [
        (3, set()),
        (2, {"charger_not_matched"}),  # 8.4 V never fills three cells
        (4, {"charger_not_matched", "charge_voltage_above_cell"}),  # 16.8 V / 3 = 5.6 V a cell
    ],
)
def test_a_charger_for_another_count_of_cells_is_a_stop(count: int, flagged: set[str]) -> None:
    cell = load_cells().find("Samsung SDI INR18650-25R")
    brief = brief_of(
        charger={"series": count, "end_voltage_per_cell": "4.2 V", "matched_to_pack": True}
    )
    found = {v.id: v.status for v in gate(situation_of_brief(brief, cell, series=3, parallel=1))}
    asked = {"charger_not_matched", "charge_voltage_above_cell"}
    assert {each for each in asked if found.get(each) is Status.STOP} == flagged


@pytest.mark.parametrize(
    ("housing", "is_stopped"),
    [
        ({"closure": "sealed"}, True),
        ({"closure": "sealed", "pressure_relief": False}, True),
        ({"closure": "sealed", "pressure_relief": True}, False),
        ({"closure": "vented", "vent_area": "0 mm2"}, True),
        ({"closure": "vented", "vent_area": "20 mm2"}, False),
    ],
)
def test_gas_needs_a_way_out(housing: dict[str, object], is_stopped: bool) -> None:
    cell = load_cells().find("Samsung SDI INR18650-25R")
    brief = brief_of(cavity={"shape": "tube", "bore_mm": 46, "length_mm": 160, **housing})
    found = {v.id: v.status for v in gate(situation_of_brief(brief, cell, series=3, parallel=1))}
    assert (found.get("sealed_rigid_cavity") is Status.STOP) is is_stopped


@pytest.mark.parametrize(("read", "is_stopped"), [("9.9 Ah", True), ("2400 mAh", False)])
def test_a_measured_capacity_is_held_to_physics_too(read: str, is_stopped: bool) -> None:
    cell = load_cells().find("Samsung SDI INR18650-25R")
    brief = brief_of(measured={"cell_capacity": read})
    found = {v.id: v.status for v in gate(situation_of_brief(brief, cell, series=3, parallel=1))}
    assert (found.get("impossible_capacity_claim") is Status.STOP) is is_stopped


@pytest.mark.parametrize(
    ("name", "claimed", "parallel", "is_stopped"),
    [
        ("Samsung SDI INR21700-50E", "9900 mAh", 1, True),  # 9.9 Ah x 3.6 V in 25 ml: 1400 Wh/l
        ("Samsung SDI INR21700-50E", "5000 mAh", 1, False),
        ("Samsung SDI INR18650-25R", "7500 mAh", 3, False),  # of the pack: 2.5 Ah a cell
        ("Samsung SDI INR18650-25R", "7500 mAh", 1, True),
        ("Samsung SDI INR18650-25R", "15 Ah", 3, True),
    ],
)
def test_a_label_is_impossible_only_if_it_is_so_of_cell_and_pack(
    name: str, claimed: str, parallel: int, is_stopped: bool
) -> None:
    cell = load_cells().find(name)
    brief = brief_of(pack={"label_capacity": claimed})
    situation = situation_of_brief(brief, cell, series=3, parallel=parallel)
    found = {v.id: v.status for v in gate(situation)}
    assert (found.get("impossible_capacity_claim") is Status.STOP) is is_stopped


@pytest.mark.parametrize(
    ("sections", "status"),
    [
        ({"surroundings": {"ambient": "-5 degC"}}, Status.STOP),
        ({"measured": {"temperature": "-5 degC"}}, Status.STOP),
        ({"measured": {"temperature": "-5 degC"}, "charger": {"temperature_min": "10 degC"}},
         Status.STOP),
        ({"surroundings": {"ambient": "-5 degC"}, "charger": {"temperature_min": "10 degC"}}, None),
        ({"surroundings": {"ambient": "20 degC"}}, Status.UNKNOWN),
    ],
)  # fmt: skip
def test_frost_reaches_the_gate(sections: dict[str, object], status: Status | None) -> None:
    cell = load_cells().find("Samsung SDI INR18650-25R")
    situation = situation_of_brief(brief_of(**sections), cell, series=3, parallel=1)
    found = {v.id: v.status for v in gate(situation)}
    assert found.get("charging_below_freezing") is status


def test_what_was_said_reaches_the_gate() -> None:
    cell = load_cells().find("Samsung SDI INR18650-25R")
    brief = brief_of(
        pack={"cell_origin": "used_pack", "fuse": {"part": "none"}, "mixed_cells": ["other"]},
        cavity={"shape": "tube", "bore_mm": 46, "length_mm": 160, "closure": "sealed"},
        charger={"chemistry": "lfp", "balance_current": "0 mA"},
        carrying={"mode": "car", "flights": 2},
        measured={"group_voltages": ["3.6 V", "3.5 V"], "condition": {"swollen": 0.2}},
    )
    found = situation_of_brief(brief, cell, series=2, parallel=1)
    assert found.has_fuse is False
    assert found.cell_origin == "used_pack"
    assert found.cells_same_model is False
    assert found.cavity_is_sealed is True
    assert found.charger_chemistry == "lfp"
    assert found.charger_balances is False
    assert found.carry_mode == "air"
    assert found.group_gap_at_rest_v == pytest.approx(0.1)
    assert found.thickness_over_new_fraction == pytest.approx(1.2)
    assert found.pack_full_v == pytest.approx(8.4)
    assert found.claimed_wh_per_litre is not None
    assert math.isclose(found.claimed_wh_per_litre, 520, rel_tol=0.05)  # 9 Wh in 17.3 ml
