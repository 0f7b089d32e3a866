"""The label to cut out: legible, inside its frame, no larger than the pack where that can be."""

from __future__ import annotations

from xml.etree import ElementTree as Xml

import pytest

from packdesign.presentation.drawing.label_drawing import LEAST_TEXT_MM, label_svg

SVG = "{http://www.w3.org/2000/svg}"
LINES = (
    "3S1P Li-ion (NCA), Samsung SDI INR18650-25R",
    "discharge up to 15 A, charge only from 0 to 50 degC",
    "Home-built, no UN 38.3 test. Do not short, open, heat, wet or drop.",
)


@pytest.mark.parametrize("times", [1, 3, 12])
@pytest.mark.parametrize("warning", ["", "STOP: DO NOT CHARGE OR USE"])
@pytest.mark.parametrize("room_mm", [(68.2, 37.9), (300.0, 90.0), (20.0, 6.0)], ids=str)
def test_the_label_is_legible_and_inside_its_frame(
    times: int, warning: str, room_mm: tuple[float, float]
) -> None:
    drawn = label_svg(LINES * times, room_mm=room_mm, warning=warning)
    found = Xml.fromstring(drawn.svg)
    assert drawn.text_mm >= LEAST_TEXT_MM
    assert found.get("width") == f"{drawn.width_mm:.1f}mm"
    assert found.get("height") == f"{drawn.height_mm:.1f}mm"
    texts = list(found.iter(f"{SVG}text"))
    assert " ".join(each.text or "" for each in texts).count("Samsung") == times
    for each in texts:
        size_mm = float(each.get("font-size") or 0)
        assert size_mm >= LEAST_TEXT_MM
        assert size_mm * 0.7 < float(each.get("y") or 0) < drawn.height_mm
        if each.get("text-anchor") == "start":  # clear of the bin at 0.53 of the height a letter
            right_mm = float(each.get("x") or 0) + 0.53 * size_mm * len(each.text or "")
            assert right_mm < drawn.width_mm - 9


def test_the_label_of_a_small_pack_fits_its_face() -> None:
    drawn = label_svg(LINES, room_mm=(68.2, 37.9))
    assert drawn.fits_face
    assert drawn.width_mm <= 68.2
    assert drawn.height_mm <= 37.9


def test_one_that_cannot_be_small_enough_says_so() -> None:
    assert not label_svg(LINES, room_mm=(20.0, 6.0)).fits_face
    assert not label_svg(LINES * 9, room_mm=(68.2, 37.9)).fits_face


def test_words_on_a_label_never_become_marks() -> None:
    drawn = label_svg(("<script>alert(1)</script> & 'more'",), room_mm=(70.0, 40.0), warning="<b>")
    assert "<script" not in drawn.svg
    Xml.fromstring(drawn.svg)
