"""Cavities from meshes: what is refused, clearances against known ones, cells that go in."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from packdesign.data.cells import Cell, CellForm, Family
from packdesign.engineering.geometry.allowances import Allowances
from packdesign.engineering.geometry.arrange import arrangements, most_cells, room_for_one_more
from packdesign.engineering.geometry.cavities import Box, MeshCavity
from packdesign.engineering.geometry.layout import Placed
from packdesign.engineering.geometry.mesh_clearance import is_inside, mesh_clearance
from packdesign.engineering.geometry.mesh_file import MOST_FACES, load_mesh_cavity
from packdesign.foundation.errors import InputError, OutOfRangeError

ROUND = Cell(
    maker="Demo", part_number="R18", form=CellForm.CYLINDER, size_code="18650",
    family=Family.NMC, chemistry="NMC", capacity_ah=3.0, nominal_v=3.6, full_v=4.2,
    cutoff_v=2.5, mass_kg=0.047, diameter_m=0.01855, length_m=0.06525,
)  # fmt: skip


def saved(folder: Path, mesh: trimesh.Trimesh, name: str = "inside.stl") -> Path:
    path = folder / name
    mesh.export(path)
    return path


def cavity_of(mesh: trimesh.Trimesh) -> MeshCavity:
    return MeshCavity(
        vertices_m=np.asarray(mesh.vertices) * 1e-3,
        faces=np.asarray(mesh.faces, dtype=np.int64),
        volume_m3=float(mesh.volume) * 1e-9,
    )


def test_a_mesh_that_is_not_closed_is_refused(tmp_path):
    mesh = trimesh.creation.box((120, 70, 22))
    mesh.update_faces(np.arange(len(mesh.faces)) > 0)
    with pytest.raises(InputError, match=r"inside.stl is not closed: 3 edges do not join exactly"):
        load_mesh_cavity(saved(tmp_path, mesh), unit="mm")


def test_a_mesh_in_inches_read_as_millimetres_is_noticed(tmp_path):
    mesh = trimesh.creation.cylinder(radius=0.9, height=6.3)
    path = saved(tmp_path, mesh)
    with pytest.raises(OutOfRangeError, match=r"is 6.3 mm at its longest.*drawn in cm or in\?"):
        load_mesh_cavity(path, unit="mm")
    assert load_mesh_cavity(path, unit="in").size_m[2] == pytest.approx(0.16002)


def test_a_mesh_in_millimetres_read_as_metres_is_noticed(tmp_path):
    path = saved(tmp_path, trimesh.creation.box((120, 70, 22)))
    with pytest.raises(OutOfRangeError, match=r"drawn in mm or cm\?"):
        load_mesh_cavity(path, unit="m")


def test_the_unit_is_asked_for(tmp_path):
    path = saved(tmp_path, trimesh.creation.box((120, 70, 22)))
    with pytest.raises(
        InputError, match=r"say its unit .*the file does not say.*120 mm, or 3048 mm"
    ):
        load_mesh_cavity(path)
    with pytest.raises(InputError, match=r"say its unit .*'furlong' is not one"):
        load_mesh_cavity(path, unit="furlong")


def test_a_million_faces_are_refused_without_reading_them(tmp_path):
    path = tmp_path / "fine.stl"
    count = 1_000_000
    with path.open("wb") as file:
        file.write(b"\0" * 80 + count.to_bytes(4, "little"))
        file.truncate(84 + 50 * count)
    with pytest.raises(OutOfRangeError, match=f"1,000,000 triangles; at most {MOST_FACES:,}"):
        load_mesh_cavity(path, unit="mm")


@pytest.mark.parametrize(
    ("name", "content", "message"),
    [
        ("part.step", "x", "a cavity is read from .stl, .obj, .3mf; got '.step'"),
        ("words.stl", "no solid at all", "words.stl (cannot be read|holds no triangles)"),
        ("empty.obj", "", "empty.obj (cannot be read|holds no triangles)"),
    ],
)
def test_a_file_that_is_no_mesh_is_refused(tmp_path, name, content, message):
    path = tmp_path / name
    path.write_text(content)
    with pytest.raises(InputError, match=message):
        load_mesh_cavity(path, unit="mm")


def test_a_missing_file_is_refused(tmp_path):
    with pytest.raises(InputError, match=r"no such file"):
        load_mesh_cavity(tmp_path / "nowhere.stl", unit="mm")


def test_an_inside_out_mesh_is_turned(tmp_path):
    mesh = trimesh.creation.box((120, 70, 22))
    mesh.invert()
    cavity = load_mesh_cavity(saved(tmp_path, mesh), unit="mm")
    assert cavity.volume_m3 == pytest.approx(1.848e-4)
    assert is_inside(cavity, np.zeros((1, 3))).all()


def test_obj_is_read_too(tmp_path):
    path = saved(tmp_path, trimesh.creation.box((120, 70, 22)), "inside.obj")
    assert load_mesh_cavity(path, unit="mm").volume_m3 == pytest.approx(1.848e-4)


def test_3mf_says_its_own_unit(tmp_path):
    pytest.importorskip("lxml", reason="trimesh reads 3MF through lxml and networkx")
    pytest.importorskip("networkx", reason="trimesh reads 3MF through lxml and networkx")
    mesh = trimesh.creation.box((120, 70, 22))
    mesh.units = "millimeter"
    path = saved(tmp_path, mesh, "inside.3mf")
    assert load_mesh_cavity(path).volume_m3 == pytest.approx(1.848e-4)


places = st.tuples(st.floats(-0.05, 0.05), st.floats(-0.03, 0.03), st.floats(-0.02, 0.02))
halves = st.tuples(st.floats(0.002, 0.02), st.floats(0.002, 0.02), st.floats(0.002, 0.02))


@settings(max_examples=60, deadline=None)
@given(place=places, half=halves)
def test_clearance_of_a_brick_in_a_box_is_that_to_its_nearest_wall(place, half):
    cavity = cavity_of(trimesh.creation.box((120, 70, 44)))
    centre, extent = np.asarray([place]), np.asarray([half])
    placed = Placed.alike(centre, axis=0, normal=1)
    found = mesh_clearance(cavity, placed, half=extent, is_round=False)
    truth = float(np.min(np.array([0.060, 0.035, 0.022]) - np.abs(centre[0]) - extent[0]))
    if truth > 0:
        assert truth - 2.1e-6 <= found <= truth + 1e-12
    else:
        assert found < 1e-9


@settings(max_examples=12, deadline=None)
@given(away=st.floats(0.0, 0.012), angle=st.floats(0, 6.2))
def test_clearance_of_a_cylinder_in_a_bore_is_that_of_circles(away, angle):
    cavity = cavity_of(trimesh.creation.cylinder(radius=23, height=160, sections=360))
    centre = np.array([[away * np.cos(angle), away * np.sin(angle), 0.01]])
    half = np.array([[0.009, 0.009, 0.0325]])
    placed = Placed.alike(centre, axis=2, normal=0)
    found = mesh_clearance(cavity, placed, half=half, is_round=True)
    truth = 0.023 - away - 0.009
    facets_m = 0.023 * (1 - np.cos(np.pi / 360))
    assert truth - facets_m - 2e-6 <= found <= truth + 1e-9


def test_points_are_told_inside_from_outside():
    cavity = cavity_of(trimesh.creation.torus(major_radius=40, minor_radius=10))
    points = np.array([[0.040, 0, 0], [0.0, 0, 0], [0.049, 0, 0], [0.051, 0, 0]])
    assert is_inside(cavity, points).tolist() == [True, False, True, False]


def test_a_box_mesh_holds_as_many_in_one_lattice_as_the_box_does(tmp_path):
    path = saved(tmp_path, trimesh.creation.box((120, 70, 22)))
    cavity = load_mesh_cavity(path, unit="mm")
    allowances = Allowances()
    box = Box(length_m=0.120, width_m=0.070, height_m=0.022)
    count, arrangement = most_cells(ROUND, cavity, allowances)
    assert count == most_cells(ROUND, box, allowances)[0] == 6
    assert arrangement is not None
    assert arrangement.fits
    assert arrangement.least_clearance_m >= allowances.gap_m - 1e-9
    assert room_for_one_more(ROUND, cavity, allowances).more_m == {}


def test_a_bent_mesh_takes_cells_clear_of_its_wall_and_says_what_is_missing(tmp_path):
    # an L of two boxes, joined as one prism
    outline = np.array([[0, 0], [140, 0], [140, 24], [30, 24], [30, 80], [0, 80]], dtype=float)
    triangles = np.array([[0, 1, 2], [0, 2, 3], [0, 3, 4], [0, 4, 5]])
    prism = trimesh.creation.extrude_triangulation(outline, triangles, height=24)
    cavity = load_mesh_cavity(saved(tmp_path, prism), unit="mm")
    allowances = Allowances()
    found = arrangements(ROUND, cavity, series=2, parallel=1, allowances=allowances)
    assert found[0].fits
    for each in found:
        if each.fits:
            assert each.least_clearance_m >= allowances.gap_m - 1e-9
            for cell in each.placements:
                in_foot = cell.centre_m[1] < 0.024
                in_leg = cell.centre_m[0] < 0.030
                assert in_foot or in_leg
    crowded = arrangements(ROUND, cavity, series=9, parallel=1, allowances=allowances)
    assert [each.fits for each in crowded] == [False]
    assert crowded[0].shortfall_m["clearance"] > 0
