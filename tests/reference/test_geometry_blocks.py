"""Blocks, lattices, designations and volumes against figures from outside."""

from __future__ import annotations

import math

import numpy as np
import pytest

from packdesign.data.cells import Cell, CellForm, Family
from packdesign.engineering.geometry.allowances import Allowances
from packdesign.engineering.geometry.arrange import arrangements
from packdesign.engineering.geometry.body import body_of, designation_size
from packdesign.engineering.geometry.cavities import OpenCavity
from packdesign.engineering.geometry.lattice import most_in_rectangle
from packdesign.engineering.geometry.mesh_file import load_mesh_cavity


def round_cell(**changes: object) -> Cell:
    facts: dict[str, object] = {
        "maker": "Demo", "part_number": "R", "form": CellForm.CYLINDER, "size_code": "18650",
        "family": Family.NMC, "chemistry": "NMC", "capacity_ah": 3.0, "nominal_v": 3.6,
        "full_v": 4.2, "cutoff_v": 2.5, "mass_kg": 0.050, "diameter_m": 0.01855,
        "length_m": 0.06525,
    }  # fmt: skip
    return Cell(**(facts | changes))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("code", "size_mm"),
    [
        ("18650", (18, 65.0)), ("21700", (21, 70.0)), ("26650", (26, 65.0)),
        ("14500", (14, 50.0)), ("10440", (10, 44.0)), ("32700", (32, 70.0)),
        ("38120", (38, 120.0)),  # Headway HW38120S in the cell table: 120 mm, not 12.0
        ("103450", (10.0, 34, 50)),  # Jauch LP103450: 10 x 34 x 50 mm without its board
        ("803860", (8.0, 38, 60)), ("3268100", (3.2, 68, 100)),  # maker's list, BMP3268100DT
    ],
)  # fmt: skip
def test_designations_stand_for_their_size(code, size_mm):
    assert designation_size(code) == pytest.approx([size * 1e-3 for size in size_mm])


def test_two_by_two_block_of_18650_in_spacers():
    # electrodragon.com, page on pack dimensions: 2 x 2 cells in 20.2 mm spacers, strips and wrap:
    # 66 x 40.5 x 40.5 mm, from 65 mm cells of 18 mm
    cell = round_cell(diameter_m=0.018, length_m=0.065)
    spacers = Allowances(gap_m=0.0022, pack_wrap_m=0.0011 + 0.00005, strip_thickness_m=0.0002)
    found = arrangements(cell, OpenCavity(), series=4, parallel=1, allowances=spacers)
    block = next(each for each in found if each.kind == "square")
    length, width, height = block.envelope_size_m
    assert (width, height) == pytest.approx((0.0405, 0.0405), abs=5e-5)
    # without the wrap over the ends: cell, two strips and two insulators
    bare = length - 2 * spacers.pack_wrap_m
    assert bare == pytest.approx(0.0660, abs=5e-5)


def test_four_by_three_block_of_touching_cells():
    # design sum of a project note: 4 cells of 18.55 mm and 0.5 mm wrap a side: 75.2 mm
    touching = Allowances(gap_m=0.0, pack_wrap_m=0.0005)
    found = arrangements(round_cell(), OpenCavity(), series=4, parallel=1, allowances=touching)
    row = next(each for each in found if each.kind == "side_by_side" and "4 side" in each.name)
    assert max(row.envelope_size_m[1:]) == pytest.approx(0.0752, abs=5e-5)


def test_staggered_block_has_the_size_of_its_formula():
    # r rows of m: (m + 1/2) d wide and d (1 + (r - 1) sqrt(3)/2) high
    lattice = most_in_rectangle(
        width_m=5.5, height_m=1 + 4 * math.sqrt(3) / 2 + 1e-9, diameter_m=1.0
    )
    assert lattice.is_staggered
    assert lattice.count == 25
    assert lattice.size_m == pytest.approx((5.5, 1 + 4 * math.sqrt(3) / 2))


@pytest.mark.parametrize(
    ("side", "straight", "staggered"),
    [(2, 4, 3), (5, 25, 23), (7, 49, 46), (8, 64, 68), (10, 100, 105)],
)
def test_square_boxes_take_the_better_lattice(side, straight, staggered):
    # rows = 1 + floor((side - 1) 2/sqrt 3), of side and side - 1 in turn; straight wins up to 7
    rows = 1 + math.floor((side - 1) * 2 / math.sqrt(3))
    assert side * rows - rows // 2 == staggered
    found = most_in_rectangle(width_m=float(side), height_m=float(side), diameter_m=1.0)
    assert found.count == max(straight, staggered)


def test_no_square_of_up_to_48_cells_is_beaten_by_a_staggered_one_of_its_own_edge():
    # n = 49 is the first square number beaten in a square, by packings that are no lattice
    # (arXiv math/0405148 and its references): both lattices must not beat the square below
    for side in range(1, 8):
        found = most_in_rectangle(width_m=float(side), height_m=float(side), diameter_m=1.0)
        assert found.count == side**2


def test_protected_cell_is_about_three_millimetres_longer():
    # batteries18650.com: 2.5 to 3 mm; element14 thread 301664: about 3 mm
    bare = body_of(round_cell(), Allowances())
    protected = body_of(round_cell(has_protection=True), Allowances())
    assert protected.length_m - bare.length_m == pytest.approx(0.00275, abs=0.000251)
    printed = body_of(round_cell(has_protection=True, length_m=0.0692), Allowances())
    assert printed.length_m == 0.0692


@pytest.mark.parametrize("kind", ["cylinder", "box", "capsule"])
def test_volume_of_a_mesh_is_that_of_its_shape(tmp_path, kind):
    import trimesh

    made, volume_mm3 = {
        "cylinder": (
            trimesh.creation.cylinder(radius=23, height=160, sections=256),
            # a prism on a regular 256-gon inscribed in the circle
            128 * math.sin(2 * math.pi / 256) * 23**2 * 160,
        ),
        "box": (trimesh.creation.box((120, 70, 22)), 120 * 70 * 22),
        "capsule": (
            trimesh.creation.capsule(height=100, radius=20, count=[128, 128]),
            math.pi * 20**2 * 100 + 4 / 3 * math.pi * 20**3,
        ),
    }[kind]
    path = tmp_path / "inside.stl"
    made.export(path)
    cavity = load_mesh_cavity(path, unit="mm")
    assert cavity.volume_m3 * 1e9 == pytest.approx(volume_mm3, rel=2e-3)
    assert np.allclose(sorted(cavity.size_m), sorted(made.extents * 1e-3))
