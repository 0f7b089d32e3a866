"""The shipped cells, row by row, and how they are found."""

from __future__ import annotations

import copy
import csv

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.data.cell_columns import CELL_COLUMNS, FIELD_OF_COLUMN
from packdesign.data.cell_limits import HIGHEST_WH_PER_KG, HIGHEST_WH_PER_L
from packdesign.data.cell_row import family_from_chemistry
from packdesign.data.cell_sizes import code_dimensions_m, outer_volume_l
from packdesign.data.cell_table import CellTable, load_cells
from packdesign.data.cells import Cell, CellForm, Confidence, Family
from packdesign.data.folder import table_path
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import UnknownNameError

CELLS = tuple(load_cells())
BY_NAME = pytest.mark.parametrize("cell", CELLS, ids=[cell.name for cell in CELLS])


def test_there_are_at_least_120_cells_with_names_of_their_own() -> None:
    assert len(CELLS) >= 120
    assert len({cell.name.lower() for cell in CELLS}) == len(CELLS)


def test_every_family_and_form_is_there() -> None:
    assert {cell.family for cell in CELLS} == set(Family)
    assert {cell.form for cell in CELLS} == set(CellForm)
    sizes = {cell.size_code for cell in CELLS if cell.form is CellForm.CYLINDER}
    assert {
        "10440", "14500", "16340", "18350", "18500", "18650", "20650", "20700", "21700",
        "26650", "26700", "32650", "32700", "33140", "38120",
    } <= sizes  # fmt: skip


@BY_NAME
def test_a_row_holds_together(cell: Cell) -> None:
    assert cell.source
    assert cell.cutoff_v < cell.nominal_v < cell.full_v
    assert 0.05 < cell.capacity_ah < 25
    assert cell.basis_of("capacity_ah") in (Basis.DATASHEET, Basis.PUBLISHED, Basis.ASSUMED)
    for name in ("continuous_a", "max_charge_a", "standard_charge_a", "pulse_a"):
        value = getattr(cell, name)
        assert value is None or value > 0
        assert (value is None) == (name not in cell.bases)
    if cell.continuous_a is not None:
        assert cell.continuous_condition, "each rating says under which condition it holds"
    if cell.form is CellForm.CYLINDER:
        assert cell.thickness_m is None
    else:
        assert cell.diameter_m is None


@pytest.mark.parametrize(
    "cell",
    [cell for cell in CELLS if cell.form is CellForm.CYLINDER and cell.diameter_m],
    ids=lambda cell: cell.name,
)
def test_a_size_agrees_with_its_code(cell: Cell) -> None:
    code = code_dimensions_m(cell.size_code, form=cell.form)
    assert code is not None
    assert cell.diameter_m is not None
    assert code[0] - 0.0005 <= cell.diameter_m <= code[0] + 0.001
    if cell.length_m is not None:
        # makers hold the length of a 32700 anywhere from 70 to 72 mm, of an 18500 from 49.4 mm,
        # and Headway that of its 38120 at 122 +-1 mm
        assert code[1] - 0.0007 <= cell.length_m <= code[1] + 0.0031


@BY_NAME
def test_energy_is_what_the_size_can_hold(cell: Cell) -> None:
    energy_wh = cell.capacity_ah * cell.nominal_v
    volume_l = outer_volume_l(cell)
    if volume_l:
        assert 80 < energy_wh / volume_l < 0.8 * HIGHEST_WH_PER_L
    if cell.mass_kg:
        assert 40 < energy_wh / cell.mass_kg < 0.7 * HIGHEST_WH_PER_KG


@BY_NAME
def test_what_needs_a_temperature_cut_is_no_continuous_rating(cell: Cell) -> None:
    words = cell.continuous_condition.lower()
    if cell.continuous_needs_temperature_cut:
        assert cell.continuous_without_cut_a == cell.uncut_continuous_a
        assert "cut" in words or "skin" in words
    elif cell.continuous_a is not None:
        assert "cut-off" not in words
    for each in ("chart", "marketing", "not a rating"):
        assert each not in words.replace("(chart)", "").replace("the sheet prints no rating", "")


def test_the_cells_with_both_ratings_give_the_lower_without_a_cut() -> None:
    table = load_cells()
    both = {
        cell.part_number: (cell.continuous_a, cell.continuous_without_cut_a)
        for cell in table
        if cell.continuous_needs_temperature_cut and cell.uncut_continuous_a
    }
    assert both == {
        "INR21700-50S": (45, 25),
        "INR21700-40T": (45, 35),
        "INR18650-25S": (35, 25),
        "N21700-45D": (60, 30),
    }
    assert table.find("INR-21700-P50B").continuous_without_cut_a is None


def test_a_label_of_a_ready_made_pack_is_not_taken_for_a_rating() -> None:
    labelled = [cell for cell in CELLS if "marketing" in cell.unrated_condition]
    assert len(labelled) == 4
    assert all(cell.continuous_a is None and cell.unrated_a for cell in labelled)


def test_recalled_figures_count_as_assumed_and_measured_ones_as_published() -> None:
    cell = load_cells().find("INR18650MJ1")
    assert cell.basis_of("full_v") is Basis.DATASHEET
    assert cell.basis_of("ac_resistance_ohm") is Basis.ASSUMED
    assert cell.basis_of("dc_resistance_ohm") is Basis.PUBLISHED
    assert load_cells().find("IFR26650-4000").basis_of("full_v") is Basis.PUBLISHED
    assert load_cells().find("INR21700-40T").basis_of("capacity_ah") is Basis.DATASHEET
    recalled = load_cells().find("Generic ICR10440")
    assert set(recalled.bases.values()) == {Basis.ASSUMED}
    assert recalled.confidence is Confidence.LOW


def test_the_heading_of_the_shipped_table_is_the_documented_one() -> None:
    with table_path("cells.csv").open(encoding="utf-8", newline="") as file:
        heading = next(csv.reader(file))
    a_builders_own = {"price", "currency"}
    known = {*CELL_COLUMNS.required, *CELL_COLUMNS.optional}
    assert set(heading) == known - a_builders_own
    assert set(FIELD_OF_COLUMN) - a_builders_own <= set(heading)


def test_a_cell_is_found_by_any_spelling_of_its_name() -> None:
    table = load_cells()
    wanted = table.find("Samsung SDI INR18650-30Q")
    for spelling in ("samsung sdi inr18650-30q", "INR18650 30Q", "inr1865030q"):
        assert table.find(spelling) is wanted


@given(position=st.integers(min_value=0, max_value=len(CELLS) - 1))
def test_each_cell_finds_itself(position: int) -> None:
    cell = CELLS[position]
    assert load_cells().find(cell.name.upper()) is cell


def test_an_unknown_cell_offers_the_nearest() -> None:
    with pytest.raises(UnknownNameError, match="nearest: Samsung SDI INR18650-30Q"):
        load_cells().find("samsung 30Q")
    with pytest.raises(UnknownNameError, match="no cell named ''"):
        load_cells().find("")


def test_a_part_number_of_two_makers_needs_the_maker() -> None:
    first = load_cells().find("INR18650-30Q")
    fields = {name: getattr(first, name) for name in Cell.__slots__}
    second = Cell(**{**fields, "maker": "Another"})
    table = CellTable([first, second])
    assert table.find("Another INR18650-30Q") is second
    with pytest.raises(UnknownNameError, match="nearest:"):
        table.find("INR18650-30Q")


def test_names_in_other_alphabets_stay_apart() -> None:
    first = load_cells().find("INR18650-30Q")
    fields = {name: getattr(first, name) for name in Cell.__slots__}
    cells = [
        Cell(**{**fields, "maker": "電池", "part_number": part}) for part in ("甲", "乙", "**")
    ]
    table = CellTable(cells)
    for cell in cells:
        assert table.find(cell.name) is cell
    assert table.find("乙") is cells[1]


def test_rows_can_be_chosen_by_what_they_are() -> None:
    rows = load_cells().rows_with(form=CellForm.CYLINDER, family=Family.LFP, size_code="26650")
    assert len(rows) == 10
    assert all(cell.family is Family.LFP for cell in rows)


def test_a_cell_is_a_value_that_caches_can_key_on() -> None:
    cell = CELLS[0]
    twin = copy.deepcopy(cell)
    assert twin == cell
    assert hash(twin) == hash(cell)
    assert len({cell, twin, CELLS[1]}) == 2


@pytest.mark.parametrize(
    ("words", "family"),
    [
        ("NMC / graphite-SiO", Family.NMC),
        ("NCA/NMC", Family.NCA),
        ("LCO/NMC", Family.LCO),
        ("LiFePO4", Family.LFP),
        ("high-Ni NMC", Family.NMC),
        ("Na-ion (layered oxide/hard carbon)", Family.NA_ION),
        ("lithium titanate", Family.LTO),
        ("lead acid", None),
    ],
)
def test_family_read_from_words(words: str, family: Family | None) -> None:
    assert family_from_chemistry(words) is family


@BY_NAME
def test_the_family_column_says_what_the_chemistry_says(cell: Cell) -> None:
    assert family_from_chemistry(cell.chemistry) is cell.family


@pytest.mark.parametrize("slip", ["25r2", "30qq", "INR18650-25R5", "samsung 25 R"])
def test_a_slip_in_a_short_name_is_answered_with_names_too(slip: str) -> None:
    with pytest.raises(UnknownNameError, match=r"INR18650-(25R|30Q)"):
        load_cells().find(slip)
