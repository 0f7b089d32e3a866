"""Names in drawings go in whole, or not at all, and never onto a cell."""

from __future__ import annotations

import re

from packdesign.presentation.drawing.inscription import beside, inside


def _at(mark: str) -> tuple[float, float]:
    found = re.search(r' x="([-\d.]+)" y="([-\d.]+)"', mark)
    assert found is not None
    return float(found[1]), float(found[2])


def test_a_wide_rectangle_takes_a_name_level() -> None:
    (mark,) = inside((0, 0), (200, 20), "end stop")
    assert "rotate" not in mark


def test_a_narrow_rectangle_takes_a_name_upright() -> None:
    (mark,) = inside((0, 0), (20, 200), "end stop")
    assert "rotate(-90" in mark


def test_a_long_name_is_broken_before_it_is_left_out() -> None:
    marks = inside((0, 0), (100, 50), "charge board and its plug")
    assert len(marks) == 2
    assert inside((0, 0), (30, 9), "charge board and its plug") == []


def test_a_name_keeps_off_what_is_there() -> None:
    (mark,) = beside((0, 0), (300, 40), "board", [((0, 0), (120, 40)), ((100, 0), (180, 40))])
    assert 180 < _at(mark)[0] < 300


def test_no_name_where_all_is_covered() -> None:
    assert beside((0, 0), (300, 40), "board", [((-5, -5), (305, 45))]) == []
