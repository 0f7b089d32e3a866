"""Cells with years and cycles behind them: reckoned with less until they are measured."""

from __future__ import annotations

import pytest

from packdesign.data.cell_table import load_cells
from packdesign.engineering.ageing.calendar import Rest, calendar_ageing
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.planning.assess.design import cell_model_of
from packdesign.planning.assess.worn_cells import as_worn, wear_of
from packdesign.planning.brief.load import brief_from_text
from packdesign.planning.verdicts.verdict import Status

CELL = "Samsung SDI INR18650-25R"
PACK = {"cell": CELL, "series": 3, "parallel": 1}
LOADS = [{"name": "lamp", "watts": 10, "duty": 1}]
NEW = model_from_datasheet(load_cells().find(CELL))


def brief(more: str, *, measured: str = ""):  # type: ignore[no-untyped-def]
    text = f'[pack]\ncell = "{CELL}"\nseries = 3\nparallel = 1\n{more}\n{measured}\n'
    return brief_from_text(text)


def worn(more: str, *, measured: str = ""):  # type: ignore[no-untyped-def]
    return cell_model_of(brief(more, measured=measured), load_cells().find(CELL))


def test_years_take_what_the_law_of_the_family_says() -> None:
    cell = load_cells().find(CELL)
    rest = Rest(temperature_degc=20.0, soc=0.5, days=3 * 365.0)
    law = calendar_ageing(cell.family, rest)
    found = worn('age = "1095 day"')
    assert found.capacity_ah == pytest.approx(NEW.capacity_ah * law.capacity_fraction.mid)
    assert found.ohmic_ohm == pytest.approx(NEW.ohmic_ohm * law.resistance_ratio.mid)
    assert found.spread.capacity_fraction > NEW.spread.capacity_fraction
    assert "age and cycles" in found.bases["capacity"]


def test_cycles_take_more_the_more_there_are() -> None:
    left = [worn(f"cycles_done = {count}").capacity_ah for count in (1, 100, 400)]
    assert left == sorted(left, reverse=True)
    assert left[0] == pytest.approx(NEW.capacity_ah, rel=2e-3)
    assert worn("cycles_done = 20000").capacity_ah > 0


def test_new_cells_are_those_of_the_sheet() -> None:
    assert worn("cycles_done = 0") == NEW


def test_what_was_measured_goes_before_what_was_reckoned() -> None:
    found = worn("cycles_done = 300", measured='[measured]\ncell_capacity = "2.2 Ah"')
    assert found.capacity_ah == 2.2
    assert found.bases["capacity"] == "measured, from the brief"


def test_older_than_anything_published_is_reckoned_as_new_and_said_so() -> None:
    section = brief('age = "40 year"').pack
    assert section is not None
    wear = wear_of(section, load_cells().find(CELL))
    assert wear.capacity_fraction is None
    assert as_worn(NEW, wear) is NEW
    assert "14610.0 days" in wear.cautions[0]


@pytest.mark.parametrize(
    ("told", "status", "words"),
    [
        ({"age": "1 year"}, Status.OK, "1 year behind"),
        ({"age": "2 year", "cycles_done": 300}, Status.CAUTION, "2 years and 300 cycles"),
        ({"age": "40 year"}, Status.UNKNOWN, "reckoned as new"),
    ],
)
def test_the_verdict_says_what_is_reckoned_with(judged, told, status, words) -> None:
    verdict = judged(pack=PACK | told, loads=LOADS)["cells_worn"]
    assert verdict.status is status
    assert words in verdict.reason
    assert (verdict.fix == "") is (status is Status.OK)
    assert ("Take new cells" in verdict.fix) is (status is Status.CAUTION)


@pytest.mark.parametrize(
    "more",
    [
        {"pack": PACK},
        {"pack": PACK | {"cycles_done": 300}, "measured": {"cell_capacity": "2.2 Ah"}},
    ],
)
def test_new_or_measured_cells_get_no_verdict(judged, more) -> None:
    assert "cells_worn" not in judged(loads=LOADS, **more)
