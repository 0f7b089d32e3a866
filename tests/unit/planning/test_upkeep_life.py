"""Life, storage, carrying, label, retiring."""

from __future__ import annotations

import dataclasses
import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Family
from packdesign.engineering.ageing.cycle_life import CycleUse
from packdesign.engineering.ageing.estimate import AgeingEstimate
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.run import PackModel
from packdesign.engineering.thermal.path import ThermalPath
from packdesign.foundation.basis import Band, Basis
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.hazards.transport import PassengerRule
from packdesign.planning.hazards.transport_rules import HOME_BUILT, RULES
from packdesign.planning.upkeep.aged_burst import Burst, aged_burst, aged_pack
from packdesign.planning.upkeep.label import LabelFacts, label_gaps, label_lines
from packdesign.planning.upkeep.life import Mission, life_years
from packdesign.planning.upkeep.retire import (
    Occasion,
    PackHealth,
    advice_for,
    reasons_to_retire,
)
from packdesign.planning.upkeep.service import UpkeepNeed, plan_upkeep
from packdesign.planning.upkeep.storing import StorageCase, plan_storage, self_discharge_of

TODAY = datetime.date(2026, 11, 25)
POWER = load_cells().find("Samsung SDI INR18650-30Q")
HARD = Mission(
    cycles_per_week=2.0,
    use=CycleUse(discharge_crate=4.0, depth_fraction=0.8),
    storage_degc=20.0,
    storage_soc=0.5,
)


def test_a_hard_worked_pack_is_worse_each_year_and_names_its_end():
    years = life_years(POWER, HARD)
    left = [each.estimate.capacity_fraction.mid for each in years]
    assert left == sorted(left, reverse=True)
    assert years[1].cycles == pytest.approx(208.7, abs=0.1)
    assert years[0].ends_by == ""
    assert years[-1].ends_by in {"capacity", "resistance"}
    assert years[-1].run_time_fraction == years[-1].estimate.capacity_fraction


def pack() -> PackModel:
    return PackModel(
        cell=model_from_datasheet(POWER),
        series=3,
        parallel=1,
        path_ohm=0.03,
        thermal=ThermalPath(
            cell_to_surface_w_per_k=0.5, surface_to_air_w_per_k=0.05, surface_j_per_k=20.0
        ),
    )


def test_an_aged_pack_resets_at_a_warmer_temperature():
    burst = Burst(current_a=12.0, length_s=2.0, soc=0.3, needed_v=8.6)
    new_only = AgeingEstimate(
        capacity_fraction=Band.exact(1.0),
        resistance_ratio=Band.exact(1.0),
        basis=Basis.PUBLISHED,
        source="",
    )
    estimate = life_years(POWER, HARD, years=(2.0,))[0].estimate
    fresh = aged_burst(pack(), burst, estimate=new_only, years=0)
    old = aged_burst(pack(), burst, estimate=estimate, years=2)
    assert fresh.aged_degc == pytest.approx(fresh.new_degc)
    assert old.aged_degc > old.new_degc
    assert old.sentence == f"after 2 years it resets below {old.aged_degc:.0f} degC"
    easy = aged_burst(pack(), dataclasses.replace(burst, needed_v=4.0), estimate=estimate, years=2)
    assert "still works" in easy.sentence


def test_a_pack_that_fails_everywhere_says_so_and_an_unknown_family_is_refused():
    worn = AgeingEstimate(
        capacity_fraction=Band.exact(0.5),
        resistance_ratio=Band.exact(4.0),
        basis=Basis.PUBLISHED,
        source="",
    )
    burst = Burst(current_a=12.0, length_s=2.0, soc=0.3, needed_v=8.6)
    assert aged_burst(pack(), burst, estimate=worn, years=9).fails_everywhere
    unknown = dataclasses.replace(worn, resistance_ratio=None)
    with pytest.raises(OutOfRangeError, match="not known"):
        aged_pack(pack(), unknown)
    with pytest.raises(OutOfRangeError, match="a burst needs"):
        Burst(current_a=0.0, length_s=1.0, soc=0.5, needed_v=9.0)


def test_a_device_near_its_limit_ends_by_resistance_first():
    tight = Mission(
        cycles_per_week=2.0,
        use=HARD.use,
        storage_degc=20.0,
        storage_soc=0.5,
        largest_resistance_ratio=1.1,
    )
    assert life_years(POWER, tight, years=(2.0,))[0].ends_by == "resistance"


def test_missions_without_sense_are_refused():
    with pytest.raises(OutOfRangeError, match="cycles per week"):
        Mission(cycles_per_week=-1, use=HARD.use, storage_degc=20, storage_soc=0.5)


def storage(**changes: object) -> StorageCase:
    facts = {"family": Family.NMC, "capacity_ah": 2.5, "soc": 0.4, "storage_degc": 20.0}
    return StorageCase(**{**facts, **changes})


def test_board_drain_sets_the_date_where_it_is_the_larger():
    plan = plan_storage(storage(board_drain_a=0.001), today=TODAY)
    assert plan.set_by == "board drain"
    device = plan_storage(storage(board_drain_a=1e-5, device_drain_a=0.001), today=TODAY)
    assert device.set_by == "device drain"
    assert device.days_to_top_up < plan.days_to_top_up
    assert any("unplug them" in note for note in device.notes)
    assert plan.days_to_top_up < 90
    by_hand = 0.2 * 2.5 / (0.001 * 24 + 2.5 * plan.leak.fraction_per_month / 30)
    assert plan.days_to_top_up == pytest.approx(by_hand)
    assert plan.next_check == TODAY + datetime.timedelta(days=int(by_hand))
    assert any("unplug" in note for note in plan.notes)


def test_a_device_whose_drain_nobody_knows_is_said():
    unknown = plan_storage(storage(device_drain_is_whole=False), today=TODAY)
    known = plan_storage(storage(device_drain_a=0.0), today=TODAY)
    assert any("not known" in note for note in unknown.notes)
    assert not any("not known" in note for note in known.notes)


def test_what_is_known_shortens_the_storage_though_more_is_unknown_and_the_divider_is_named():
    """0.4 mA are 9.6 mAh a day: of 2.5 Ah, from 40 to 20 %, 52 days and less."""
    fed = storage(device_drain_a=4e-4, device_drain_is_whole=False, divider_drain_a=4e-4)
    plan = plan_storage(fed, today=TODAY)
    assert plan.days_to_top_up < 0.2 * 2.5 / (4e-4 * 24)
    assert any("9.6 mAh a day of what is counted" in note for note in plan.notes)
    cut = storage(divider_drain_a=4e-4, divider_is_switched_off=True)
    assert any("ahead of the switch" in note for note in plan_storage(cut, today=TODAY).notes)


@given(
    drain=st.floats(0.0, 0.01),
    soc=st.floats(0.05, 1.0),
    degc=st.floats(0.0, 60.0),
    family=st.sampled_from(list(Family)),
)
def test_the_check_is_never_later_than_the_makers(drain, soc, degc, family):
    case = storage(board_drain_a=drain, soc=soc, storage_degc=degc, family=family)
    plan = plan_storage(case, today=TODAY)
    assert 0 <= plan.days_to_top_up <= 90
    assert TODAY <= plan.next_check <= TODAY + datetime.timedelta(days=90)
    assert plan.leak.source


def test_warmer_leaks_faster_and_full_or_hot_is_said():
    cool = self_discharge_of(Family.NMC, storage_degc=20, soc=0.5)
    warm = self_discharge_of(Family.NMC, storage_degc=40, soc=0.5)
    assert warm.fraction_per_month > cool.fraction_per_month
    notes = plan_storage(storage(soc=0.95, storage_degc=50.0), today=TODAY).notes
    assert any("Nearly full" in note for note in notes)
    assert any("Above 45" in note for note in notes)
    with pytest.raises(OutOfRangeError, match="capacity above 0"):
        storage(capacity_ah=0.0)


def test_rules_are_dated_and_sourced():
    for rule in RULES:
        assert any(letter.isdigit() for letter in rule.since)
        assert rule.source


LABEL = LabelFacts(
    cell_name="INR18650-30Q", family=Family.NCA, series=3, parallel=1, nominal_v=10.8, full_v=12.6,
    capacity_ah=3.0, energy_wh=32.4, charge_a=1.5, discharge_a=15.0, charge_low_degc=0.0,
    charge_high_degc=45.0, has_fuse=True, fuse_a=20.0, built_by="me",
)  # fmt: skip


def test_the_label_says_what_matters():
    text = "\n".join(label_lines(LABEL))
    for part in ("3S1P", "32.4 Wh", "12.60 V", "1.5 A", "15 A", "0 to 45", "fuse 20 A"):
        assert part in text
    assert "no UN 38.3" in text
    assert label_gaps(LABEL) == ()


def test_the_label_leaves_the_day_of_the_build_to_the_builder():
    assert label_lines(LABEL)[-1] == "Built on __________ by me"
    assert (
        label_lines(dataclasses.replace(LABEL, built_by=""))[-1]
        == "Built on __________ by __________"
    )


@pytest.mark.parametrize(
    ("has_fuse", "fuse_a", "line", "gap"),
    [
        (None, None, "fuse __________ A", "the fuse is not known"),
        (True, None, "fuse __________ A", "the rating of the fuse is not known"),
        (False, None, "fuse none", "there is no fuse"),
    ],
)
def test_a_label_without_a_known_fuse_is_not_complete(has_fuse, fuse_a, line, gap):
    facts = dataclasses.replace(LABEL, has_fuse=has_fuse, fuse_a=fuse_a)
    assert line in "\n".join(label_lines(facts))
    assert label_gaps(facts) == (gap,)


def test_no_size_is_called_free_to_fly_without_a_test():
    for rule in PassengerRule:
        assert rule.sentence.startswith(("A tested battery", "No battery"))


@pytest.mark.parametrize("occasion", list(Occasion))
def test_advice_exists_for_each_occasion_with_its_source(occasion):
    found = advice_for(occasion)
    assert found
    assert all(each.source for each in found)


def test_nobody_is_told_to_use_salt_water():
    for occasion in Occasion:
        for each in advice_for(occasion):
            if "salt" in each.text.lower():
                assert each.text.lower().startswith(("never", "no "))


@pytest.mark.parametrize(
    ("health", "part"),
    [
        (PackHealth(capacity_fraction=0.75), "capacity at 75 %"),
        (PackHealth(resistance_ratio=2.1), "2.1 times new"),
        (PackHealth(group_gap_fraction=0.1), "falls behind"),
        (PackHealth(charged_below_freezing=True), "below freezing"),
        (PackHealth(swollen_dented_or_leaking=True), "swollen"),
        (PackHealth(below_floor=True), "below its floor"),
    ],
)
def test_each_reason_to_retire(health, part):
    assert any(part in reason for reason in reasons_to_retire(health))
    assert reasons_to_retire(PackHealth()) == ()


def need(**changes: object) -> UpkeepNeed:
    facts = {
        "cycles_per_week": 2.0,
        "discharge_a": 9.0,
        "depth_fraction": 0.8,
        "charge_a": 1.5,
        "end_v_per_cell": 4.2,
        "storage_degc": 20.0,
    }
    return UpkeepNeed(**{**facts, **changes})


def test_one_call_gives_all_of_it():
    burst = Burst(current_a=12.0, length_s=2.0, soc=0.3, needed_v=8.6)
    plan = plan_upkeep(POWER, pack(), need(burst=burst, continuous_a=15.0), today=TODAY)
    assert [each.years for each in plan.life] == [1.0, 2.0, 3.0, 5.0]
    temperatures = [each.aged_degc for each in plan.bursts if each.aged_degc is not None]
    assert temperatures == sorted(temperatures)
    assert plan.carrying.energy_wh == pytest.approx(3 * 3.6 * POWER.rated_capacity_ah)
    assert plan.carrying.passenger is PassengerRule.FREE
    assert not plan.carrying.may_travel_by_air_or_post
    assert plan.carrying.notes[0].startswith(HOME_BUILT)
    assert plan.storage.target_soc == pytest.approx(0.4)
    assert not any("2026-11-25" in line for line in plan.label)
    assert plan.label_gaps == ("the fuse is not known",)
    assert plan.retire
    assert plan.rules == RULES


def test_without_a_burst_or_with_one_the_new_pack_fails_there_are_no_temperatures():
    assert plan_upkeep(POWER, pack(), need(), today=TODAY).bursts == ()
    hopeless = Burst(current_a=12.0, length_s=2.0, soc=0.3, needed_v=12.5)
    assert plan_upkeep(POWER, pack(), need(burst=hopeless), today=TODAY).bursts == ()


def test_a_lower_charge_voltage_lengthens_the_life():
    high = plan_upkeep(POWER, pack(), need(), today=TODAY).life[1]
    low = plan_upkeep(POWER, pack(), need(end_v_per_cell=4.1), today=TODAY).life[1]
    assert low.estimate.capacity_fraction.mid > high.estimate.capacity_fraction.mid
    lowest = plan_upkeep(POWER, pack(), need(end_v_per_cell=3.7), today=TODAY).life[1]
    assert lowest.estimate.capacity_fraction.mid > low.estimate.capacity_fraction.mid
