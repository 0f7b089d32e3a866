"""What stands beside a charge plan: gap and balancing, other charges, drift, pins, the list."""

from __future__ import annotations

import pytest

from packdesign.data.cell_table import load_cells
from packdesign.foundation.errors import BriefError
from packdesign.planning.assess.parts import judged_charge
from packdesign.planning.assess.service import gate_of
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.charge_plan.go_checklist import floor_words, go_checklist
from packdesign.planning.hazards.gate import gate
from packdesign.planning.verdicts.verdict import Status
from packdesign.presentation.export.contract import charge_object

PACK = {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1}
CHARGER = {
    "kind": "balance_charger",
    "series": 3,
    "current": "1.25 A",
    "end_voltage_per_cell": "4.2 V",
    "end_current": "0.125 A",
    "balance_current": "60 mA",
}
LFP = {"cell": "Lithium Werks APR18650M1B", "series": 4, "parallel": 2}


def charged(charger=None, **sections):
    named = {**CHARGER, **(charger or {})}
    brief = brief_from_mapping({"pack": PACK, "charger": named, **sections})
    return judged_charge(brief)


def test_three_cells_one_behind_the_hours_and_the_same_from_arithmetic():
    """120 mAh over 60 mA are 2 hours, whatever follows it step by step."""
    found = charged(measured={"group_behind": ["0 mAh", "120 mAh", "0 mAh"]})
    balance = found.plan.balance
    assert balance.gap_is_measured
    assert balance.first_h == pytest.approx(0.120 / 0.060)
    assert balance.stepped_h == pytest.approx(2.0, abs=0.03)
    assert charge_object(found)["charge"]["balance_time_s"] == 7200.0


@pytest.mark.parametrize(
    ("charger", "board", "note", "caution"),
    [
        ({"balances": True}, {}, "give balance_current", "with which current"),
        ({"balances": False}, {"balances": True}, "give balance_current", "with which current"),
        ({}, {"balances": True}, "give balance_current", "with which current"),
        ({"balances": False}, {}, "does not balance", "without balancing is a stop"),
        ({}, {}, "whether anything balances is not known", "not known whether anything"),
    ],
)
def test_who_balances_without_a_current_is_asked_for_the_current_alone(
    charger, board, note, caution
):
    named = {key: value for key, value in CHARGER.items() if key != "balance_current"}
    pack = {**PACK, "protection": {"kind": "board", "series": 3, **board}}
    plan = judged_charge(brief_from_mapping({"pack": pack, "charger": {**named, **charger}})).plan
    assert note in plan.balance.note
    assert plan.balance.first_h is None
    assert any(caution in each for each in plan.cautions)
    asks_who = any("whether anything" in each for each in plan.cautions)
    assert asks_who is (note.startswith("whether anything"))


@pytest.mark.parametrize(
    ("behind", "status"), [(120, None), (400, Status.CAUTION), (1000, Status.STOP)]
)
def test_a_wide_gap_is_a_word_and_no_plan_of_days(behind, status):
    """Of 2.5 Ah: 5 %, 16 %, 40 %."""
    found = charged(measured={"group_behind": ["0 mAh", f"{behind} mAh", "0 mAh"]})
    verdicts = {each.id: each for each in found.judged}
    assert ("group_gap" in verdicts) is (status is not None)
    if status is not None:
        assert verdicts["group_gap"].status is status
        assert "Charge group 2 by itself first" in verdicts["group_gap"].fix
    if status is Status.STOP:
        assert "40 %" in verdicts["group_gap"].reason
        assert found.plan.first_charge[0].startswith("Charge group 2 by itself")
    planned = status is not Status.STOP
    assert (found.plan.balance.first_h is not None) is planned
    assert (found.plan.balance.charges_needed is not None) is planned
    assert (found.study.outlook is not None) is planned


def test_a_group_cannot_lack_more_than_it_holds():
    with pytest.raises(BriefError, match=r"group_behind is 2600 mAh for group 3.*0 to 2500 mAh"):
        charged(measured={"group_behind": ["0 mAh", "0 mAh", "2600 mAh"]})
    charged(measured={"group_behind": ["2500 mAh", "2500 mAh", "2500 mAh"]})


def test_bleeds_that_take_turns_and_pause_take_longer():
    behind = {"group_behind": ["0 mAh", "120 mAh", "0 mAh"]}
    pauses = charged({"balance_duty": 0.5}, measured=behind).plan.balance
    turns = charged({"balance_takes_turns": True}, measured=behind).plan.balance
    assert pauses.first_h == pytest.approx(4.0)
    assert pauses.stepped_h == pytest.approx(4.0, abs=0.06)
    assert turns.first_h == pytest.approx(4.0)
    assert turns.stepped_h > 1.9


def test_the_gap_from_rested_voltages_where_the_curve_is_steep_enough():
    steep = charged(measured={"group_voltages": ["3.70 V", "3.65 V", "3.70 V"]}).plan.balance
    assert steep.gap_is_measured
    assert 0.05 < steep.gap_ah < 0.40
    charger = {**CHARGER, "series": 4, "end_voltage_per_cell": "3.6 V"}
    flat = judged_charge(
        brief_from_mapping(
            {
                "pack": LFP,
                "charger": charger,
                "measured": {"group_voltages": ["3.29 V", "3.30 V", "3.29 V", "3.29 V"]},
            }
        )
    ).plan.balance
    assert not flat.gap_is_measured
    assert "no charge" in flat.gap_origin


def test_a_bleed_resistor_gives_current_and_heat():
    """4.2 V over 70 ohm are 60 mA and 0.252 W; 39 ohm twice with 25 ohm are 40.8 mA."""
    through = {"balance_current": None, "balance_resistor": "70 ohm"}
    one = charged(through).plan
    assert one.settings.bleed.current_a == pytest.approx(0.060)
    assert one.balance.heat_w == pytest.approx(0.252)
    assert one.balance.most_heat_w == pytest.approx(2 * 0.252)
    two = charged({**through, "balance_resistor": "39 ohm", "balance_switch": "25 ohm"}).plan
    assert two.settings.bleed.current_a == pytest.approx(4.2 / 103)


def test_a_charger_for_each_cell_needs_no_balancer_and_takes_longer():
    """2.5 Ah at 0.5 A instead of 1.25 A: 5 h instead of 2 h."""
    found = charged({"kind": "cell_chargers", "series": 1, "balance_current": None,
                     "current": "0.5 A"})  # fmt: skip
    assert found.study.hours_lost == pytest.approx(3.0)
    assert found.study.outlook is None
    assert found.plan.balance.first_h == 0.0
    assert not [each for each in found.verdicts if str(each.status) == "stop"]


def test_the_other_charges_are_quicker_or_slower_and_a_lower_voltage_lives_longer():
    by_name = {each.choice.name: each for each in charged().study.choices}
    asked = by_name["as asked"]
    assert by_name["fast"].run.total_time_s < asked.run.total_time_s
    assert by_name["gentle"].run.total_time_s > asked.run.total_time_s
    assert by_name["fast"].run.peak_cell_degc > by_name["gentle"].run.peak_cell_degc
    lower = by_name["lower voltage"]
    assert lower.cycles_to_80_percent.mid > asked.cycles_to_80_percent.mid
    assert lower.capacity_fraction < 1


def test_the_fast_charge_stays_within_the_cell_and_its_price_shows_beyond_1c():
    found = charged({"current": "2.5 A"}).study
    by_name = {each.choice.name: each for each in found.choices}
    assert by_name["fast"].choice.settings.charge_a == pytest.approx(4.0)
    assert by_name["fast"].cycles_to_80_percent.mid < by_name["as asked"].cycles_to_80_percent.mid
    assert found.rates_are_told_apart


def test_a_simple_charger_lets_groups_drift_and_a_balancer_does_not():
    outlook = charged().study.outlook
    assert len(outlook.alone.spread_ah) == 50
    assert outlook.alone.spread_ah[-1] > outlook.alone.spread_ah[0] > 0
    assert outlook.alone.highest_v > 4.2
    assert outlook.balanced.spread_ah[-1] < 0.01
    assert outlook.balanced.highest_v < outlook.alone.highest_v
    rarely = charged(storage={"uses_per_week": 0.25}).study.outlook
    assert rarely.alone.spread_ah[-1] > outlook.alone.spread_ah[-1]


def test_a_board_that_watches_each_group_ends_the_charge_in_time():
    board = {"kind": "board", "watches_each_group": True, "overcharge_trip": "4.23 V"}
    found = judged_charge(
        brief_from_mapping({"pack": {**PACK, "protection": board}, "charger": CHARGER})
    )
    assert found.study.outlook.alone.highest_v <= 4.2301


def test_pins_and_limits_of_the_balance_lead():
    lead = charged({"current": "4 A", "end_current": "0.4 A"}).study.lead
    assert [round(pin.full_v, 1) for pin in lead.pins] == [0.0, 4.2, 8.4, 12.6]
    assert lead.lead_charge_a == lead.contact_limit_a == 3.0


def test_the_list_before_each_charge_holds_the_figures_of_the_cell():
    rows = {row.look_at: row for row in go_checklist(load_cells().find(PACK["cell"]))}
    assert rows["each group, at rest"].red == "under 2 V, over 4.25 V"
    assert rows["cells"].green == "10 to 45 degC"
    assert rows["between groups"].amber == "over 50 mV"
    words = floor_words(load_cells().find(PACK["cell"]))
    assert "1.5 V" in words
    assert "2 V" in words


def test_no_output_of_a_charge_allows_frost_where_the_sheet_of_a_graphite_cell_does():
    """Molicel P50B: the sheet prints -20 degC."""
    cell = load_cells().find("Molicel INR-21700-P50B")
    cells = {row.look_at: row for row in go_checklist(cell)}["cells"]
    assert (cells.green, cells.amber) == ("10 to 45 degC", "0 to 10 and 45 to 60 degC")
    assert cells.red == "under 0, over 60 degC"
    brief = brief_from_mapping(
        {"pack": {**PACK, "cell": cell.name}, "charger": {**CHARGER, "temperature_min": "-5 degC"}}
    )
    found = judged_charge(brief)
    stops = {each.id for each in found.told if each.status is Status.STOP}
    assert "charge_cold" in stops
    assert "charging_below_freezing" not in stops  # the same danger is said once
    known = {each.id: each.status for each in gate(gate_of(brief))}
    assert known["charging_below_freezing"] is Status.STOP
    assert "-20 degC as the maker's own" in found.study.cold_words


def test_what_was_seen_is_judged_before_the_charge():
    found = charged(measured={"group_voltages": ["3.7 V", "1.6 V", "3.7 V"]})
    by_id = {each.id: each for each in found.judged}
    assert str(by_id["charge_go"].status) == "stop"
    assert "recycle it" in by_id["charge_go"].fix
    cold = charged(measured={"group_voltages": ["3.7 V"] * 3, "temperature": "-3 degC"})
    only_cold = {each.id: each for each in cold.judged}["charge_go"]
    assert str(only_cold.status) == "stop"
    assert "not charge it now" in only_cold.fix


def test_where_nothing_balances_the_first_charge_says_so():
    steps = charged({"balances": False, "balance_current": None}).plan.first_charge
    assert any("Nothing balances it" in step for step in steps)
    assert not any("Let the balancer" in step for step in steps)


def test_where_nobody_knows_what_balances_the_first_charge_asks():
    steps = charged({"balances": None, "balance_current": None}).plan.first_charge
    assert any("Find out whether the charger or the board balances" in step for step in steps)
    assert not any("Let the balancer" in step for step in steps)


@pytest.mark.parametrize("degc", [-5, 80])
@pytest.mark.parametrize("section", ["measured", "start"])
def test_cells_that_are_too_cold_or_too_hot_now_are_not_charged(degc, section):
    found = charged(**{section: {"temperature": f"{degc} degC"}})
    assert found.plan.charge is None
    assert not found.plan.allowed
    verdict = {each.id: each for each in found.judged}["charge_cells_now"]
    assert verdict.status is Status.STOP
    assert verdict.value == degc


def test_cells_that_are_warm_enough_now_begin_the_charge_as_they_are():
    found = charged(measured={"temperature": "35 degC"}, surroundings={"ambient": "20 degC"})
    assert found.plan.charge.run.cell_degc[0] == pytest.approx(35.0, abs=0.1)
    assert "charge_cells_now" not in {each.id for each in found.judged}


def test_a_charger_that_waits_for_warm_cells_is_not_held_to_a_cold_start_of_use():
    waits = {"temperature_min": "10 degC", "temperature_max": "40 degC"}
    assert charged(waits, start={"temperature": "-5 degC"}).plan.allowed
    assert not charged(waits, measured={"temperature": "-5 degC"}).plan.allowed


@pytest.mark.parametrize(
    ("air", "status", "value"),
    [
        ({}, Status.UNKNOWN, None),
        ({"ambient": "18 degC", "ambient_min": "-10 degC"}, Status.UNKNOWN, None),
        ({"ambient": "18 degC", "ambient_min": "5 degC"}, Status.OK, 5.0),
        ({"ambient": "18 degC"}, Status.OK, 18.0),
        ({"ambient": "-4 degC", "ambient_min": "-10 degC"}, Status.STOP, -4.0),
    ],
)
def test_how_cold_it_is_charged_comes_from_the_brief_or_is_not_known(air, status, value):
    """The cell may be charged from 0 degC on; what is hottest is named."""
    found = charged({"temperature_max": "40 degC"}, surroundings=air)
    cold = {each.id: each for each in found.judged}["charge_cold"]
    assert (cold.status, cold.value) == (status, value)
    assert ("Assumed: charged in the air" in cold.reason) is (value is not None)
    assert "charging_below_freezing" not in {each.id for each in found.dangers}  # said once


@pytest.mark.parametrize(
    ("air", "status", "value"),
    [
        ({}, Status.UNKNOWN, None),
        ({"ambient": "30 degC", "ambient_max": "60 degC"}, Status.UNKNOWN, None),
        ({"ambient": "30 degC", "ambient_max": "35 degC"}, Status.OK, 35.0),
        ({"ambient": "55 degC", "ambient_max": "60 degC"}, Status.STOP, 55.0),
    ],
)
def test_how_hot_it_is_charged_comes_from_the_brief_or_is_not_known(air, status, value):
    found = charged({"temperature_min": "10 degC"}, surroundings=air)
    hot = {each.id: each for each in found.judged}["charge_hot"]
    assert hot.status is status
    if value is None:
        assert hot.value is None
    else:
        assert value < hot.value < value + 15.0  # with the heat of the charge itself
        assert f"Begun at {value:g} degC" in hot.reason


def test_the_study_is_in_the_json_behind_the_keys_of_the_contract():
    written = charge_object(charged())
    assert list(written)[:3] == ["schema", "pack", "charge"]
    assert list(written["charge"])[:5] == [
        "time_s", "cc_time_s", "current_a", "balance_time_s", "supply_w",
    ]  # fmt: skip
    study = written["study"]
    assert next(each["name"] for each in study["choices"]) == "as asked"
    assert study["drift"]["spread_ah"] > 0
    assert len(study["balance_pins"]) == 4
    assert written["charge"]["supply"]["is_short"] is False
