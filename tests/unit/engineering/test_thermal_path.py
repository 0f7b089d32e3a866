from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.engineering.thermal.path import (
    REFERENCE_RISE_K,
    ThermalPath,
    buoyancy,
    loss_share,
    loss_slope_share,
)
from packdesign.foundation.errors import OutOfRangeError

SHARES = st.floats(0.0, 1.0)


def path(**other: float) -> ThermalPath:
    return ThermalPath(
        cell_to_surface_w_per_k=2.0, surface_to_air_w_per_k=0.1, surface_j_per_k=30.0, **other
    )


@given(SHARES)
def test_the_conductance_stands_at_the_reference_rise(share):
    assert loss_share(share, REFERENCE_RISE_K) == pytest.approx(1.0, abs=1e-6)
    lost_w = float(path(buoyant_fraction=share).loss_w(REFERENCE_RISE_K))
    assert lost_w == pytest.approx(0.1 * REFERENCE_RISE_K, rel=1e-6)


@given(SHARES, st.floats(0.1, 80.0))
def test_heat_comes_in_as_it_goes_out(share, rise):
    grown = path(buoyant_fraction=share)
    assert float(grown.loss_w(-rise)) == pytest.approx(-float(grown.loss_w(rise)))


@given(SHARES, st.floats(0.5, 80.0))
def test_the_slope_is_the_derivative_of_the_loss(share, rise):
    step = 1e-4 * rise
    ends = path(buoyant_fraction=share).loss_w(np.array([rise - step, rise + step]))
    slope = float(ends[1] - ends[0]) / (2 * step)
    assert slope == pytest.approx(0.1 * float(loss_slope_share(share, rise)), rel=1e-5)


@given(SHARES, st.floats(-80.0, 80.0))
def test_a_frozen_path_loses_the_same_at_its_rise(share, rise):
    growing = path(buoyant_fraction=share)
    frozen = growing.frozen(rise)
    assert frozen.buoyant_fraction == 0.0
    assert float(frozen.loss_w(rise)) == pytest.approx(float(growing.loss_w(rise)))


def test_no_rise_is_no_trouble():
    assert 0.0 < float(buoyancy(0.0)) < 0.1
    assert float(path(buoyant_fraction=1.0).loss_w(0.0)) == 0.0


@pytest.mark.parametrize("share", [-0.1, 1.1])
def test_a_share_is_a_share(share):
    with pytest.raises(OutOfRangeError, match="from 0 to 1"):
        path(buoyant_fraction=share)
