from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.engineering.thermal.path import ThermalPath
from packdesign.engineering.thermal.steady import HeatCycle, settled_cycle, time_until_cell_s
from packdesign.foundation.errors import OutOfRangeError

PATH = ThermalPath(cell_to_surface_w_per_k=0.6, surface_to_air_w_per_k=0.06, surface_j_per_k=30.0)
DIG = HeatCycle(
    duration_s=np.array([8.0, 40.0, 72.0]),
    heat_w=np.array([6.0, 2.5, 0.0]),
    cell_j_per_k=45.0,
    path=PATH,
    ambient_degc=25.0,
)
ALWAYS = replace(DIG, duration_s=np.array([50.0]), heat_w=np.array([1.5]))


def test_the_settled_cycle_repeats_itself():
    settled = settled_cycle(DIG)
    after = DIG.over_period(settled.start_cell_degc, settled.start_surface_degc)
    assert after == pytest.approx((settled.start_cell_degc, settled.start_surface_degc), abs=1e-9)


def test_marching_for_long_ends_in_the_settled_cycle():
    cell, surface, highest = 25.0, 25.0, 0.0
    for _ in range(400):
        peak, _ = DIG.step(cell, surface, heat_w=6.0, step_s=8.0)
        highest = max(highest, float(peak))
        cell, surface = DIG.over_period(cell, surface)
    settled = settled_cycle(DIG)
    assert cell == pytest.approx(settled.start_cell_degc, abs=1e-6)
    assert surface == pytest.approx(settled.start_surface_degc, abs=1e-6)
    assert settled.highest_cell_degc >= highest - 1e-9


def test_a_loss_that_grows_settles_where_it_carries_the_mean_heat():
    growing = replace(PATH, buoyant_fraction=0.6)
    settled = settled_cycle(replace(ALWAYS, path=growing))
    rise = settled.highest_surface_degc - 25.0
    assert float(growing.loss_w(rise)) == pytest.approx(1.5, rel=1e-6)
    assert rise < 1.5 / 0.06 - 1.0


def test_the_time_until_a_limit_follows_the_growing_loss():
    """Against a march in steps of a second, each with the loss of its own rise."""
    growing = replace(ALWAYS, path=replace(PATH, buoyant_fraction=0.6))
    cell = surface = 25.0
    seconds = 0
    while cell < 45.0:
        now = growing.frozen(surface - 25.0)
        cell, surface = map(float, now.step(cell, surface, heat_w=1.5, step_s=1.0))
        seconds += 1
    found = time_until_cell_s(growing, limit_degc=45.0)
    assert found == pytest.approx(seconds, rel=2e-3)


def test_the_settled_mean_gives_away_the_mean_heat():
    settled = settled_cycle(DIG)
    cell, surface = settled.start_cell_degc, settled.start_surface_degc
    given_away = 0.0
    for length, heat in zip(DIG.duration_s, DIG.heat_w, strict=True):
        times = np.linspace(0, length, 2001)
        cells, surfaces = DIG.step(cell, surface, heat_w=heat, step_s=times)
        given_away += 0.06 * np.trapezoid(surfaces - 25.0, times)
        cell, surface = float(cells[-1]), float(surfaces[-1])
    assert given_away == pytest.approx(np.sum(DIG.duration_s * DIG.heat_w), rel=1e-6)


def test_steady_heat_settles_by_ohms_law_of_heat():
    settled = settled_cycle(ALWAYS)
    assert settled.highest_surface_degc == pytest.approx(25 + 1.5 / 0.06)
    assert settled.highest_cell_degc == pytest.approx(25 + 1.5 / 0.06 + 1.5 / 0.6)


def test_the_time_constant_is_that_of_both_bodies_together():
    # The two nodes are nearly one body of 75 J/K behind 0.06 W/K.
    assert settled_cycle(ALWAYS).slowest_time_s == pytest.approx(75 / 0.06, rel=0.06)


@given(st.floats(26.0, 50.0))
def test_the_time_until_a_limit_is_when_the_cell_is_there(limit):
    seconds = time_until_cell_s(ALWAYS, limit_degc=limit)
    cell, _ = ALWAYS.step(25.0, 25.0, heat_w=1.5, step_s=seconds)
    assert float(cell) == pytest.approx(limit, abs=1e-6)


def test_a_limit_within_the_cycle_is_reached_while_it_works():
    limit = settled_cycle(DIG).highest_cell_degc - 1.0
    seconds = time_until_cell_s(DIG, limit_degc=limit)
    inside = seconds % float(np.sum(DIG.duration_s))
    assert 0 < inside < 48.0
    assert seconds > 1200


def test_a_limit_above_the_settled_cycle_is_never_reached():
    limit = settled_cycle(DIG).highest_cell_degc + 0.01
    assert time_until_cell_s(DIG, limit_degc=limit) == math.inf


def test_a_hot_surface_can_warm_the_cell_to_a_limit_it_never_settles_at():
    rest = replace(DIG, heat_w=np.zeros(3))
    found = time_until_cell_s(rest, limit_degc=30.0, start_cell_degc=25.0, start_surface_degc=60.0)
    assert 0 < found < 120
    never = time_until_cell_s(rest, limit_degc=59.0, start_cell_degc=25.0, start_surface_degc=60.0)
    assert never == math.inf


def test_a_start_beyond_the_limit_is_there_at_once():
    assert time_until_cell_s(DIG, limit_degc=40.0, start_cell_degc=41.0) == 0.0


def test_what_makes_no_sense_is_refused():
    with pytest.raises(OutOfRangeError, match="as many heats as durations"):
        replace(DIG, heat_w=np.zeros(2))
    with pytest.raises(OutOfRangeError, match="must be above 0"):
        replace(DIG, cell_j_per_k=0.0)
