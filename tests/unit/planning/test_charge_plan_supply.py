"""What feeds the charge: kind of thing, watts, USB levels, port, running while it charges."""

from __future__ import annotations

import pytest

from packdesign.planning.assess.parts import judged_charge
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.needs.source import source_facts
from packdesign.planning.verdicts.verdict import Status

PACK = {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1}
CHARGER = {
    "kind": "balance_charger",
    "chemistry": "li_ion",
    "series": 3,
    "current": "1.25 A",
    "end_voltage_per_cell": "4.2 V",
    "end_current": "0.125 A",
    "balance_current": "60 mA",
    "efficiency": 0.9,
}


def charged(**charger):
    brief = brief_from_mapping({"pack": PACK, "charger": {**CHARGER, **charger}})
    found = judged_charge(brief)
    return found.plan, {each.id: each for each in found.judged}


def test_a_source_that_is_large_enough_changes_nothing():
    """12.6 V times 1.25 A over 0.9 is 17.5 W."""
    plan, verdicts = charged(supply_power="30 W")
    assert verdicts["charge_supply"].status is Status.OK
    assert verdicts["charge_supply"].value == pytest.approx(17.5)
    assert plan.settings.charge_a == pytest.approx(1.25)
    assert plan.supply_w == pytest.approx(17.5)


def test_the_efficiency_of_the_brief_counts():
    plan, _ = charged(efficiency=0.7)
    assert plan.supply_w == pytest.approx(12.6 * 1.25 / 0.7)
    assert plan.settings.efficiency_fraction == 0.7


def test_too_small_a_source_makes_a_longer_charge():
    """7 W at 0.9 into 12.6 V are 0.5 A."""
    plan, verdicts = charged(supply_voltage="7 V", supply_current="1 A", converter="both")
    full, _ = charged()
    assert plan.settings.charge_a == pytest.approx(0.5)
    assert plan.charge.time_s.mid > 2 * full.charge.time_s.mid
    assert plan.supply_w == pytest.approx(7.0)
    found = verdicts["charge_supply"]
    assert found.status is Status.CAUTION
    assert "The source is too small" in found.reason
    assert "0.5 A in" in found.reason
    assert "17.5 W" in found.fix


@pytest.mark.parametrize("converter", [None, "step_down"])
def test_a_supply_below_the_full_pack_cannot_charge_it_without_a_step_up(converter):
    """5 V into three cells of 4.2 V, whatever its watts are, known or not."""
    named = {} if converter is None else {"converter": converter}
    for figures in ({"supply_current": "2 A", "supply_power": "30 W"}, {}):
        plan, verdicts = charged(supply_voltage="5 V", **figures, **named)
        assert verdicts["charge_supply"].status is Status.STOP
        assert "5 V and the full pack stands at 12.6 V" in verdicts["charge_supply"].reason
        assert plan.supply.charge_a == 0
    _, stepped_up = charged(supply_voltage="5 V", supply_power="30 W", converter="step_up")
    assert stepped_up["charge_supply"].status is Status.OK
    _, enough = charged(supply_voltage="12.6 V", supply_power="30 W")
    assert enough["charge_supply"].status is Status.OK


@pytest.mark.parametrize(
    ("amps", "watts", "counts_w"), [("0.1 A", "30 W", 1.5), ("3 A", "30 W", 30.0)]
)
def test_of_supply_figures_that_contradict_each_other_the_least_counts(amps, watts, counts_w):
    plan, verdicts = charged(supply_voltage="15 V", supply_current=amps, supply_power=watts)
    assert plan.supply.facts.source_w == pytest.approx(counts_w)
    assert plan.settings.charge_a == pytest.approx(min(1.25, counts_w * 0.9 / 12.6))
    assert "contradict each other" in verdicts["charge_supply"].reason
    assert "the least counts" in verdicts["charge_supply"].reason
    agreed = charged(supply_voltage="15 V", supply_current="2 A", supply_power="30 W")[1]
    assert "contradict" not in agreed["charge_supply"].reason


def test_a_charger_of_its_own_for_each_cell_needs_the_voltage_of_one_cell():
    _, verdicts = charged(kind="cell_chargers", series=1, supply_voltage="5 V", supply_power="30 W")
    assert verdicts["charge_supply"].status is Status.OK


@pytest.mark.parametrize(
    ("pd", "watts", "volts", "charge_a"),
    [
        ("fixed", "45 W", 15.0, 1.25),
        ("programmable", "45 W", 13.1, 1.25),
        ("adjustable", "45 W", 13.1, 1.25),
    ],
)
def test_the_level_that_a_usb_source_is_asked_for(pd, watts, volts, charge_a):
    plan, verdicts = charged(kind="usb_pd", usb_pd=pd, supply_power=watts)
    assert plan.supply.usb.bus_v == pytest.approx(volts)
    assert plan.settings.charge_a == pytest.approx(charge_a)
    assert verdicts["charge_supply"].status is Status.OK
    assert f"{volts:g} V" in verdicts["charge_supply"].reason
    assert verdicts["charger_kind"].status is Status.OK


def test_a_usb_source_without_a_level_above_the_pack_cannot_charge_a_step_down_charger():
    _, verdicts = charged(kind="usb_pd", supply_power="15 W")
    assert verdicts["charge_supply"].status is Status.STOP
    assert "no fixed level" in verdicts["charge_supply"].reason
    stepped_up, kept = charged(kind="usb_pd", supply_power="15 W", converter="step_up")
    assert kept["charge_supply"].status is Status.CAUTION
    assert stepped_up.settings.charge_a == pytest.approx(15 * 0.9 / 12.6)


def test_a_thin_cable_holds_the_charge_back():
    """3 A at 20 V are 60 W: at 0.9 into 12.6 V, 4.29 A; 5 A would take 70 W."""
    fast = {"kind": "usb_pd", "supply_power": "100 W", "current": "5 A", "end_current": "0.5 A"}
    plan, verdicts = charged(**fast)
    assert plan.settings.charge_a == pytest.approx(4.0)  # the cell's own highest
    brief = {"pack": {**PACK, "parallel": 2}, "charger": {**CHARGER, **fast}}
    wide = judged_charge(brief_from_mapping(brief))
    assert wide.plan.settings.charge_a == pytest.approx(60 * 0.9 / 12.6)
    found = {each.id: each for each in wide.judged}["charge_supply"]
    assert "cable" in found.reason
    assert "marked for 5 A" in found.fix
    marked = judged_charge(
        brief_from_mapping({**brief, "charger": {**brief["charger"], "cable_limit": "5 A"}})
    )
    assert marked.plan.settings.charge_a == pytest.approx(5.0)
    assert verdicts["charge_supply"].status is Status.OK


def test_a_usb_source_of_unknown_watts_is_not_known_and_its_least_size_is_said():
    _, verdicts = charged(kind="usb_pd")
    assert verdicts["charge_supply"].status is Status.UNKNOWN
    assert "a USB source of 45 W" in verdicts["charge_supply"].reason


@pytest.mark.parametrize(
    "kind",
    [
        "bare_supply", "mains_adapter", "bench_supply", "converter_module", "other_battery",
        "protection_board",
    ],
)  # fmt: skip
def test_what_is_not_a_charger_is_a_stop(kind):
    _, verdicts = charged(kind=kind)
    assert verdicts["charger_kind"].status is Status.STOP
    assert "this is not a charger" in verdicts["charger_kind"].reason


def test_a_usb_source_alone_is_no_charger():
    brief = brief_from_mapping(
        {"pack": PACK, "charger": {"kind": "usb_pd", "supply_power": "45 W"}}
    )
    found = {each.id: each for each in judged_charge(brief).judged}["charger_kind"]
    assert found.status is Status.STOP
    assert "it is the supply of a charger" in found.reason


def test_a_circuit_of_the_table_brings_its_count_of_cells():
    brief = brief_from_mapping({"pack": PACK, "charger": {"name": "MCP73213"}})
    found = {each.id: each for each in judged_charge(brief).judged}["charger_kind"]
    assert found.status is Status.STOP
    assert "for 2 in series; the pack has 3" in found.reason


def test_a_circuit_that_gives_less_than_the_cell_takes_sets_the_current():
    """The MCP73213 gives 1.1 A; 8.4 V times 1.1 A over 0.9 are 10.3 W, whatever the source has."""
    pack = {**PACK, "series": 2}
    plan = judged_charge(
        brief_from_mapping({"pack": pack, "charger": {"name": "MCP73213", "supply_power": "40 W"}})
    ).plan
    assert plan.settings.charge_a == pytest.approx(1.1)
    assert plan.supply_w == pytest.approx(8.4 * 1.1 / 0.9)
    assert not plan.supply.is_short


def test_the_port_is_held_against_the_rating_of_its_connector():
    plan, verdicts = charged(port_connector="JST-PHR-2P", port_fuse="5 A")
    assert plan.supply.port.fuse_a == 2
    assert verdicts["charge_port_connector"].status is Status.CAUTION
    assert "lets more through" in verdicts["charge_port_connector"].reason
    _, unheard_of = charged(port_connector="a plug of mine")
    assert unheard_of["charge_port_connector"].status is Status.UNKNOWN


@pytest.mark.parametrize(
    ("running", "built_in", "status"),
    [
        ("never", True, Status.OK),
        ("interlocked", False, Status.OK),
        ("power_path", True, Status.OK),
        ("allowed", False, Status.STOP),
    ],
)
def test_running_while_it_charges(running, built_in, status):
    plan, verdicts = charged(while_running=running, built_in=built_in)
    assert verdicts["charge_while_running"].status is status
    both = any(row.charge_enabled and row.load_enabled for row in plan.supply.interlock)
    assert both == (running == "power_path")
    assert bool(plan.supply.interlock) == built_in


def test_a_built_in_charger_of_which_nothing_is_said_asks_for_it():
    plan, verdicts = charged(built_in=True)
    assert verdicts["charge_while_running"].status is Status.UNKNOWN
    assert len(plan.supply.interlock) == 8
    assert "charge_while_running" not in charged()[1]


@pytest.mark.parametrize(
    ("volts", "amps", "watts", "least_w"),
    [("15 V", "0.1 A", "30 W", 1.5), ("15 V", "2 A", "20 W", 20.0), ("15 V", "2 A", "40 W", 30.0)],
)
def test_of_figures_that_contradict_each_other_the_least_counts(volts, amps, watts, least_w):
    brief = brief_from_mapping(
        {
            "pack": PACK,
            "charger": {
                **CHARGER,
                "supply_voltage": volts,
                "supply_current": amps,
                "supply_power": watts,
            },
        }
    )
    assert source_facts(brief).source_w == pytest.approx(least_w)
