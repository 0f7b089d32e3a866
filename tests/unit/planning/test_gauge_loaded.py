"""The pack under its load: charge at a voltage, the sag there, and what a start takes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.gauge.loaded import LoadedCurve, loaded_curve


def curve_of(*, open_circuit_v=lambda soc: 3.0 + soc, lasting=0.1, sudden=0.1) -> LoadedCurve:
    return loaded_curve(
        series=2,
        open_circuit_v=open_circuit_v,
        lasting_ohm=lasting if callable(lasting) else lambda soc: lasting,
        sudden_ohm=sudden if callable(sudden) else lambda soc: sudden,
        working_a=2.0,
    )


def test_charge_is_held_at_the_ends() -> None:
    curve = curve_of()
    assert curve.soc_at(4.0) == 0.0
    assert curve.soc_at(9.0) == 1.0
    assert curve.soc_at(6.8) == pytest.approx(0.5)


def test_what_the_cold_keeps_out_of_reach_is_still_left() -> None:
    curve = curve_of(open_circuit_v=lambda soc: 3.0 + max(soc - 0.2, 0.0))
    assert curve.soc_at(4.0) == pytest.approx(0.2)


def test_a_discharge_meets_a_voltage_where_it_first_comes_down_to_it() -> None:
    """A dip at four fifths and a hump below it: the dip counts."""
    dips = np.array([3.0, 3.4, 3.4, 3.6, 3.2, 4.0])
    curve = curve_of(open_circuit_v=lambda soc: np.interp(soc, np.linspace(0, 1, 6), dips))
    assert curve.soc_at(2 * 3.3 - 0.2) == pytest.approx(0.8 + 0.2 * 0.1 / 0.8)


def test_resistance_that_rises_near_empty_is_met_there() -> None:
    """0.5 ohm below a tenth, 0.1 ohm above: 1.0 V of sag, not 0.2 V."""
    curve = curve_of(lasting=lambda soc: 0.5 if soc < 0.1 else 0.1)
    soc = curve.soc_at(5.1)
    assert soc == pytest.approx(0.05)
    assert curve.sag_v(soc=soc, working_a=2.0) == pytest.approx(1.0)


@given(st.floats(0.0, 0.5), st.floats(0.0, 3.0), st.floats(5.0, 8.0))
def test_a_start_from_its_height_above_the_floor_just_reaches_it(rise, more_a, floor_v) -> None:
    curve = curve_of(sudden=lambda soc: 0.1 + rise * (1.0 - soc))
    taken_v = curve.start_v(floor_v=floor_v, more_a=more_a)
    soc = curve.soc_at(floor_v + taken_v)
    if 0.0 < soc < 1.0:
        left_v = curve.at(soc) - more_a * (0.1 + rise * (1.0 - soc))
        assert left_v == pytest.approx(floor_v, abs=1e-3)
    assert taken_v >= more_a * 0.1 - 1e-9


def test_a_resistance_below_nothing_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match=r"resistance of 0 or more; got -0\.1 ohm"):
        curve_of(lasting=-0.1)
