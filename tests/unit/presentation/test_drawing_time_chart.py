"""Charts over time: nothing leaves the frame, nothing lies over each other."""

from __future__ import annotations

from xml.etree import ElementTree as Xml

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some

from packdesign.presentation.drawing.scale import round_marks
from packdesign.presentation.drawing.time_chart import Curve, Panel, time_chart_svg

SVG = "{http://www.w3.org/2000/svg}"


@given(
    some.floats(-1e4, 1e4, allow_nan=False),
    some.floats(0, 1e4, allow_nan=False),
    some.integers(2, 9),
)
def test_marks_reach_round_what_is_shown(low: float, span: float, most: int) -> None:
    marks = round_marks(low, low + span, most=most)
    slack = 1e-6 * max(1.0, abs(low) + span)
    assert marks[0] <= low + slack
    assert marks[-1] >= low + span - slack
    assert 2 <= len(marks) <= most + 3
    assert list(marks) == sorted(set(marks))


def chart(values: np.ndarray, levels: tuple[tuple[str, float], ...] = ()) -> Xml.Element:
    time_s = np.linspace(0.0, 7200.0, len(values))
    svg = time_chart_svg(
        time_s,
        (
            Panel(
                title="voltage [V]",
                curves=(Curve(name="likely", values=values),),
                band=(values - 0.1, values + 0.1),
                levels=levels,
            ),
        ),
        title="run",
        words="<down> & out",
    )
    return Xml.fromstring(svg)


def test_lines_and_band_stay_inside_the_frame() -> None:
    found = chart(np.linspace(12.6, 7.5, 500), (("stop", 9.3),))
    frame = next(each for each in found.iter(f"{SVG}rect") if each.get("class") == "tc-frame")
    left, top = float(frame.get("x") or 0), float(frame.get("y") or 0)
    right, bottom = left + float(frame.get("width") or 0), top + float(frame.get("height") or 0)
    shapes = [*found.iter(f"{SVG}polyline"), *found.iter(f"{SVG}polygon")]
    assert len(shapes) == 2
    for shape in shapes:
        for point in (shape.get("points") or "").split():
            x, y = map(float, point.split(","))
            assert left - 0.1 <= x <= right + 0.1
            assert top - 0.1 <= y <= bottom + 0.1


def test_names_of_near_levels_are_set_apart() -> None:
    levels = tuple((f"level {number}", 9.0 + 0.01 * number) for number in range(5))
    found = chart(np.linspace(12.6, 7.5, 50), levels)
    heights = sorted(
        float(each.get("y") or 0)
        for each in found.iter(f"{SVG}text")
        if (each.text or "").startswith("level")
    )
    assert len(heights) == 5
    assert min(np.diff(heights)) >= 12.9


@pytest.mark.parametrize("values", [np.array([3.7]), np.full(9, 3.7)], ids=["one point", "level"])
def test_a_run_that_ends_at_once_is_drawn_too(values: np.ndarray) -> None:
    text = Xml.tostring(chart(values), encoding="unicode")
    assert "nan" not in text
    assert "inf" not in text
