"""Reserved room lies at the wall or at the end that it must touch."""

from __future__ import annotations

import pytest

from packdesign.data.cells import Cell, CellForm, Family
from packdesign.engineering.geometry.allowances import Allowances
from packdesign.engineering.geometry.arrange import arrangements, most_cells
from packdesign.engineering.geometry.cavities import Box, Reserved, Tube, TubeStop
from packdesign.foundation.errors import InputError, OutOfRangeError

ALLOWANCES = Allowances()
ROUND = Cell(
    maker="any",
    part_number="18650",
    form=CellForm.CYLINDER,
    size_code="18650",
    family=Family.NMC,
    chemistry="NMC",
    capacity_ah=2.5,
    nominal_v=3.6,
    full_v=4.2,
    cutoff_v=2.5,
    diameter_m=0.01855,
    length_m=0.06525,
)
LENGTH_M, WIDTH_M, HEIGHT_M = 0.150, 0.050, 0.060


def in_box(*bricks: Reserved):
    box = Box(length_m=LENGTH_M, width_m=WIDTH_M, height_m=HEIGHT_M, reserved=bricks)
    return arrangements(ROUND, box, series=3, parallel=1, allowances=ALLOWANCES)


@pytest.mark.parametrize(
    ("place", "axis", "at_m", "is_high"),
    [
        ("top", 2, HEIGHT_M, True),
        ("bottom", 2, 0.0, False),
        ("side", 1, WIDTH_M, True),
        ("open_end", 0, LENGTH_M - ALLOWANCES.lead_m, True),  # the leads are beyond it
        ("closed_end", 0, 0.0, False),
    ],
)
def test_in_a_box_it_lies_at_its_wall_with_its_edges_as_given(place, axis, at_m, is_high):
    size_m = (0.060, 0.030, 0.010)
    found = [each for each in in_box(Reserved(name="b", size_m=size_m, place=place)) if each.fits]
    assert found
    for each in found:
        (brick,) = each.reserves
        assert (brick.high_m if is_high else brick.low_m)[axis] == pytest.approx(at_m)
        edges = [high - low for low, high in zip(brick.low_m, brick.high_m, strict=True)]
        assert edges == pytest.approx(size_m)
        assert each.wall_clearance_m >= ALLOWANCES.wall_gap_m - 1e-9


def test_two_bricks_at_one_wall_lie_side_by_side_and_at_two_walls_apart():
    top = Reserved(name="one", size_m=(0.060, 0.030, 0.010), place="top")
    other = Reserved(name="two", size_m=(0.020, 0.020, 0.008), place="top")
    below = Reserved(name="three", size_m=(0.020, 0.020, 0.008), place="bottom")
    for each in in_box(top, other, below):
        highs = {brick.name: brick.high_m[2] for brick in each.reserves}
        assert highs == pytest.approx({"one": HEIGHT_M, "two": HEIGHT_M, "three": 0.008})


def test_it_is_turned_only_where_it_does_not_go_in_as_given():
    tall = Reserved(name="b", size_m=(0.010, 0.030, 0.100), place="top")
    for each in in_box(tall):
        (brick,) = each.reserves
        assert brick.high_m[2] == pytest.approx(HEIGHT_M)


def test_no_room_at_the_wall_is_told_with_the_place():
    full = Reserved(name="lid", size_m=(LENGTH_M, WIDTH_M, 0.010), place="top")
    with pytest.raises(InputError, match=r"board at top\) does not go into the box"):
        in_box(full, Reserved(name="board", size_m=(0.15, 0.05, 0.005), place="top"))


@pytest.mark.parametrize("as_part", [True, False])
def test_in_a_tube_the_closed_end_is_the_bottom(as_part):
    stop_m, part_m = 0.004, 0.008
    if as_part:
        tube = Tube(
            bore_m=0.046,
            length_m=0.160,
            bottom_stop_m=stop_m + part_m,
            bottom_parts=(TubeStop(name="board", length_m=part_m),),
        )
    else:
        brick = Reserved(name="board", size_m=(0.030, 0.020, part_m), place="closed_end")
        tube = Tube(bore_m=0.046, length_m=0.160, bottom_stop_m=stop_m, reserved=(brick,))
    found = arrangements(ROUND, tube, series=3, parallel=1, allowances=ALLOWANCES)[0]
    assert found.fits
    lowest_m = min(min(cell.positive_m[2], cell.negative_m[2]) for cell in found.placements)
    assert lowest_m >= stop_m + part_m + ALLOWANCES.side_m - 1e-9
    count, _ = most_cells(ROUND, tube, ALLOWANCES)
    assert count <= most_cells(ROUND, Tube(bore_m=0.046, length_m=0.160), ALLOWANCES)[0]
    for brick in found.reserves:
        assert (brick.low_m[2], brick.high_m[2]) == pytest.approx((stop_m, stop_m + part_m))


def test_parts_of_the_bottom_stop_are_within_it():
    with pytest.raises(OutOfRangeError, match="parts of the bottom stop take 8 mm, more than"):
        Tube(
            bore_m=0.046,
            length_m=0.16,
            bottom_stop_m=0.002,
            bottom_parts=(TubeStop(name="board", length_m=0.008),),
        )
