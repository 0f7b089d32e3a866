"""Each broken table of ``broken/`` is refused with its file, line, column and reason."""

from __future__ import annotations

from pathlib import Path

import pytest

from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Confidence, Family
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import TableError

BROKEN = Path(__file__).parent / "broken"
TOLERANCE = "dc_resistance_tolerance_milliohm"

CASES = [
    ("text_in_number", 3, "capacity_mah", "'2500 mAh' is not a number"),
    ("negative", 3, "capacity_mah", "is -2500; accepted: 5 to 400000"),
    ("nan", 2, "capacity_mah", "not a finite number"),
    ("infinite", 2, "nominal_v", "not a finite number"),
    ("blank_required", 3, "full_v", "is empty; it needs a number"),
    ("blank_maker", 2, "maker", "is empty"),
    ("unknown_form", 2, "form", "accepted: cylinder, pouch, prism; did you mean 'cylinder'"),
    ("unknown_chemistry", 2, "chemistry", "'NiMH' names no family known; accepted: nca, nmc"),
    ("unknown_family", 2, "family", "'nicd' is not known; accepted: nca, nmc"),
    ("no_chemistry", 2, "family", "give a family .* or a chemistry"),
    ("missing_column", 1, "full_v", "is missing; each table of this kind needs maker"),
    ("misspelt_column", 1, "continuous_amps", "no such column; nearest: continuous_a"),
    ("column_twice", 1, "full_v", "is there twice"),
    ("name_twice", 3, "part_number", "'OWN a-1' is already in line 2"),
    ("shipped_name", 2, "part_number", "already in the shipped table"),
    ("cutoff_above_full", 2, "cutoff_v", r"is 4 V, not below full_v \(2.5 V\)"),
    ("nominal_outside", 2, "nominal_v", "must lie between cutoff_v"),
    ("volts_of_a_pack", 2, "nominal_v", "is 11.1; accepted: 1 to 4.5"),
    ("false_18650", 3, "capacity_mah", "is 9900 mAh, which no 18650 can hold: .* Such a label"),
    ("false_18650_by_size", 2, "capacity_mah", "Wh per litre, where the best cells sold hold"),
    ("too_light", 2, "capacity_mah", "in 9 g, which is 1000 Wh/kg"),
    ("metres_for_millimetres", 2, "diameter_mm", "is 0.018; accepted: 0.3 to 600"),
    ("absurd_current", 2, "continuous_a", "more than 150 times the capacity"),
    ("uncut_above_cut", 2, "uncut_continuous_a", "without a cut it is never more"),
    ("rated_above_typical", 2, "rated_capacity_mah", "a guaranteed minimum is never above it"),
    ("tolerance_alone", 2, TOLERANCE, "which it belongs to, is empty"),
    ("tolerance_too_wide", 2, TOLERANCE, "is 25 milliohm, not below dc_resistance"),
    ("tolerance_in_ohms", 2, TOLERANCE, "is 0.006; accepted: 0.01 to 5000"),
    ("temperatures_swapped", 2, "charge_min_degc", "not below charge_max_degc"),
    ("perhaps", 2, "has_protection", "'perhaps' is neither yes nor no"),
    ("unknown_basis", 2, "basis", "did you mean 'measured'"),
    ("recalled_nothing", 2, "recalled_columns", "names no column of figures: 'capacity_ah'"),
    ("too_many_cells", 2, "cutoff_v", "has 11 cells under 9 headings"),
    ("unclosed_quote", 2, "(whole file)", "not readable"),
    ("empty", 1, "(whole file)", "is empty"),
    ("only_blank_lines", 1, "(whole file)", "is empty"),
    ("binary", 1, "(whole file)", "is not text; save it as CSV in UTF-8"),
    ("control_signs", 1, "(whole file)", "is not text"),
]


@pytest.mark.parametrize(("name", "line", "column", "reason"), CASES, ids=[c[0] for c in CASES])
def test_a_broken_table_is_refused_by_line_and_column(
    name: str, line: int, column: str, reason: str
) -> None:
    with pytest.raises(TableError, match=reason) as caught:
        load_cells(BROKEN / f"{name}.csv")
    assert (caught.value.file, caught.value.line, caught.value.column) == (
        f"{name}.csv",
        line,
        column,
    )


def test_every_broken_file_has_a_case() -> None:
    accepted = {"good", "excel_semicolon", "windows_page"}
    assert {path.stem for path in BROKEN.glob("*.csv")} == {case[0] for case in CASES} | accepted


def test_few_columns_are_enough_and_unstated_figures_count_as_assumed() -> None:
    table = load_cells(BROKEN / "good.csv")
    assert len(table) == len(load_cells()) + 2
    cell = table.find("own a1")
    assert cell.family is Family.NMC
    assert cell.basis_of("capacity_ah") is Basis.ASSUMED
    assert cell.confidence is Confidence.LOW
    assert cell.continuous_a is None


def test_a_table_as_a_european_spreadsheet_saves_it() -> None:
    cell = load_cells(BROKEN / "excel_semicolon.csv").find("Own A1")
    assert (cell.nominal_v, cell.full_v, cell.cutoff_v) == (3.6, 4.2, 2.5)
    assert cell.mass_kg == pytest.approx(0.0455)


def test_a_table_in_the_windows_code_page() -> None:
    assert load_cells(BROKEN / "windows_page.csv").find("Own A1").notes == "gemessen 20±2 °C"
