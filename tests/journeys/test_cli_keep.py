"""``packdesign keep``: the years ahead, storing, carrying, label, the end, from a brief."""

from __future__ import annotations

import datetime

import pytest

BRIEF = """\
title = "lamp"
[pack]
cell = "Samsung SDI INR18650-25R"
series = 3
parallel = 2
[pack.fuse]
kind = "fuse"
rating = "5 A"
[[loads]]
name = "lamp"
watts = 20
min_voltage = "9 V"
[storage]
temperature = "20 degC"
soc = 0.5
uses_per_week = 2
service_life = "4 year"
[carrying]
mode = "car"
"""


@pytest.fixture
def lamp(tmp_path):
    def write(more=""):
        path = tmp_path / "lamp.toml"
        path.write_text(BRIEF + more)
        return path

    return write


def test_the_years_storing_and_carrying(packdesign, lamp):
    done = packdesign("keep", lamp(), "--json")
    found = done.json
    assert done.status == 0
    assert [year["years"] for year in found["years"]] == [1.0, 2.0, 3.0, 4.0, 5.0]
    left = [year["capacity_fraction"]["mid"] for year in found["years"]]
    grown = [year["resistance_ratio"]["mid"] for year in found["years"]]
    assert left == sorted(left, reverse=True)
    assert grown == sorted(grown)
    again = datetime.date.fromisoformat(found["storage"]["next_check"])
    assert 0 < (again - datetime.date.today()).days <= 90
    assert found["carrying"]["cargo"] == "UN 3481"
    assert found["carrying"]["may_travel_by_air_or_post"] is False
    assert found["carrying"]["free_ah"] == pytest.approx(100 / 10.8, rel=1e-6)
    assert any("discharge up to 5 A" in line for line in found["label"])
    assert found["retire_now"] == []


def test_a_worn_pack_is_told_to_retire(packdesign, lamp):
    """1.9 Ah of 2.5 Ah are 76 %; a dent is no matter of percent."""
    worn = packdesign("keep", lamp('[measured]\ncell_capacity = "1.9 Ah"\n'), "--json")
    assert worn.status == 0
    assert any("76 %" in reason for reason in worn.json["retire_now"])
    dented = packdesign("keep", lamp("[measured.condition]\ndented = true\n"), "--json")
    assert dented.status == 1
    assert "retire_now" in [each["id"] for each in dented.json["verdicts"]]


def test_fire_and_injury_are_shown_where_they_are_asked_for(packdesign, lamp):
    plain = packdesign("keep", lamp())
    urgent = packdesign("keep", lamp(), "--emergency")
    assert "MAKING A RETIRED PACK SAFE" in plain.out
    assert "SOMEONE IS HURT" not in plain.out
    assert "SOMEONE IS HURT" in urgent.out


def test_without_a_load_nothing_can_be_said(packdesign, tmp_path):
    path = tmp_path / "bare.toml"
    path.write_text('[pack]\ncell = "Samsung SDI INR18650-25R"\nseries = 1\n')
    done = packdesign("keep", path)
    assert done.status == 2
    assert "Traceback" not in done.err


def test_the_label_claims_no_current_that_needs_a_temperature_cut(packdesign, lamp):
    """35 A of the INR18650-25S hold only while something cuts off at a cell temperature; 25 do."""
    brief = lamp()
    text = brief.read_text(encoding="utf-8").replace("INR18650-25R", "INR18650-25S")
    brief.write_text(text.replace('rating = "5 A"', 'rating = "80 A"'), encoding="utf-8")
    label = packdesign("keep", brief, "--json").json["label"]
    assert any("discharge up to 50 A" in line for line in label)


def test_the_label_never_allows_charging_in_frost_though_a_sheet_does(packdesign, lamp):
    """Molicel P50B: the sheet prints -20 to 60 degC, and its cells have graphite."""
    brief = lamp()
    text = brief.read_text(encoding="utf-8")
    brief.write_text(
        text.replace("Samsung SDI INR18650-25R", "Molicel INR-21700-P50B"), encoding="utf-8"
    )
    label = packdesign("keep", brief, "--json").json["label"]
    assert any("charge only from 0 to 60 degC" in line for line in label)


def test_a_label_that_must_not_be_used_says_so(packdesign, lamp):
    """Here only a part is judged: a clean label counts once the whole does not say stop."""
    dented = packdesign("keep", lamp("[measured.condition]\ndented = true\n"))
    head, _, label = dented.out.partition("\nLABEL\n")
    assert head
    assert label.split("\n")[0].strip() == "STOP: DO NOT CHARGE OR USE"
    fine = packdesign("keep", lamp())
    label = fine.out.partition("\nLABEL\n")[2]
    assert label.split("\n")[0].strip().startswith("3S2P")
    assert "counts only once 'packdesign assess' does not say stop" in " ".join(label.split())
    assert packdesign("keep", lamp(), "--json").json["label_warning"] == ""


def test_charges_of_a_part_and_full_cycles_are_not_one_word(packdesign, lamp):
    """54 Wh last the lamp of 20 W for 2.6 h; an hour of it is about two fifths of the pack."""
    brief = lamp('[mission]\nrun_time = "1 h"\n')
    kept = packdesign("keep", brief, "--json").json
    depth = kept["years"][0]["charge_depth_fraction"]
    assert depth == pytest.approx(0.38, abs=0.03)
    told = " ".join(packdesign("keep", brief).out.split())
    assert f"after charges of {depth * 100:.0f} % capacity left" in told
    assert f"fills back {depth * 100:.0f} % of the capacity" in told
    charge = " ".join(packdesign("charge", brief).out.split())
    assert "full cycles it lives" in charge
    assert "Full cycles until 80 % of the capacity is left" in charge
