"""Arrangements in tubes, boxes and free air: what fits, what is missing, and what always holds."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packdesign.data.cells import Cell, CellForm, Family
from packdesign.engineering.geometry.allowances import Allowances
from packdesign.engineering.geometry.arrange import arrangements, most_cells
from packdesign.engineering.geometry.arrangement import Arrangement
from packdesign.engineering.geometry.cavities import (
    Box,
    Channel,
    OpenCavity,
    Reserved,
    Rib,
    SteppedTube,
    Tube,
    TubeStep,
)
from packdesign.foundation.errors import InputError, OutOfRangeError

ALLOWANCES = Allowances()


def cell(**changes: object) -> Cell:
    facts: dict[str, object] = {
        "maker": "Demo", "part_number": "R18", "form": CellForm.CYLINDER, "size_code": "18650",
        "family": Family.NMC, "chemistry": "NMC", "capacity_ah": 3.0, "nominal_v": 3.6,
        "full_v": 4.2, "cutoff_v": 2.5, "mass_kg": 0.047, "diameter_m": 0.01855,
        "length_m": 0.06525,
    }  # fmt: skip
    return Cell(**(facts | changes))  # type: ignore[arg-type]


ROUND = cell()
SHORT = cell(part_number="R16", size_code="16340", diameter_m=0.0166, length_m=0.0345)
POUCH = cell(
    part_number="P80", form=CellForm.POUCH, size_code="803860", diameter_m=None,
    thickness_m=0.0085, width_m=0.0385, length_m=0.062,
)  # fmt: skip
GRIP = Tube(bore_m=0.046, length_m=0.160)
TRAY = Box(length_m=0.120, width_m=0.070, height_m=0.022)


def fitting(found: list[Arrangement]) -> list[Arrangement]:
    return [each for each in found if each.fits]


def truth_apart(arrangement: Arrangement) -> float:
    """Least distance between cylinders, by brute force over points on their skins."""
    body = arrangement.body
    skins = []
    for placement in arrangement.placements:
        axis, across = np.asarray(placement.axis), np.asarray(placement.normal)
        third = np.cross(axis, across)
        angle = np.linspace(0, 2 * np.pi, 48, endpoint=False)
        ring = np.outer(np.cos(angle), across) + np.outer(np.sin(angle), third)
        along = np.linspace(-0.5, 0.5, 25) * body.length_m
        skin = ring[None] * body.across_m / 2 + along[:, None, None] * axis
        skins.append(skin.reshape(-1, 3) + placement.centre_m)
    return min(
        float(np.min(np.linalg.norm(one[:, None] - other[None], axis=2)))
        for number, one in enumerate(skins)
        for other in skins[number + 1 :]
    )


def test_three_cells_stand_in_a_triangle_in_a_grip():
    found = arrangements(ROUND, GRIP, series=3, parallel=1, allowances=ALLOWANCES)
    best = found[0]
    assert best.fits
    assert best.kind == "triangle"
    assert best.series_strip_m == pytest.approx((0.01905, 0.01905), abs=2e-4)
    assert best.length_left_m == pytest.approx(0.160 - 0.003 - 0.06525 - 2 * 0.00145, abs=1e-9)


def test_the_nearest_misfit_says_how_much_is_missing():
    found = arrangements(ROUND, GRIP, series=3, parallel=1, allowances=ALLOWANCES)
    assert [each.fits for each in found] == [True] * (len(found) - 1) + [False]
    misfit = found[-1]
    assert misfit.kind == "end_to_end"
    needed = 3 * 0.06525 + 2 * 0.0006 + 2 * (0.00045 + 0.001) + 0.003
    assert misfit.shortfall_m["length"] == pytest.approx(needed - 0.160, abs=1e-9)
    assert "42.9 mm of length is missing" in misfit.reasons


def test_end_to_end_cells_face_the_same_way_and_side_by_side_ones_do_not():
    stick = Tube(bore_m=0.022, length_m=0.250)
    line = arrangements(ROUND, stick, series=3, parallel=1, allowances=ALLOWANCES)[0]
    assert len({placement.axis for placement in line.placements}) == 1
    triangle = arrangements(ROUND, GRIP, series=3, parallel=1, allowances=ALLOWANCES)[0]
    ways = [placement.axis[2] for placement in triangle.placements]
    assert ways[0] == -ways[1] == ways[2]


def test_parallel_cells_of_a_group_lie_the_same_way_round():
    for found in arrangements(ROUND, GRIP, series=3, parallel=2, allowances=ALLOWANCES):
        for group in range(3):
            members = [each for each in found.placements if each.group == group]
            assert len(members) == 2
            assert members[0].axis == members[1].axis


def test_taps_are_one_more_than_groups_and_run_from_minus_to_plus():
    found = arrangements(ROUND, GRIP, series=3, parallel=1, allowances=ALLOWANCES)[0]
    assert len(found.tap_points_m) == len(found.tap_lead_m) == 4
    assert found.tap_points_m[0] == found.placements[0].negative_m
    assert found.tap_points_m[-1] == found.placements[-1].positive_m


@pytest.mark.parametrize("one", [ROUND, SHORT, POUCH], ids=["18650", "16340", "pouch"])
@pytest.mark.parametrize("cavity", [GRIP, TRAY, OpenCavity()], ids=["tube", "box", "open"])
@pytest.mark.parametrize(("series", "parallel"), [(1, 1), (3, 1), (2, 2), (5, 3)])
def test_nothing_is_called_a_fit_below_the_stated_gap(one, cavity, series, parallel):
    found = arrangements(one, cavity, series=series, parallel=parallel, allowances=ALLOWANCES)
    assert found
    for each in found:
        assert each.count == series * parallel
        if each.fits:
            assert each.least_clearance_m >= ALLOWANCES.gap_m - 1e-9
            assert not each.shortfall_m
        else:
            assert each.reasons


def test_measured_clearance_is_never_above_the_true_one():
    for cavity in (GRIP, TRAY):
        for each in arrangements(SHORT, cavity, series=2, parallel=2, allowances=ALLOWANCES):
            assert each.between_cells_m <= truth_apart(each) + 1e-9


def test_mass_and_energy_are_those_of_the_cells_and_strips():
    found = arrangements(ROUND, GRIP, series=3, parallel=1, allowances=ALLOWANCES)[0]
    strip_m = sum(found.series_strip_m)
    assert found.mass_kg == pytest.approx(0.141 + strip_m * 0.008 * 0.00015 * 8908)
    litres = math.pi / 4 * 0.46**2 * 1.60
    assert found.energy_wh_per_l == pytest.approx(3 * 3.0 * 3.6 / litres)


def test_an_unknown_mass_stays_unknown():
    unknown = cell(mass_kg=None)
    found = arrangements(unknown, GRIP, series=1, parallel=1, allowances=ALLOWANCES)[0]
    assert found.mass_kg is None


def test_a_bore_below_the_wrapped_cell_misses_in_bore():
    narrow = Tube(bore_m=0.018, length_m=0.160)
    found = arrangements(ROUND, narrow, series=1, parallel=1, allowances=ALLOWANCES)
    assert [each.fits for each in found] == [False]
    assert found[0].shortfall_m["bore"] == pytest.approx(0.01855 + 0.002 - 0.018)


@pytest.mark.parametrize(("series", "parallel"), [(0, 1), (1, 0), (-2, 1), (40, 40)])
def test_a_senseless_number_of_cells_is_refused(series, parallel):
    with pytest.raises(OutOfRangeError, match="each must be at least 1 and both together"):
        arrangements(ROUND, GRIP, series=series, parallel=parallel, allowances=ALLOWANCES)


def test_free_air_has_no_most():
    with pytest.raises(InputError, match="free air holds any number"):
        most_cells(ROUND, OpenCavity(), ALLOWANCES)


def test_a_cavity_too_small_for_one_holds_none():
    assert most_cells(ROUND, Tube(bore_m=0.015, length_m=0.1), ALLOWANCES) == (0, None)


def test_short_cells_stand_and_lie_in_one_tube():
    count, arrangement = most_cells(SHORT, GRIP, ALLOWANCES)
    assert arrangement is not None
    assert arrangement.fits
    standing_only = 3 * 4
    assert count > standing_only


def test_stepped_tube_uses_the_wide_step_for_more_across():
    stepped = SteppedTube(
        steps=(TubeStep(bore_m=0.046, length_m=0.070), TubeStep(bore_m=0.024, length_m=0.080))
    )
    found = arrangements(ROUND, stepped, series=4, parallel=1, allowances=ALLOWANCES)
    assert fitting(found)[0].kind == "mixed"
    assert most_cells(ROUND, stepped, ALLOWANCES)[0] == 4


def test_a_flat_and_a_channel_are_kept_free():
    plain = Tube(bore_m=0.046, length_m=0.160)
    taken = Tube(
        bore_m=0.046, length_m=0.160, flat_depth_m=0.002,
        channel=Channel(width_m=0.006, depth_m=0.002),
        ribs=(Rib(angle_rad=0.3, height_m=0.001, width_m=0.002),),
    )  # fmt: skip
    assert most_cells(ROUND, taken, ALLOWANCES)[0] <= most_cells(ROUND, plain, ALLOWANCES)[0]
    best = arrangements(ROUND, taken, series=3, parallel=1, allowances=ALLOWANCES)[0]
    assert best.fits
    for placement in best.placements:
        x, y, _z = placement.centre_m
        assert y - 0.01855 / 2 >= -0.023 + 0.002 + 0.001 - 1e-9
        assert math.hypot(x, y) + 0.01855 / 2 <= 0.023 - 0.001 + 1e-9


def test_reserved_room_shortens_a_tube_and_is_kept_clear_in_a_box():
    board = Reserved(name="board", size_m=(0.040, 0.020, 0.005))
    with_board = Tube(bore_m=0.046, length_m=0.160, reserved=(board,))
    found = arrangements(ROUND, with_board, series=3, parallel=1, allowances=ALLOWANCES)[0]
    plain = arrangements(ROUND, GRIP, series=3, parallel=1, allowances=ALLOWANCES)[0]
    assert plain.length_left_m - found.length_left_m == pytest.approx(0.005)
    tray = Box(length_m=0.120, width_m=0.070, height_m=0.022, reserved=(board,))
    for each in fitting(arrangements(ROUND, tray, series=3, parallel=1, allowances=ALLOWANCES)):
        assert each.reserves[0].name == "board"
        assert each.wall_clearance_m >= ALLOWANCES.gap_m - 1e-9


def test_reserved_room_larger_than_the_box_is_refused():
    charger = Reserved(name="charger", size_m=(0.2, 0.02, 0.02))
    tray = Box(length_m=0.120, width_m=0.070, height_m=0.022, reserved=(charger,))
    with pytest.raises(InputError, match=r"reserved room \(charger\) does not go into the box"):
        arrangements(ROUND, tray, series=1, parallel=1, allowances=ALLOWANCES)


def test_pouches_keep_room_to_grow():
    found = fitting(arrangements(POUCH, TRAY, series=2, parallel=1, allowances=ALLOWANCES))
    assert found
    for each in found:
        assert each.free_thickness_fraction is not None
        assert each.free_thickness_fraction >= 0.10 - 1e-9


sizes = st.floats(0.0, 0.02)
bores = st.floats(0.015, 0.09)
lengths = st.floats(0.03, 0.22)
gaps = st.floats(0.0, 0.002)
kinds = st.sampled_from([ROUND, SHORT, POUCH])


@settings(max_examples=80, deadline=None)
@given(one=kinds, bore=bores, length=lengths, wider=sizes, longer=sizes, gap=gaps)
def test_a_larger_tube_never_holds_fewer(one, bore, length, wider, longer, gap):
    allowances = Allowances(gap_m=gap, wall_gap_m=gap)
    small, arrangement = most_cells(one, Tube(bore_m=bore, length_m=length), allowances)
    large, _ = most_cells(one, Tube(bore_m=bore + wider, length_m=length + longer), allowances)
    assert large >= small
    if arrangement is not None:
        assert arrangement.fits
        assert arrangement.least_clearance_m >= gap - 1e-9


@settings(max_examples=80, deadline=None)
@given(
    one=kinds, length=lengths, width=bores, height=st.floats(0.008, 0.05),
    more=st.tuples(sizes, sizes, sizes), gap=gaps,
)  # fmt: skip
def test_a_larger_box_never_holds_fewer(one, length, width, height, more, gap):
    allowances = Allowances(gap_m=gap, wall_gap_m=gap)
    box = Box(length_m=length, width_m=width, height_m=height)
    small, arrangement = most_cells(one, box, allowances)
    larger = Box(length_m=length + more[0], width_m=width + more[1], height_m=height + more[2])
    assert most_cells(one, larger, allowances)[0] >= small
    if arrangement is not None:
        assert arrangement.fits
        assert arrangement.least_clearance_m >= gap - 1e-9


@settings(max_examples=60, deadline=None)
@given(
    one=kinds, bore=bores, length=lengths, series=st.integers(1, 5), parallel=st.integers(1, 3),
    gap=gaps,
)  # fmt: skip
def test_no_cell_of_a_fit_is_outside_or_too_near(one, bore, length, series, parallel, gap):
    allowances = Allowances(gap_m=gap, wall_gap_m=gap)
    tube = Tube(bore_m=bore, length_m=length)
    for each in fitting(
        arrangements(one, tube, series=series, parallel=parallel, allowances=allowances)
    ):
        assert each.between_cells_m >= gap - 1e-9
        for placement in each.placements:
            low, high = 0.0, length
            half_m = each.body.length_m / 2 if abs(placement.axis[2]) > 0.5 else 0.0
            assert low - 1e-9 <= placement.centre_m[2] - half_m
            assert placement.centre_m[2] + half_m <= high + 1e-9
            assert math.hypot(*placement.centre_m[:2]) < bore / 2


@settings(max_examples=30, deadline=None)
@given(series=st.integers(1, 4), parallel=st.integers(1, 3), bore=st.floats(0.03, 0.08))
def test_what_most_cells_counts_can_also_be_arranged(series, parallel, bore):
    tube = Tube(bore_m=bore, length_m=0.075)
    count, _ = most_cells(ROUND, tube, ALLOWANCES)
    found = arrangements(ROUND, tube, series=series, parallel=parallel, allowances=ALLOWANCES)
    assert bool(fitting(found)) == (series * parallel <= count)


@settings(max_examples=40, deadline=None)
@given(one=kinds, length=lengths, bore=bores, gap=gaps, wall=gaps, in_box=st.booleans())
def test_gap_between_cells_and_clearance_to_the_wall_are_two_things(
    one, length, bore, gap, wall, in_box
):
    allowances = Allowances(gap_m=gap, wall_gap_m=wall)
    tube, box = (
        Tube(bore_m=bore, length_m=length),
        Box(length_m=length, width_m=bore, height_m=bore),
    )
    _, arrangement = most_cells(one, box if in_box else tube, allowances)
    if arrangement is not None:
        assert arrangement.fits
        assert arrangement.between_cells_m >= gap - 1e-9
        assert arrangement.wall_clearance_m >= wall - 1e-9


@pytest.mark.parametrize("shape", ["tube", "box"])
def test_a_wide_gap_between_cells_takes_nothing_from_the_bore(shape):
    """A line of 18650 of 18.55 mm at most needs 18.55 + 2 x (0.5 + 0.5) mm, whatever is between."""
    cavity = Tube(bore_m=0.0206, length_m=0.16)
    if shape == "box":
        cavity = Box(length_m=0.16, width_m=0.0206, height_m=0.0206)
    wide = Allowances(gap_m=0.003, wall_gap_m=0.0005)
    line = arrangements(ROUND, cavity, series=2, parallel=1, allowances=wide)[0]
    assert line.fits
    assert line.between_cells_m == pytest.approx(0.003)
    tight = Allowances(gap_m=0.0005, wall_gap_m=0.003)
    assert not arrangements(ROUND, cavity, series=2, parallel=1, allowances=tight)[0].fits
