"""Convection and radiation: what must hold whatever the figures."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.engineering.thermal.air import air_at
from packdesign.engineering.thermal.convection import (
    Body,
    Shape,
    film_table_w_per_m2_k,
    film_w_per_m2_k,
    nusselt_vertical_plate_laminar_churchill_chu,
)
from packdesign.engineering.thermal.radiation import (
    finish,
    finish_names,
    radiation_w_per_m2_k,
)
from packdesign.foundation.errors import OutOfRangeError, UnknownNameError

SHAPES = st.sampled_from(list(Shape))


@given(SHAPES, st.floats(0.005, 0.5), st.floats(0.1, 80), st.floats(-20, 50))
def test_more_rise_never_means_a_smaller_film(shape, length, rise, ambient):
    body = Body(shape=shape, length_m=length, diameter_m=0.02)
    small = film_w_per_m2_k(body, rise_k=rise, ambient_degc=ambient)
    large = film_w_per_m2_k(body, rise_k=rise * 1.5, ambient_degc=ambient)
    assert 0 < small < large * 1.001


def test_a_plate_facing_down_cools_worse_than_one_facing_up():
    up = Body(shape=Shape.PLATE_FACING_UP, length_m=0.05)
    down = Body(shape=Shape.PLATE_FACING_DOWN, length_m=0.05)
    films = [film_w_per_m2_k(body, rise_k=20.0, ambient_degc=25.0) for body in (up, down)]
    assert films[0] > 1.5 * films[1]


def test_a_wide_vertical_cylinder_is_nearly_a_plate():
    plate = Body(shape=Shape.VERTICAL_PLATE, length_m=0.07)
    wide = Body(shape=Shape.VERTICAL_CYLINDER, length_m=0.07, diameter_m=50.0)
    thin = Body(shape=Shape.VERTICAL_CYLINDER, length_m=0.07, diameter_m=0.0186)
    films = [film_w_per_m2_k(body, rise_k=20.0, ambient_degc=25.0) for body in (plate, wide, thin)]
    assert films[1] == pytest.approx(films[0], rel=0.1)
    assert films[2] > films[1]


@pytest.mark.parametrize("shape", list(Shape))
def test_the_table_reads_back_the_film(shape):
    body = Body(shape=shape, length_m=0.06, diameter_m=0.02)
    rises, films = film_table_w_per_m2_k(body, ambient_degc=25.0)
    for rise in (0.7, 3.0, 12.0, 45.0):
        exact = film_w_per_m2_k(body, rise_k=rise, ambient_degc=25.0)
        assert np.interp(rise, rises, films) == pytest.approx(exact, rel=0.01)
    assert film_table_w_per_m2_k(body, ambient_degc=25.0)[1] is films
    assert not films.flags.writeable


@given(st.floats(0, 1), st.floats(-20, 90), st.floats(-20, 90))
def test_radiation_is_the_same_seen_from_either_side(emissivity, one, other):
    there = radiation_w_per_m2_k(emissivity=emissivity, surface_degc=one, surroundings_degc=other)
    back = radiation_w_per_m2_k(emissivity=emissivity, surface_degc=other, surroundings_degc=one)
    assert there == pytest.approx(back, rel=1e-12)
    assert there >= 0


def test_every_finish_is_an_emissivity_with_a_source():
    for entry in map(finish, finish_names()):
        assert 0 < entry.emissivity.low <= entry.emissivity.high <= 1
        assert entry.source


def test_an_unknown_finish_offers_the_nearest():
    with pytest.raises(UnknownNameError, match="lacquer, white"):
        finish("lacquer white")


def test_an_emissivity_above_one_is_refused():
    with pytest.raises(OutOfRangeError, match=r"emissivity is 1\.2"):
        radiation_w_per_m2_k(emissivity=1.2, surface_degc=40.0, surroundings_degc=20.0)


def test_air_outside_its_formulas_is_refused():
    with pytest.raises(OutOfRangeError, match="film_degc is 700"):
        air_at(film_degc=700.0)


def test_the_laminar_formula_stops_at_its_limit():
    with pytest.raises(OutOfRangeError, match="laminar formula holds to 1e9"):
        nusselt_vertical_plate_laminar_churchill_chu(prandtl=0.7, rayleigh_number=2e9)


def test_a_body_has_a_length():
    with pytest.raises(OutOfRangeError, match="length_m of a vertical plate"):
        Body(shape=Shape.VERTICAL_PLATE, length_m=0.0)


def test_a_vertical_cylinder_has_a_diameter():
    with pytest.raises(OutOfRangeError, match="needs diameter_m"):
        Body(shape=Shape.VERTICAL_CYLINDER, length_m=0.1)
