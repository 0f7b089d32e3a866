"""Cavities, allowances and bodies: what they refuse, and what they work out."""

from __future__ import annotations

import math

import numpy as np
import pytest

from packdesign.data.cells import Cell, CellForm, Family
from packdesign.engineering.geometry.allowances import (
    Allowances,
    Swelling,
    TolerancePart,
    ToleranceStack,
)
from packdesign.engineering.geometry.arrange import arrangements, room_for_one_more
from packdesign.engineering.geometry.body import body_of, designation_size
from packdesign.engineering.geometry.cavities import (
    Box,
    Channel,
    MeshCavity,
    OpenCavity,
    Reserved,
    SteppedTube,
    Tube,
    TubeStep,
)
from packdesign.engineering.geometry.section import section_clearance
from packdesign.engineering.geometry.swelling import pouch_room
from packdesign.foundation.errors import InputError, OutOfRangeError


def make(form: CellForm, size_code: str, **sizes: float | bool) -> Cell:
    return Cell(
        maker="Demo", part_number="D", form=form, size_code=size_code, family=Family.NMC,
        chemistry="NMC", capacity_ah=2.0, nominal_v=3.7, full_v=4.2, cutoff_v=3.0,
        **sizes,  # type: ignore[arg-type]
    )  # fmt: skip


ROUND = make(CellForm.CYLINDER, "18650", diameter_m=0.01855, length_m=0.06525)
POUCH = make(CellForm.POUCH, "803860", thickness_m=0.0085, width_m=0.0385, length_m=0.062)


@pytest.mark.parametrize("gap_m", [-0.0001, math.nan, math.inf])
def test_a_gap_below_nothing_is_refused(gap_m):
    with pytest.raises(OutOfRangeError, match=r"gap_m is .* mm; an allowance must be 0 mm or more"):
        Allowances(gap_m=gap_m)


def test_an_allowance_in_millimetres_by_mistake_is_refused():
    with pytest.raises(OutOfRangeError, match=r"gap_m is 500 mm; an allowance is at most 50 mm"):
        Allowances(gap_m=0.5)


def test_inches_read_as_millimetres_are_noticed():
    with pytest.raises(OutOfRangeError, match=r"bore_m is 1.8 mm.*Were inches meant\? .*'1.8 in'"):
        Tube(bore_m=0.0018, length_m=0.160)


def test_millimetres_read_as_metres_are_noticed():
    with pytest.raises(OutOfRangeError, match=r"length_m is 120 m.*Were millimetres meant\?"):
        Box(length_m=120.0, width_m=0.07, height_m=0.022)


@pytest.mark.parametrize("bore_m", [0.0, -0.02, math.nan])
def test_a_bore_of_nothing_is_refused(bore_m):
    with pytest.raises(OutOfRangeError, match=r"bore_m is .* mm; it must be above 0"):
        Tube(bore_m=bore_m, length_m=0.16)


def test_parts_larger_than_the_tube_are_refused():
    with pytest.raises(OutOfRangeError, match=r"bottom_stop_m is 200 mm; it must be from 0 to"):
        Tube(bore_m=0.046, length_m=0.16, bottom_stop_m=0.2)
    with pytest.raises(OutOfRangeError, match=r"flat_depth_m is 30 mm"):
        Tube(bore_m=0.046, length_m=0.16, flat_depth_m=0.03)
    with pytest.raises(OutOfRangeError, match=r"channel, inward from the wall, is 30 mm"):
        Tube(bore_m=0.046, length_m=0.16, channel=Channel(width_m=0.005, depth_m=0.03))
    with pytest.raises(OutOfRangeError, match=r"needs at least one step"):
        SteppedTube(steps=())
    with pytest.raises(OutOfRangeError, match=r"reserved room 'board' needs three edges above 0"):
        Reserved(name="board", size_m=(0.04, 0.0, 0.01))
    with pytest.raises(OutOfRangeError, match=r"swelling service_fraction is 4"):
        Swelling(service_fraction=4)
    with pytest.raises(OutOfRangeError, match=r"needs corners in 3D"):
        MeshCavity(vertices_m=np.zeros((3, 2)), faces=np.zeros((1, 3), int), volume_m3=1.0)


def test_volumes_of_cavities():
    stepped = SteppedTube(
        steps=(TubeStep(bore_m=0.04, length_m=0.1), TubeStep(bore_m=0.02, length_m=0.05))
    )
    tube_m3 = math.pi / 4 * 0.04**2 * 0.1
    assert Tube(bore_m=0.04, length_m=0.12, top_stop_m=0.02).volume_m3 == pytest.approx(tube_m3)
    assert stepped.volume_m3 == pytest.approx(tube_m3 + math.pi / 4 * 0.02**2 * 0.05)
    assert Box(length_m=0.12, width_m=0.07, height_m=0.022).volume_m3 == pytest.approx(1.848e-4)
    assert OpenCavity().volume_m3 is None


def test_worst_case_is_never_below_the_root_of_squares():
    cells = TolerancePart(name="cell", count=4, nominal_m=0.065, tolerance_m=0.0003)
    strip = TolerancePart(name="strip", count=2, nominal_m=0.0002, tolerance_m=0.00005)
    stack = ToleranceStack(parts=(cells, strip))
    assert stack.nominal_m == pytest.approx(0.2604)
    assert stack.worst_case_m == pytest.approx(0.2617)
    spread = math.sqrt(4 * 0.0003**2 + 2 * 0.00005**2)
    assert stack.root_sum_square_m == pytest.approx(0.2604 + spread)


def test_stack_of_a_stick_is_at_worst_what_the_layout_counts():
    stick = Tube(bore_m=0.022, length_m=0.250)
    found = arrangements(ROUND, stick, series=3, parallel=1, allowances=Allowances())[0]
    assert found.length_stack is not None
    left_m = 0.250 - found.length_stack.worst_case_m
    assert left_m == pytest.approx(found.length_left_m)
    assert found.length_stack.root_sum_square_m < found.length_stack.worst_case_m


@pytest.mark.parametrize("code", ["", "CR2032", "1865", "round"])
def test_a_code_that_is_none_is_refused(code):
    with pytest.raises(InputError, match=r"neither round .* nor flat"):
        designation_size(code)


def test_a_cell_without_sizes_takes_those_of_its_designation_and_says_so():
    body = body_of(make(CellForm.CYLINDER, "21700"), Allowances())
    assert body.across_m == pytest.approx(0.0219)
    assert body.length_m == pytest.approx(0.072)
    assert "from the designation 21700" in body.note


def test_a_cell_without_any_size_is_refused_by_name():
    nameless = make(CellForm.POUCH, "custom")
    with pytest.raises(InputError, match=r"Demo D: the cell table has no complete size, and size"):
        arrangements(nameless, OpenCavity(), series=1, parallel=1, allowances=Allowances())


def test_a_pouch_keeps_room_to_grow_and_at_its_edges():
    body = body_of(POUCH, Allowances())
    assert body.thickness_m == pytest.approx(0.0085 * 1.10)
    assert body.across_m == pytest.approx(0.0385 + 0.001)
    can = body_of(make(CellForm.PRISM, "103450"), Allowances())
    assert can.thickness_m == pytest.approx(0.010 * 1.04)


def test_a_pouch_in_a_sealed_rigid_tube_is_trapped():
    tube = Tube(bore_m=0.046, length_m=0.160, is_sealed=True)
    found = arrangements(POUCH, tube, series=1, parallel=1, allowances=Allowances())[0]
    room = pouch_room(found, tube)
    assert room is not None
    assert room.is_trapped
    assert room.is_tube
    assert room.free_fraction >= room.swelling.end_of_life_fraction
    vented = Tube(bore_m=0.046, length_m=0.160)
    open_room = pouch_room(found, vented)
    assert open_room is not None
    assert not open_room.is_trapped


def test_cylinders_have_no_pouch_room():
    tube = Tube(bore_m=0.046, length_m=0.160)
    found = arrangements(ROUND, tube, series=1, parallel=1, allowances=Allowances())[0]
    assert pouch_room(found, tube) is None


def test_the_room_that_is_missing_admits_one_more_and_a_hair_less_does_not():
    tube = Tube(bore_m=0.046, length_m=0.160)
    allowances = Allowances()
    more = room_for_one_more(ROUND, tube, allowances)
    assert more.count == 6
    # four across: (1 + sqrt 2) (18.55 + 0.5) - 0.5 + 2 x 1.0 mm
    assert more.more_m["bore"] == pytest.approx(
        (1 + math.sqrt(2)) * 0.01905 + 0.0015 - 0.046, abs=2e-5
    )
    longer = Tube(bore_m=0.046, length_m=0.160 + more.more_m["length"])
    assert room_for_one_more(ROUND, longer, allowances).count > 6
    shorter = Tube(bore_m=0.046, length_m=0.160 + more.more_m["length"] - 2e-5)
    assert room_for_one_more(ROUND, shorter, allowances).count == 6


def test_each_step_of_a_stepped_tube_is_grown_alone():
    stepped = SteppedTube(
        steps=(TubeStep(bore_m=0.046, length_m=0.070), TubeStep(bore_m=0.024, length_m=0.080))
    )
    more = room_for_one_more(ROUND, stepped, Allowances())
    assert more.count == 4
    assert "bore of step 1" in more.more_m


def test_section_clearance_of_a_channel_matches_points_on_its_edge():
    tube = Tube(bore_m=0.040, length_m=0.1, channel=Channel(width_m=0.006, depth_m=0.004))
    points = np.array([[0.0, 0.016], [0.003, 0.018], [0.0, 0.0], [0.0, 0.018]])
    clear = section_clearance(tube, points)
    assert clear[:2] == pytest.approx([0.0, 0.0], abs=1e-12)
    assert clear[2] == pytest.approx(0.016)
    assert clear[3] < 0
