"""What cells cost: given in a table or a brief, and never guessed."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from packdesign.data.cell_table import load_cells
from packdesign.foundation.errors import BriefError, TableError, UnknownNameError
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.cells import cell_table_of
from packdesign.planning.shortlist.ranking import pareto_front
from packdesign.planning.shortlist.service import shortlist
from packdesign.presentation.export.shortlist_object import shortlist_csv, shortlist_object

DEAR, CHEAP, UNPRICED = (
    "Samsung SDI INR18650-25R", "Molicel INR-18650-P26A", "Molicel INR-18650-P28A",
)  # fmt: skip
HEAD = "maker,part_number,form,size_code,chemistry,capacity_mah,nominal_v,full_v,cutoff_v"
OWN = "Own,Twin {0},cylinder,18650,NMC,2500,3.6,4.2,2.5"


def lamp(**preferences: Any) -> Brief:
    """Give a lamp of 4 W for three cells side by side."""
    return brief_from_mapping(
        {
            "cavity": {"shape": "tube", "bore": "46 mm", "length": "90 mm", "closure": "vented"},
            "loads": [{"name": "lamp", "watts": 4.0, "min_voltage": "6 V", "max_voltage": "13 V"}],
            "pack": {"series": 3, "parallel": 1},
            "preferences": preferences,
        }
    )


def priced(**each: float) -> list[dict[str, Any]]:
    """Give the prices of a brief."""
    names = {"dear": DEAR, "cheap": CHEAP}
    return [{"cell": names[name], "price": value} for name, value in each.items()]


def listed(brief: Brief) -> Any:
    table = cell_table_of(brief)
    return shortlist(
        brief, cells=tuple(table.find(name) for name in (DEAR, CHEAP, UNPRICED)), exact=0
    )


def test_the_shipped_table_has_no_prices():
    assert {cell.price for cell in load_cells()} == {None}
    figures = listed(lamp()).candidates[0].figures
    assert (figures.price, figures.currency) == (None, "")


def test_the_price_of_a_pack_is_that_of_all_its_cells():
    found = listed(lamp(prices=priced(dear=4.5, cheap=3.0)))
    by_cell = {each.trial.cell.name: each.figures for each in found.candidates}
    assert by_cell[DEAR].price == pytest.approx(3 * 4.5)
    assert by_cell[CHEAP].price == pytest.approx(3 * 3.0)
    assert by_cell[UNPRICED].price is None


def test_a_cell_without_a_price_is_not_cheaper_than_any_with_one():
    only_price = dict.fromkeys(
        ("safety", "run_time", "burst", "temperature", "mass", "volume", "cycle_life",
         "charge_time"), 0.0
    )  # fmt: skip
    found = listed(lamp(prices=priced(dear=40.0, cheap=3.0), weights={**only_price, "price": 1.0}))
    order = [each.trial.cell.name for each in found.candidates]
    assert order[0] == CHEAP
    assert order.index(UNPRICED) >= 1
    front = pareto_front((*found.candidates, *found.others), by=("price", "mass"))
    assert UNPRICED not in {each.trial.cell.name for each in front}


def test_a_given_price_counts_where_all_else_is_equal(tmp_path: Path):
    rows = [f"{OWN.format('a')},9,EUR", f"{OWN.format('b')},2,EUR"]
    table = tmp_path / "own.csv"
    table.write_text("\n".join([f"{HEAD},price,currency", *rows]), encoding="utf-8")
    brief = lamp().model_copy(update={"cell_table": table})
    cells = tuple(cell for cell in cell_table_of(brief) if cell.maker == "Own")
    order = [
        each.trial.cell.part_number for each in shortlist(brief, cells=cells, exact=0).candidates
    ]
    assert order == ["Twin b", "Twin a"]


def test_json_and_csv_show_the_price_and_leave_the_unknown_blank():
    found = listed(lamp(prices=priced(cheap=3.0)))
    told = {each["pack"]["cell"]: each for each in shortlist_object(found)["candidates"]}
    assert (told[CHEAP]["price"], told[CHEAP]["currency"]) == (9.0, "EUR")
    assert (told[DEAR]["price"], told[DEAR]["currency"]) == (None, None)
    lines = shortlist_csv(found.candidates).splitlines()
    assert lines[0].endswith(",price,currency")
    assert sum(line.endswith(",9.0,EUR") for line in lines) == 1
    assert sum(line.endswith(",,") for line in lines) == len(lines) - 2


@pytest.mark.parametrize(
    ("row", "message"),
    [
        (",3,", "currency.*say what the price is in"),
        (",0,EUR", "price"),
        (",-2,EUR", "price"),
        (",cheap,EUR", "price"),
    ],
)
def test_a_price_that_cannot_be_used_is_refused(tmp_path: Path, row: str, message: str):
    table = tmp_path / "own.csv"
    table.write_text(f"{HEAD},price,currency\n{OWN.format('a')}{row}\n", encoding="utf-8")
    with pytest.raises(TableError, match=message):
        load_cells(table)


def test_prices_in_two_currencies_cannot_be_compared():
    both = [*priced(dear=4.0), {"cell": CHEAP, "price": 3.0, "currency": "USD"}]
    with pytest.raises(BriefError, match="EUR and USD; give all of them in one currency"):
        cell_table_of(lamp(prices=both))


def test_a_price_for_no_cell_and_an_entry_without_price_are_refused():
    with pytest.raises(UnknownNameError, match="25R"):
        cell_table_of(lamp(prices=[{"cell": "Samsung SDI INR18650-25X", "price": 1.0}]))
    with pytest.raises(BriefError, match="has no price"):
        cell_table_of(lamp(prices=[{"cell": DEAR}]))
