"""Drawings of packs: well-formed, to scale, readable without colour; envelope for CAD."""

from __future__ import annotations

import io
import re
from xml.etree import ElementTree

import numpy as np
import pytest
import trimesh

from packdesign.data.cells import Cell, CellForm, Family
from packdesign.engineering.geometry.allowances import Allowances
from packdesign.engineering.geometry.arrange import arrangements
from packdesign.engineering.geometry.cavities import (
    Box,
    Channel,
    MeshCavity,
    OpenCavity,
    Reserved,
    Rib,
    SteppedTube,
    Tube,
    TubeStep,
)
from packdesign.presentation.drawing.canvas import Frame, text_width_px
from packdesign.presentation.drawing.pack_drawing import pack_svg
from packdesign.presentation.drawing.pack_model import envelope_stl, pack_figure_3d


def mesh_of(mesh: trimesh.Trimesh) -> MeshCavity:
    return MeshCavity(
        vertices_m=np.asarray(mesh.vertices) * 1e-3,
        faces=np.asarray(mesh.faces, dtype=np.int64),
        volume_m3=float(mesh.volume) * 1e-9,
    )


SVG = "{http://www.w3.org/2000/svg}"
ROUND = Cell(
    maker="Demo <&> Co", part_number="R18", form=CellForm.CYLINDER, size_code="18650",
    family=Family.NMC, chemistry="NMC", capacity_ah=3.0, nominal_v=3.6, full_v=4.2,
    cutoff_v=2.5, mass_kg=0.047, diameter_m=0.01855, length_m=0.06525,
)  # fmt: skip
POUCH = Cell(
    maker="Demo", part_number="P80", form=CellForm.POUCH, size_code="803860",
    family=Family.LCO, chemistry="LCO", capacity_ah=2.0, nominal_v=3.7, full_v=4.2,
    cutoff_v=3.0, thickness_m=0.0085, width_m=0.0385, length_m=0.062,
)  # fmt: skip
BOARD = Reserved(name="board", size_m=(0.040, 0.020, 0.005))
CAVITIES = {
    "tube": Tube(
        bore_m=0.046, length_m=0.160, bottom_stop_m=0.004, flat_depth_m=0.002,
        channel=Channel(width_m=0.006, depth_m=0.002), reserved=(BOARD,),
        ribs=(Rib(angle_rad=0.3, height_m=0.001, width_m=0.002),),
    ),
    "steps": SteppedTube(
        steps=(TubeStep(bore_m=0.046, length_m=0.070), TubeStep(bore_m=0.024, length_m=0.080))
    ),
    "box": Box(length_m=0.120, width_m=0.070, height_m=0.022, reserved=(BOARD,)),
    "open": OpenCavity(),
    "mesh": mesh_of(trimesh.creation.box((130, 48, 30))),
}  # fmt: skip


@pytest.fixture(params=[*CAVITIES])
def cavity(request):
    return CAVITIES[request.param]


def drawn(cell, cavity, series=2, parallel=1):
    found = arrangements(cell, cavity, series=series, parallel=parallel, allowances=Allowances())
    return found, [ElementTree.fromstring(pack_svg(each, cavity)) for each in found]


@pytest.mark.parametrize("cell", [ROUND, POUCH], ids=["round", "pouch"])
@pytest.mark.parametrize(("series", "parallel"), [(1, 1), (2, 1), (3, 2)])
def test_every_drawing_is_well_formed_and_says_what_it_shows(cell, cavity, series, parallel):
    found, drawings = drawn(cell, cavity, series, parallel)
    for arrangement, svg in zip(found, drawings, strict=True):
        title, description = svg.find(f"{SVG}title"), svg.find(f"{SVG}desc")
        assert title is not None
        assert description is not None
        assert arrangement.name in title.text
        assert ("does not fit" in title.text) == (not arrangement.fits)
        assert "Least clearance" in description.text
        assert svg.get("aria-labelledby") == f"{title.get('id')} {description.get('id')}"


def test_only_black_white_and_grey_are_used(cavity):
    for arrangement in arrangements(ROUND, cavity, series=3, parallel=1, allowances=Allowances()):
        colours = set(re.findall(r"#[0-9a-fA-F]+", pack_svg(arrangement, cavity)))
        assert colours <= {"#000", "#fff", "#bbb"}


def test_nothing_is_drawn_off_the_sheet(cavity):
    for svg in drawn(ROUND, cavity, 3, 2)[1]:
        width, height = (float(side) for side in svg.get("viewBox").split()[2:])
        for text in svg.iter(f"{SVG}text"):
            if text.get("transform"):
                continue
            size_px = {"name": 16, "head": 13, "sign": 17}.get(text.get("class"), 12)
            reach = text_width_px(text.text or "", size_px=size_px * 0.92)
            left = float(text.get("x")) - {"start": 0, "middle": reach / 2}[text.get("text-anchor")]
            assert left >= 0, text.text
            assert left + reach <= width, text.text
            assert 0 < float(text.get("y")) <= height
        for rect in svg.iter(f"{SVG}rect"):
            assert float(rect.get("x", 0)) >= 0
            assert float(rect.get("x", 0)) + float(rect.get("width")) <= width + 0.1


def test_tap_labels_do_not_run_into_each_other():
    svg = drawn(ROUND, OpenCavity(), 12, 1)[1][0]
    rows: dict[float, list[tuple[float, float]]] = {}
    for text in svg.iter(f"{SVG}text"):
        if re.match(r"B\d+", text.text or "") and text.get("class") == "small":
            half = text_width_px(text.text, size_px=10) / 2
            x = float(text.get("x"))
            rows.setdefault(float(text.get("y")), []).append((x - half, x + half))
    assert rows
    for spans in rows.values():
        spans.sort()
        assert all(one[1] <= after[0] + 0.1 for one, after in zip(spans[:-1], spans[1:]))  # noqa: B905, RUF007


def test_bore_and_cells_are_to_one_scale():
    tube = Tube(bore_m=0.046, length_m=0.160)
    svg = drawn(ROUND, tube, 3, 1)[1][0]
    circles = {each.get("class"): float(each.get("r")) for each in svg.iter(f"{SVG}circle")}
    assert circles["cell"] / circles["wall"] == pytest.approx(0.01855 / 0.046, rel=5e-3)


def test_each_end_of_a_cell_carries_its_sign():
    tube = Tube(bore_m=0.022, length_m=0.250)
    svg = drawn(ROUND, tube, 3, 1)[1][0]
    signs = [each.text for each in svg.iter(f"{SVG}text") if each.get("class") == "sign"]
    assert signs.count("\N{MINUS SIGN}") == 3
    assert signs.count("+") == 4  # three in the side view, one end on in the section


def test_a_frame_turns_up_into_up():
    frame = Frame(left_px=10, top_px=20, low_m=(0, 0), high_m=(1, 2), px_per_m=100)
    assert frame.at(0, 2) == (10, 20)
    assert frame.at(1, 0) == (110, 220)


@pytest.mark.parametrize("cell", [ROUND, POUCH], ids=["round", "pouch"])
def test_the_envelope_is_closed_and_holds_the_pack(cell, cavity):
    for arrangement in drawn(cell, cavity, 2, 1)[0]:
        mesh = trimesh.load(io.BytesIO(envelope_stl(arrangement)), file_type="stl", force="mesh")
        assert mesh.is_watertight
        low = np.asarray(arrangement.envelope_low_m) * 1e3
        high = low + np.asarray(arrangement.envelope_size_m) * 1e3
        assert np.all(mesh.bounds[0] <= low + 1e-3)
        assert np.all(mesh.bounds[1] >= high - 1e-3)
        # drawn around circles: at most 1/cos(pi/32) wider, 0.5 % of a radius
        assert np.all(mesh.bounds[1] - mesh.bounds[0] <= (high - low) + 0.3)


def test_the_figure_has_every_cell_and_strip(cavity):
    arrangement = drawn(ROUND, cavity, 3, 1)[0][0]
    figure = pack_figure_3d(arrangement, cavity)
    kinds = [trace.type for trace in figure.data]
    assert kinds.count("mesh3d") == 3
    assert sum(trace.name.startswith("strip") for trace in figure.data if trace.name) == 2
