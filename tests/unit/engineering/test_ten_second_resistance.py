"""A sheet without a resistance: what cells alike in rating, or in purpose and capacity, have."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Cell, Family
from packdesign.engineering.discharge.ten_second_resistance import ten_second_resistance

FLAT = (Family.LFP, Family.LTO)
KNOWN = [each for each in load_cells() if each.dc_resistance_ohm or each.ac_resistance_ohm]
RATED = [each for each in KNOWN if each.continuous_a is not None]


def blank(cell: Cell, **other: object) -> Cell:
    return replace(cell, dc_resistance_ohm=None, ac_resistance_ohm=None, **other)


def miss(cells: list[Cell], **other: object) -> float:
    """Root mean square of the logarithm by which the guess misses the sheets."""
    logs = [
        np.log(ten_second_resistance(blank(each, **other)).ohm / ten_second_resistance(each).ohm)
        for each in cells
    ]
    return float(np.sqrt(np.mean(np.square(logs))))


def left_out(cells: list[Cell], *, power: float | None) -> float:
    """The same for a law of the rate when each cell in turn is kept out of its fit."""
    rate = np.log([each.continuous_a / each.capacity_ah for each in cells])
    wanted = np.log([ten_second_resistance(each).ohm * each.capacity_ah for each in cells])
    flat = np.array([each.family in FLAT for each in cells], dtype=float)
    terms = np.column_stack([1 - flat, flat] + ([rate] if power is None else []))
    moved = wanted if power is None else wanted - power * rate
    errors = []
    for k in range(len(cells)):
        others = np.arange(len(cells)) != k
        found = np.linalg.lstsq(terms[others], moved[others], rcond=None)[0]
        errors.append(moved[k] - terms[k] @ found)
    return float(np.std(errors))


def test_the_rating_tells_the_resistance_to_forty_percent() -> None:
    assert len(RATED) >= 50
    fitted = left_out(RATED, power=None)
    assert fitted == pytest.approx(0.40, abs=0.02)
    assert left_out(RATED, power=-1.0) > 1.2 * fitted
    assert 0.3 < miss(RATED) < fitted


def test_a_purpose_tells_more_than_the_size_alone() -> None:
    of_purpose = [each for each in KNOWN if each.purpose and each.family not in FLAT]
    assert len(of_purpose) >= 50
    by_purpose = miss(of_purpose, continuous_a=None)
    by_size = miss(of_purpose, continuous_a=None, purpose="")
    assert by_purpose < 0.75 * by_size


def test_more_rating_and_power_cells_mean_less_resistance() -> None:
    cell = next(each for each in RATED if each.purpose == "power" and each.family not in FLAT)
    rated = [
        ten_second_resistance(blank(cell, continuous_a=amps)).ohm for amps in (5.0, 10.0, 20.0)
    ]
    assert rated == sorted(rated, reverse=True)
    unrated = {
        purpose: ten_second_resistance(blank(cell, continuous_a=None, purpose=purpose))
        for purpose in ("power", "energy", "")
    }
    assert unrated["power"].ohm < unrated[""].ohm < unrated["energy"].ohm
    assert unrated["power"].spread_fraction < unrated[""].spread_fraction
    assert "for power" in unrated["power"].how


def test_a_purpose_of_few_cells_is_left_aside() -> None:
    flat = next(each for each in KNOWN if each.family is Family.LFP)
    told, untold = (
        ten_second_resistance(blank(flat, continuous_a=None, purpose=purpose)).ohm
        for purpose in ("power", "")
    )
    assert told == untold


def test_a_printed_tolerance_is_a_rectangle_not_a_deviation() -> None:
    """GUM (JCGM 100:2008) 4.3.7: limits of +-a with nothing said between them, u = a / sqrt(3).

    LG M50LT 23 +-6 milliohm: 3.464, or 15.06 %; LG MH1 48 +-6 milliohm: 7.22 %.
    """
    m50lt, mh1 = (load_cells().find(name) for name in ("INR21700M50LT", "INR18650MH1"))
    assert ten_second_resistance(m50lt).spread_fraction == pytest.approx(0.1506, abs=1e-4)
    assert ten_second_resistance(mh1).spread_fraction == pytest.approx(0.0722, abs=1e-4)


def test_the_spread_is_a_fraction_whatever_the_pulse() -> None:
    """A figure brought from a short pulse to 10 s takes its tolerance along."""
    cell = replace(
        load_cells().find("INR18650MH1"),
        dc_resistance_ohm=0.020,
        dc_resistance_tolerance_ohm=0.003,
        dc_resistance_pulse_s=1.0,
    )
    found = ten_second_resistance(cell)
    assert found.ohm > 0.020
    assert found.spread_fraction == pytest.approx(0.003 / 0.020 / 3**0.5)


def test_without_a_tolerance_the_general_spread_stays() -> None:
    bare = replace(load_cells().find("INR18650MH1"), dc_resistance_tolerance_ohm=None)
    assert ten_second_resistance(bare).spread_fraction == pytest.approx(0.15)
