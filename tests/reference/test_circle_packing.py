"""Circles in a circle against published ratios: Packomania, and the proofs named in the table."""

from __future__ import annotations

import csv
import math
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from packdesign.engineering.geometry.circle_packing import (
    circle_positions,
    circle_ratio,
    most_circles,
)

TABLE = Path(__file__).parent / "tables" / "circle_packing.csv"
ROWS = list(csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines()))


@pytest.mark.parametrize("row", ROWS, ids=[row["circles"] for row in ROWS])
def test_ratio_agrees_with_the_published_one(row):
    published = float(row["outer_over_inner_radius"])
    assert circle_ratio(int(row["circles"])) == pytest.approx(published, abs=1e-4)


@pytest.mark.parametrize(
    ("count", "closed_form"),
    [
        (3, 1 + 2 / math.sqrt(3)),
        (4, 1 + math.sqrt(2)),
        (5, 1 + math.sqrt(2 * (1 + 1 / math.sqrt(5)))),  # Graham 1968
        (8, 1 + 1 / math.sin(math.pi / 7)),  # Pirl 1969
        (9, 1 + math.sqrt(2 * (2 + math.sqrt(2)))),  # Pirl 1969
        (11, 1 + 1 / math.sin(math.pi / 9)),  # Melissen 1994
        (13, 2 + math.sqrt(5)),  # Fodor 2003
        (19, 1 + math.sqrt(2) + math.sqrt(6)),  # Fodor 1999
    ],
)
def test_proved_ratios_by_their_closed_forms(count, closed_form):
    assert circle_ratio(count) == pytest.approx(closed_form, abs=1e-7)


@pytest.mark.parametrize("count", [*range(1, 62), 91, 200])
def test_positions_are_a_packing_with_that_ratio(count):
    points = circle_positions(count)
    assert points.shape == (count, 2)
    assert np.max(np.hypot(*points.T)) + 1 <= circle_ratio(count) + 1e-8
    apart = np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1))
    np.fill_diagonal(apart, np.inf)
    assert apart.min() >= 2 - 1e-8


def test_more_circles_never_need_less():
    ratios = [circle_ratio(count) for count in range(1, 300)]
    assert all(after >= before for before, after in pairwise(ratios))


def test_no_packing_is_denser_than_the_hexagonal_lattice():
    # pi / (2 sqrt 3) = 0.9069, Thue; bound as in LINDO packcrcl
    for count in range(2, 300):
        assert count / circle_ratio(count) ** 2 < math.pi / (2 * math.sqrt(3))


@pytest.mark.parametrize("row", ROWS, ids=[row["circles"] for row in ROWS])
def test_as_many_circles_go_in_just_above_the_ratio_and_not_below(row):
    count, ratio = int(row["circles"]), float(row["outer_over_inner_radius"])
    assert most_circles(outer_radius_m=ratio + 2e-4, radius_m=1.0) >= count
    assert most_circles(outer_radius_m=ratio - 2e-4, radius_m=1.0) < count
