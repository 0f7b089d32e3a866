"""The cells of a brief in their cavity, walked through the command line, with a picture of each."""

from __future__ import annotations

import importlib.util
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING
from xml.etree import ElementTree as Xml

import pytest

from packdesign.planning.brief.examples import example_names, example_text
from tests.journeys.served_page import chromium, chromium_path

if TYPE_CHECKING:
    from playwright.sync_api import Browser

POUCHES = """\
title = "two pouches"
[pack]
cell = "PKCELL LP785060"
series = 2
[cavity]
shape = "box"
length = "150 mm"
width = "60 mm"
height = "30 mm"
closure = "{closure}"
"""
IN_A_MESH = """\
title = "a capsule"
[pack]
cell = "Samsung SDI INR18650-25R"
series = 3
[cavity]
shape = "mesh"
mesh = "capsule.stl"
mesh_unit = "mm"
closure = "vented"
"""
STEPPED = """\
title = "a stepped tube"
[pack]
cell = "Samsung SDI INR18650-25R"
series = {series}
[cavity]
shape = "stepped_tube"
closure = "vented"
[[cavity.steps]]
bore = "46 mm"
length = "80 mm"
[[cavity.steps]]
bore = "26 mm"
length = "110 mm"
[[cavity.reserved]]
name = "charge board"
length = "{reserved}"
width = "20 mm"
height = "6 mm"
"""
CORER = example_text("soil_corer")
TOO_SMALL = CORER.replace('bore = "46 mm"', 'bore = "36 mm"')
UNCOUNTED = CORER.replace("series = 3\nparallel = 1\ncell_origin", "cell_origin")
CASES = {
    **{name: example_text(name) for name in example_names()},
    "too_small": TOO_SMALL,
    "pouches": POUCHES.format(closure="vented"),
    "mesh": IN_A_MESH,
    "stepped": STEPPED.format(series=4, reserved="30 mm"),
}


@pytest.fixture
def written(tmp_path: Path) -> Callable[[str], Path]:
    """Write a brief, with a capsule as its mesh beside it."""

    def write(text: str) -> Path:
        if "capsule.stl" in text:
            import trimesh

            trimesh.creation.capsule(radius=24, height=100).export(tmp_path / "capsule.stl")
        path = tmp_path / "brief.toml"
        path.write_text(text)
        return path

    return write


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser | None]:
    """One Chromium for all pictures; None where there is none."""
    if chromium_path() is None or importlib.util.find_spec("playwright") is None:
        yield None
        return
    with chromium() as found:
        yield found


@pytest.mark.parametrize("name", CASES)
def test_a_picture_of_each_pack_is_drawn(  # type: ignore[no-untyped-def]
    name: str, packdesign, project, written, browser: Browser | None
) -> None:
    folder = project / "artefacts"
    folder.mkdir(exist_ok=True)
    svg, stl = folder / f"pack_{name}.svg", folder / f"pack_{name}.stl"
    ran = packdesign(
        "layout", written(CASES[name]), "--svg", svg, "--stl", stl, "--overwrite", "--json"
    )
    assert ran.status == (1 if name == "too_small" else 0), ran.err
    drawn = Xml.fromstring(svg.read_text())
    words = " ".join("".join(each.itertext()) for each in drawn)
    assert ("does not fit" in words) == (name == "too_small")
    assert stl.stat().st_size > 84
    assert ran.json["fits"] == (name != "too_small")
    if browser is not None:
        _as_png(svg, browser)


def _as_png(svg: Path, browser: Browser) -> None:
    """Turn a drawing into a picture to look at."""
    png = svg.with_suffix(".png")
    png.unlink(missing_ok=True)
    page = browser.new_page(viewport={"width": 1000, "height": 760})
    page.goto(svg.as_uri())
    page.screenshot(path=png)
    page.close()
    assert png.stat().st_size > 5000


def test_reserved_lengths_of_a_tube_say_what_they_are(packdesign, written, tmp_path) -> None:  # type: ignore[no-untyped-def]
    svg = tmp_path / "pack.svg"
    assert packdesign("layout", written(CORER), "--svg", svg).status == 0
    for name in ("protection board", "charge board and its plug", "end stop"):
        assert f">{name}<" in svg.read_text()


def test_the_object_has_what_a_builder_asks(packdesign, written) -> None:  # type: ignore[no-untyped-def]
    found = packdesign("layout", written(CORER), "--json", "--all").json
    chosen = found["arrangement"]
    assert found["schema"] == 1
    assert (chosen["series"], chosen["parallel"], len(chosen["cells"])) == (3, 1, 3)
    assert chosen["wall_clearance_mm"] >= chosen["asked_clearance_mm"] - 1e-6
    assert len(chosen["strips_mm"]) == 2
    assert len(chosen["tap_leads_mm"]) == 4
    stack = chosen["length_stack_mm"]
    assert stack["nominal"] < stack["root_sum_square"] <= stack["worst_case"]
    assert set(found["room"]["one_more_needs_mm"]) == {"bore", "length"}


def test_the_room_for_one_more_is_the_room_it_takes(packdesign, written) -> None:  # type: ignore[no-untyped-def]
    room = packdesign("layout", written(UNCOUNTED), "--json").json["room"]
    bore_mm = 46 + room["one_more_needs_mm"]["bore"]
    wider = UNCOUNTED.replace('bore = "46 mm"', f"bore_mm = {bore_mm}")
    tight = UNCOUNTED.replace('bore = "46 mm"', f"bore_mm = {bore_mm - 0.05}")
    assert packdesign("layout", written(wider), "--json").json["room"]["cells"] > room["cells"]
    assert packdesign("layout", written(tight), "--json").json["room"]["cells"] == room["cells"]


def test_without_counts_the_most_go_in(packdesign, written) -> None:  # type: ignore[no-untyped-def]
    found = packdesign("layout", written(UNCOUNTED), "--json").json
    assert found["counts_from"] == "the most that go in"
    assert len(found["arrangement"]["cells"]) == found["room"]["cells"] == 3


def test_what_does_not_fit_ends_with_one(packdesign, written) -> None:  # type: ignore[no-untyped-def]
    ran = packdesign("layout", written(TOO_SMALL), "--json")
    assert ran.status == 1
    assert ran.json["arrangement"]["missing_mm"]
    assert "fit" in [each["id"] for each in ran.json["verdicts"] if each["status"] == "stop"]


def test_free_air_has_no_end_and_says_null(packdesign, written) -> None:  # type: ignore[no-untyped-def]
    open_air = '[pack]\ncell = "Samsung SDI INR18650-25R"\nseries = 1\n'
    found = packdesign("layout", written(open_air), "--json").json
    assert found["room"] is None
    assert found["arrangement"]["wall_clearance_mm"] is None
    assert found["arrangement"]["length_left_mm"] is None


def test_pouches_tell_their_room_to_swell(packdesign, written) -> None:  # type: ignore[no-untyped-def]
    vented = packdesign("layout", written(POUCHES.format(closure="vented")), "--json")
    assert vented.json["pouch"]["free_fraction"] >= vented.json["pouch"]["end_of_life_fraction"]
    assert vented.json["pouch"]["is_trapped"] is False
    sealed = packdesign("layout", written(POUCHES.format(closure="sealed")), "--json")
    assert sealed.status == 1
    assert sealed.json["pouch"]["is_trapped"] is True


def test_a_brick_in_a_stepped_tube_is_taken_off(packdesign, written) -> None:  # type: ignore[no-untyped-def]
    small = packdesign("layout", written(STEPPED.format(series=4, reserved="30 mm")), "--json").json
    large = packdesign("layout", written(STEPPED.format(series=4, reserved="45 mm")), "--json").json
    assert small["fits"] is True
    assert small["room"]["cells"] == 4
    assert large["fits"] is False
    assert large["room"]["cells"] == 3


def test_a_file_that_is_there_is_kept(packdesign, written, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    svg = tmp_path / "pack.svg"
    svg.write_text("mine")
    ran = packdesign("layout", written(CORER), "--svg", svg)
    assert ran.status == 2
    assert "--overwrite" in ran.err
    assert svg.read_text() == "mine"


def test_the_brief_itself_is_never_written_over(packdesign, written) -> None:  # type: ignore[no-untyped-def]
    path = written(CORER)
    assert packdesign("layout", path, "--svg", path, "--overwrite").status == 2
    assert path.read_text() == CORER
