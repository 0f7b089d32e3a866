"""Size codes read into dimensions, and the volume that bounds what a cell can hold."""

from __future__ import annotations

import dataclasses
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.data.cell_sizes import code_dimensions_m, outer_volume_l
from packdesign.data.cell_table import load_cells
from packdesign.data.cells import CellForm


@pytest.mark.parametrize(
    ("code", "form", "millimetres"),
    [
        ("10440", CellForm.CYLINDER, (10, 44)),
        ("18650", CellForm.CYLINDER, (18, 65)),
        ("21700", CellForm.CYLINDER, (21, 70)),
        ("32700", CellForm.CYLINDER, (32, 70)),
        ("33140", CellForm.CYLINDER, (33, 140)),
        ("4680", CellForm.CYLINDER, (46, 80)),
        ("803450", CellForm.POUCH, (8.0, 34, 50)),
        ("103450", CellForm.PRISM, (10, 34, 50)),
        ("3268100", CellForm.POUCH, (3.2, 68, 100)),
    ],
)
def test_codes_of_the_trade(code: str, form: CellForm, millimetres: tuple[float, ...]) -> None:
    found = code_dimensions_m(code, form=form)
    assert found == pytest.approx([each / 1000 for each in millimetres])


@pytest.mark.parametrize("code", ["", "AA", "18650 LFP", "7x160x227", "75106100", "186", "B042126"])
def test_a_code_that_says_nothing_for_certain_gives_nothing(code: str) -> None:
    assert code_dimensions_m(code, form=CellForm.POUCH) is None
    assert code_dimensions_m(code, form=CellForm.CYLINDER) is None


@given(diameter=st.integers(10, 60), tenths=st.integers(200, 999))
def test_a_five_digit_code_is_read_back(diameter: int, tenths: int) -> None:
    code = f"{diameter:02d}{tenths:03d}"
    found = code_dimensions_m(code, form=CellForm.CYLINDER)
    assert found == pytest.approx((diameter / 1000, tenths / 10_000))


def test_volume_by_dimensions_else_by_code() -> None:
    """A cylinder of 18.4 x 65.0 mm holds 17.28 cm3, one of 18 x 65 mm 16.54 cm3."""
    cell = load_cells().find("INR18650-25R")
    assert outer_volume_l(cell) == pytest.approx(math.pi / 4 * 1.84**2 * 6.5 / 1000)
    bare = dataclasses.replace(cell, diameter_m=None, length_m=None)
    assert outer_volume_l(bare) == pytest.approx(math.pi / 4 * 1.8**2 * 6.5 / 1000)
    nothing = dataclasses.replace(bare, size_code="special")
    assert outer_volume_l(nothing) is None


def test_volume_of_a_pouch() -> None:
    cell = load_cells().find("PKCELL LP803860")
    assert outer_volume_l(cell) == pytest.approx(0.85 * 3.85 * 6.2 / 1000)
    assert outer_volume_l(dataclasses.replace(cell, width_m=None)) == pytest.approx(
        0.8 * 3.8 * 6.0 / 1000
    )
