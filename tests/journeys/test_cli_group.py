"""``packdesign group``: a bench list of cells becomes groups, and every joint is looked at."""

from __future__ import annotations

import pytest

BRIEF = '[pack]\ncell = "Samsung SDI INR18650-25R"\nseries = 2\nparallel = 2\n'
HEAD = "cell,rested_v,capacity_ah,resistance_milliohm,rest_days,start_v,origin\n"
LEVEL = (
    "A1,3.601,2.51,19.8,14,3.603,new\n"
    "A2,3.600,2.50,20.1,14,3.602,new\n"
    "A3,3.602,2.49,20.5,14,3.604,new\n"
    "A4,3.603,2.50,19.9,14,3.605,new\n"
)


@pytest.fixture
def bench(tmp_path):
    (tmp_path / "pack.toml").write_text(BRIEF)

    def lot(rows):
        (tmp_path / "cells.csv").write_text(HEAD + rows)
        return str(tmp_path / "pack.toml"), "--cells", str(tmp_path / "cells.csv")

    return lot


def test_level_cells_are_grouped_and_may_be_joined(packdesign, bench):
    done = packdesign("group", *bench(LEVEL))
    assert done.status == 0
    assert "Before each joint".upper() in done.out
    assert done.out.count("join it") == 2


def test_what_is_unfit_is_turned_away_with_its_reason(packdesign, bench):
    """0.2 V over 40 milliohm are 5 A; 1.25 A need 160 milliohm in all."""
    rows = LEVEL.replace("A4,3.603", "A4,3.802") + "A5,1.500,2.50,20.0,14,3.605,new\n"
    done = packdesign("group", *bench(rows), "--json")
    found = done.json
    assert done.status == 1
    assert [each["cell"] for each in found["rejected"]] == ["A5"]
    apart = next(each for each in found["joints"] if not each["is_level"])
    assert apart["peak_a"] == pytest.approx(apart["gap_v"] / 0.040, rel=0.02)
    assert apart["heat_j"] > 50
    assert apart["resistor_ohm"] == pytest.approx(apart["gap_v"] / 1.25 - 0.040, abs=0.002)
    assert found["overall"] == "stop"


@pytest.mark.parametrize(
    ("origin", "hazard"), [("salvaged", "salvaged_cells_in_pack"), ("mixed", "mixed_cell_models")]
)
def test_salvaged_and_mixed_cells_raise_the_gate(packdesign, bench, origin, hazard):
    done = packdesign("group", *bench(LEVEL.replace("A4,3.603,2.50,19.9,14,3.605,new",
                                                    f"A4,3.603,2.50,19.9,14,3.605,{origin}")),
                      "--json")  # fmt: skip
    assert hazard in [each["id"] for each in done.json["verdicts"]]
    assert done.status == (1 if origin == "salvaged" else 0)


def test_too_few_cells_are_a_stop_that_still_shows_the_rejects(packdesign, bench):
    done = packdesign("group", *bench("A1,1.2,2.51,19.8,14,3.603,new\n" + LEVEL[33:]), "--json")
    found = done.json
    assert done.status == 1
    assert found["groups"] == []
    assert [each["cell"] for each in found["rejected"]] == ["A1"]


@pytest.mark.parametrize("others", ["", "A5,3.601,2.50,20.0,14,3.603,new\n"])
@pytest.mark.parametrize(
    ("rows", "why"),
    [
        (LEVEL.replace("A4,3.603", "A4,4.600"), "4.60 V is above full (4.2 V)"),
        (LEVEL.replace("A4,3.603,2.50", "A4,3.603,9.5"), "9.5 Ah is more than this model holds"),
    ],
)
def test_an_overcharged_cell_and_an_impossible_capacity_are_a_stop(
    packdesign, bench, rows, why, others
):
    """A cell of 4.2 V that stands at 4.6 V; one of 2.5 Ah that claims 9.5 Ah."""
    done = packdesign("group", *bench(rows + others), "--json")
    found = done.json
    assert done.status == 1
    assert [each["cell"] for each in found["rejected"]] == ["A4"]
    assert why in found["rejected"][0]["reasons"][0]
    verdict = next(each for each in found["verdicts"] if each["id"] == "intake_cells")
    assert verdict["status"] == "stop"
    assert why in verdict["reason"]
    assert bool(found["groups"]) is bool(others)


def test_what_cannot_be_used_is_one_message(packdesign, bench, tmp_path):
    brief, _, _ = bench(LEVEL)
    without = packdesign("group", brief)
    assert without.status == 2
    assert "no file of measured cells" in without.err
    (tmp_path / "cells.csv").write_text("cell,volts\nA1,3.6\n")
    wrong = packdesign("group", brief, "--cells", str(tmp_path / "cells.csv"))
    assert wrong.status == 2
    assert "rested_v" in wrong.err


def test_no_row_and_a_name_twice_are_two_different_messages(packdesign, bench):
    empty = packdesign("group", *bench(""))
    assert empty.status == 2
    assert "no measured cell is in the list" in empty.err
    assert "twice" not in empty.err
    assert "[]" not in empty.err
    twice = packdesign("group", *bench(LEVEL + LEVEL.splitlines(keepends=True)[0]))
    assert twice.status == 2
    assert "the list has A1 more than once" in twice.err
