"""Supplies, USB, charge port, interlock."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.data.supplies import UsbKind, load_supply_levels
from packdesign.engineering.charging.interlock import ChargePolicy, interlock_table
from packdesign.engineering.charging.supply import (
    PackNeed,
    Severity,
    Supply,
    SupplyKind,
    match_supply,
    port_fuse,
)
from packdesign.engineering.charging.usb_pd import (
    Conversion,
    UsbNeed,
    least_source_w,
    levels_offered,
    usb_plan,
)
from packdesign.foundation.errors import OutOfRangeError

NEED = PackNeed(series=3, full_v_per_cell=4.2, wanted_a=2.5, allowed_a=4.0)
GOOD = Supply(
    kind=SupplyKind.BALANCE_CHARGER,
    cells_min=1,
    cells_max=4,
    max_a=5.0,
    max_w=50.0,
    full_v_per_cell=4.2,
    balances=True,
)
NOT_CHARGERS = [
    SupplyKind.MAINS_ADAPTER,
    SupplyKind.LAB_SUPPLY,
    SupplyKind.CONVERTER_MODULE,
    SupplyKind.USB_SOURCE,
    SupplyKind.SOLAR_PANEL,
    SupplyKind.ANOTHER_BATTERY,
    SupplyKind.PROTECTION_BOARD,
]


def stops(match):
    return [each.text for each in match.findings if each.severity is Severity.STOP]


@pytest.mark.parametrize("kind", NOT_CHARGERS)
def test_what_is_not_a_charger_is_named_so(kind):
    match = match_supply(NEED, Supply(kind=kind, max_a=3.0, out_v=12.6))
    assert not match.usable
    assert match.charge_a == 0.0
    assert any("this is not a charger" in text for text in stops(match))


def test_a_fitting_charger_is_limited_by_the_first_thing_that_bites():
    assert match_supply(NEED, GOOD).charge_a == 2.5
    weak = Supply(**{**_facts(GOOD), "max_w": 20.0})
    match = match_supply(NEED, weak)
    assert match.usable
    assert match.limited_by == "the supply's watts"
    assert match.charge_a == pytest.approx(20.0 / 12.6)
    assert match.supply_w == pytest.approx(20.0 / 0.9)


@pytest.mark.parametrize(
    ("change", "part"),
    [
        ({"cells_min": 4, "cells_max": 6}, "the pack has 3"),
        ({"full_v_per_cell": 4.35}, "this cell takes 4.2 V"),
        ({"input_v": 24.0, "input_max_v": 18.0}, "the charger bears 18 V"),
        ({"balances": False}, "Nothing balances"),
    ],
)
def test_what_makes_a_charger_a_stop(change, part):
    match = match_supply(NEED, Supply(**{**_facts(GOOD), **change}))
    assert not match.usable
    assert any(part in text for text in stops(match))


def test_a_board_that_balances_makes_up_for_the_charger():
    need = PackNeed(
        series=3, full_v_per_cell=4.2, wanted_a=2.5, allowed_a=4.0, has_balancing_board=True
    )
    assert match_supply(need, Supply(**{**_facts(GOOD), "balances": False})).usable


def test_unknown_cells_and_amps_are_cautions_not_ok():
    match = match_supply(NEED, Supply(kind=SupplyKind.BALANCE_CHARGER, balances=True))
    assert {each.severity for each in match.findings} == {Severity.CAUTION}
    low = match_supply(NEED, Supply(**{**_facts(GOOD), "full_v_per_cell": 4.1}))
    assert any("not get full" in each.text for each in low.findings)
    weak = match_supply(NEED, Supply(**{**_facts(GOOD), "input_v": 9.0, "input_min_v": 14.0}))
    assert weak.usable
    assert any("works from 14 V on" in each.text for each in weak.findings)


def test_a_need_without_sense_is_refused():
    with pytest.raises(OutOfRangeError, match="in series"):
        PackNeed(series=0, full_v_per_cell=4.2, wanted_a=1.0, allowed_a=1.0)


def _facts(supply: Supply) -> dict[str, object]:
    return {name: getattr(supply, name) for name in supply.__slots__}


@given(charge=st.floats(0.1, 10.0), limit=st.floats(0.1, 40.0))
def test_port_fuse_carries_the_charge_and_protects_the_path(charge, limit):
    fuse = port_fuse(charge_a=charge, path_limit_a=limit)
    if fuse is not None:
        assert charge <= 0.75 * fuse + 1e-9
        assert fuse <= limit


@given(
    watts=st.floats(5.0, 240.0),
    pack_v=st.floats(3.0, 45.0),
    wanted=st.floats(0.1, 8.0),
    cable=st.sampled_from([3.0, 5.0]),
    conversion=st.sampled_from(list(Conversion)),
    kind=st.sampled_from(list(UsbKind)),
)
def test_usb_never_asks_more_than_source_cable_and_level_give(
    watts, pack_v, wanted, cable, conversion, kind
):
    need = UsbNeed(pack_full_v=pack_v, wanted_a=wanted, cable_a=cable, conversion=conversion)
    plan = usb_plan(need, source_w=watts, kind=kind)
    assert plan.charge_a <= wanted
    assert plan.input_w <= watts * (1 + 1e-9)
    assert plan.input_a <= cable * (1 + 1e-9)
    if plan.level is None:
        assert plan.limited_by
    else:
        assert plan.input_a <= plan.level.most_a * (1 + 1e-9)
        assert plan.level.lowest_v <= plan.bus_v <= plan.level.highest_v
        if conversion is Conversion.STEP_DOWN:
            assert plan.bus_v >= pack_v + need.headroom_v - 1e-6


def test_a_step_down_charger_cannot_use_a_level_below_the_pack():
    plan = usb_plan(UsbNeed(pack_full_v=12.6, wanted_a=1.0), source_w=15)
    assert plan.level is None
    assert "no fixed level" in plan.limited_by
    need = UsbNeed(pack_full_v=12.6, wanted_a=2.0, conversion=Conversion.STEP_UP)
    up = usb_plan(need, source_w=15)
    assert up.charge_a == pytest.approx(15 * 0.9 / 12.6)


def test_only_fixed_levels_are_promised():
    assert {level.kind for level in levels_offered(source_w=240)} == {UsbKind.FIXED}
    assert {level.kind for level in load_supply_levels()} == set(UsbKind)
    with pytest.raises(OutOfRangeError, match="efficiency"):
        UsbNeed(pack_full_v=12.6, wanted_a=1.0, efficiency_fraction=1.5)
    with pytest.raises(OutOfRangeError, match="above 0 W"):
        usb_plan(UsbNeed(pack_full_v=12.6, wanted_a=1.0), source_w=0.0)


def test_a_settable_level_is_asked_for_no_more_volts_than_needed():
    """12.6 V and 0.5 V of headroom: 13.1 V; 2.5 A into it are 35 W, 11.67 V at 3 A."""
    need = UsbNeed(pack_full_v=12.6, wanted_a=2.5)
    plan = usb_plan(need, source_w=60, kind=UsbKind.PROGRAMMABLE)
    assert plan.bus_v == pytest.approx(13.1)
    assert plan.charge_a == 2.5
    stepped = usb_plan(need, source_w=60, kind=UsbKind.ADJUSTABLE)
    assert stepped.bus_v == pytest.approx(13.1)
    high = usb_plan(UsbNeed(pack_full_v=12.6, wanted_a=3.5), source_w=60, kind=UsbKind.PROGRAMMABLE)
    assert high.bus_v == pytest.approx(12.6 * 3.5 / 0.9 / 3.0, abs=0.02)


def test_settable_levels_need_the_watts_of_the_fixed_level_they_stand_on():
    assert levels_offered(source_w=27, kind=UsbKind.ADJUSTABLE) == ()
    tops = [each.highest_v for each in levels_offered(source_w=65, kind=UsbKind.PROGRAMMABLE)]
    assert tops == [5.9, 11.0, 16.0, 21.0]


def test_plain_usb_gives_five_volts_and_no_more_than_its_watts():
    plan = usb_plan(UsbNeed(pack_full_v=4.2, wanted_a=1.0), source_w=5, kind=UsbKind.PLAIN)
    assert (plan.bus_v, plan.level.most_a) == (5.0, 0.9)
    assert plan.charge_a == pytest.approx(4.5 * 0.9 / 4.2)


def test_the_smallest_source_that_does():
    """12.6 V times 2.5 A over 0.90 is 35 W at 15 V, 2.33 A: the 45 W source, by hand."""
    assert least_source_w(UsbNeed(pack_full_v=12.6, wanted_a=2.5)) == 45.0
    assert least_source_w(UsbNeed(pack_full_v=60.0, wanted_a=2.5)) is None


def test_levels_above_twenty_volts_need_a_marked_cable():
    assert usb_plan(UsbNeed(pack_full_v=25.2, wanted_a=1.0), source_w=140).level is None
    marked = UsbNeed(pack_full_v=25.2, wanted_a=1.0, cable_a=5.0)
    assert usb_plan(marked, source_w=140).bus_v == 28.0


def test_exclusive_never_charges_and_drives_at_once():
    table = interlock_table(ChargePolicy.EXCLUSIVE)
    assert len(table) == 8
    assert not any(row.charge_enabled and row.load_enabled for row in table)


@pytest.mark.parametrize("policy", list(ChargePolicy))
def test_unfit_cells_are_never_charged_and_no_charger_means_no_charge(policy):
    for row in interlock_table(policy):
        assert not (row.charge_enabled and not row.cells_fit_to_charge)
        assert not (row.charge_enabled and not row.charger_present)
        assert not (row.load_enabled and not row.switch_on)
        assert row.reason


def test_power_path_runs_while_it_charges():
    table = interlock_table(ChargePolicy.POWER_PATH)
    assert any(row.charge_enabled and row.load_enabled for row in table)


@pytest.mark.parametrize(
    ("watts", "volts", "amps"),
    [
        (15, 5, 3), (27, 9, 3), (45, 15, 3), (60, 20, 3), (100, 20, 5),
        (140, 28, 5), (180, 36, 5), (240, 48, 5),
    ],
)  # fmt: skip
def test_published_top_level_of_each_power(watts, volts, amps):
    """Renesas node 594496 up to 100 W; EngineerIT April 2022, p. 35, above it."""
    top = levels_offered(source_w=watts)[-1]
    assert (top.highest_v, top.most_a) == (volts, amps)
    assert top.most_w == pytest.approx(watts)


def test_three_cells_at_two_amps_need_28_watts():
    """12.6 V times 2 A over 0.90 is 28 W, worked out by hand."""
    need = UsbNeed(pack_full_v=12.6, wanted_a=2.0, efficiency_fraction=0.90)
    plan = usb_plan(need, source_w=60)
    assert plan.input_w == pytest.approx(28.0)
    assert plan.limited_by == ""
