"""What is reserved in a stepped tube, and the named parts of a stop."""

from __future__ import annotations

import pytest

from packdesign.engineering.geometry.cavities import (
    Reserved,
    SteppedTube,
    Tube,
    TubeStep,
    TubeStop,
)
from packdesign.engineering.geometry.stepped_layouts import without_reserved
from packdesign.foundation.errors import InputError, OutOfRangeError

STEPS = (TubeStep(bore_m=0.046, length_m=0.080), TubeStep(bore_m=0.026, length_m=0.110))


def stepped(*edges_m: tuple[float, float, float]) -> SteppedTube:
    bricks = tuple(Reserved(name=f"part {n}", size_m=each) for n, each in enumerate(edges_m))
    return SteppedTube(steps=STEPS, reserved=bricks)


def test_a_brick_comes_off_the_top_by_the_shortest_way_that_goes_in() -> None:
    # across a bore of 26 mm: 20 x 30 needs 36.1 mm, 6 x 30 needs 30.6 mm, 6 x 20 needs 20.9 mm
    left, placed = without_reserved(stepped((0.030, 0.020, 0.006)))
    assert [step.length_m for step in left.steps] == pytest.approx([0.080, 0.080])
    assert placed[0].high_m[2] == pytest.approx(0.190)
    assert placed[0].low_m[2] == pytest.approx(0.160)


def test_bricks_lie_one_under_the_other() -> None:
    left, placed = without_reserved(stepped((0.030, 0.020, 0.006), (0.010, 0.010, 0.010)))
    assert placed[1].high_m[2] == pytest.approx(placed[0].low_m[2])
    assert left.length_m == pytest.approx(0.190 - 0.030 - 0.010)


def test_a_brick_longer_than_the_top_step_reaches_into_the_next() -> None:
    left, _placed = without_reserved(stepped((0.130, 0.010, 0.024)))
    assert [step.bore_m for step in left.steps] == [0.046]
    assert left.length_m == pytest.approx(0.190 - 0.130)


def test_a_brick_wider_than_the_top_is_refused() -> None:
    with pytest.raises(InputError, match="does not go into the top"):
        without_reserved(stepped((0.030, 0.030, 0.030)))


def test_nothing_left_is_refused() -> None:
    with pytest.raises(InputError, match="leaves nothing"):
        without_reserved(stepped((0.200, 0.010, 0.024)))


def test_parts_of_a_stop_cannot_be_longer_than_the_stop() -> None:
    board = TubeStop(name="board", length_m=0.008)
    assert Tube(bore_m=0.046, length_m=0.16, top_stop_m=0.008, top_parts=(board,)).top_parts
    with pytest.raises(OutOfRangeError, match="more than top_stop_m"):
        Tube(bore_m=0.046, length_m=0.16, top_stop_m=0.005, top_parts=(board,))
