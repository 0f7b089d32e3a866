"""Which curve a cell gets, and that every one rises."""

from __future__ import annotations

import dataclasses
import statistics

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Cell, Family
from packdesign.data.ocv import family_ocv, ocv_for
from packdesign.data.ocv_tables import curve_tables, family_rules
from packdesign.foundation.basis import Basis

CELLS = tuple(load_cells())


@pytest.mark.parametrize("cell", CELLS, ids=[cell.name for cell in CELLS])
def test_every_cell_has_a_rising_curve_from_empty_to_full(cell: Cell) -> None:
    curve = ocv_for(cell)
    assert curve.soc[0] == 0.0
    assert curve.soc[-1] == 1.0
    assert np.all(np.diff(curve.soc) > 0)
    assert np.all(np.diff(curve.voltage_v) >= 0)
    assert np.all(curve.spread_v > 0)
    assert curve.soc.shape == curve.voltage_v.shape == curve.spread_v.shape
    assert abs(curve.voltage_v[-1] - cell.full_v) < 0.11
    assert curve.source
    assert curve.name


def test_a_measured_cell_gets_its_own_curve() -> None:
    own = {cell.part_number for cell in CELLS if ocv_for(cell).is_own}
    assert own == {
        "INR21700 M50T", "INR-21700-P42A", "INR-18650-P28A", "INR21700-40T", "INR21700-50G",
        "US18650VTC6", "INR18650MJ1", "INR21700-M50", "SLPB75106100", "APR18650M1B",
    }  # fmt: skip


def test_every_part_number_named_by_a_curve_is_in_the_table() -> None:
    parts = {cell.part_number for cell in CELLS}
    for table in curve_tables():
        assert set(table.part_numbers) <= parts


def test_a_curve_without_ends_is_completed_from_its_family() -> None:
    curve = ocv_for(load_cells().find("INR18650MJ1"))
    inside = (curve.soc > 0.06) & (curve.soc < 0.89)
    outside = (curve.soc < 0.04) | (curve.soc > 0.94)
    assert np.max(curve.spread_v[inside]) == pytest.approx(0.01)
    family = family_ocv(Family.NMC)
    expected = np.interp(curve.soc[outside], family.soc, family.spread_v)
    assert curve.spread_v[outside] == pytest.approx(expected)
    assert "where the curve has no points, the mean of the family" in curve.source


def test_each_curve_counts_where_it_has_points() -> None:
    """The MJ1 has points from 5 to 90 %, the VTC6 from 2 % up; the rest from empty to full."""
    family = family_ocv(Family.NMC)
    counted = [t for t in curve_tables() if t.cell in family.name]
    assert len(counted) == 7
    for soc, count in ((0.0, 5), (0.02, 6), (0.1, 7), (0.5, 7), (0.95, 6)):
        there = [t for t in counted if t.soc[0] <= soc <= t.soc[-1]]
        volts = [float(np.interp(soc, t.soc, t.voltage_v)) for t in there]
        assert len(there) == count
        assert float(family.at(soc)) == pytest.approx(statistics.fmean(volts))
        spread = float(np.interp(soc, family.soc, family.spread_v))
        assert spread == pytest.approx(max(statistics.stdev(volts), 0.01))


def test_a_curve_alone_has_the_least_spread_of_its_rule() -> None:
    assert family_ocv(Family.LFP).spread_v == pytest.approx(0.02)


def test_nca_and_nmc_share_their_curves() -> None:
    assert family_ocv(Family.NCA).voltage_v == pytest.approx(family_ocv(Family.NMC).voltage_v)


def test_a_blend_lies_between_lco_and_nmc_and_is_assumed() -> None:
    cell = load_cells().find("ICR18650-26F")
    curve = ocv_for(cell)
    lco, nmc = family_ocv(Family.LCO), family_ocv(Family.NMC)
    assert curve.voltage_v == pytest.approx((lco.voltage_v + nmc.voltage_v) / 2)
    assert np.all(curve.spread_v >= np.abs(lco.voltage_v - nmc.voltage_v) / 2)
    assert curve.basis is Basis.ASSUMED


def test_a_cell_charged_to_435_reaches_its_charge_voltage() -> None:
    """UR18650ZTA prints 2700 mAh at 4.25 V and 3000 mAh at 4.35 V: 10 % for the last 0.1 V."""
    curve = ocv_for(load_cells().find("UR18650ZTA"))
    assert curve.voltage_v[-1] == 4.35
    assert curve.basis is Basis.ASSUMED
    share = float(np.interp(4.25, curve.voltage_v, curve.soc))
    assert share == pytest.approx(0.90, abs=0.005)


def test_iron_phosphate_is_not_carried_on_to_its_charge_voltage() -> None:
    cell = load_cells().find("AA Portable Power LFP-26650-3300")
    assert cell.full_v == 3.65
    assert ocv_for(cell).voltage_v[-1] == pytest.approx(3.598, abs=0.001)


def test_a_user_cell_is_served_from_its_family() -> None:
    cell = dataclasses.replace(CELLS[0], part_number="unheard of", family=Family.LFP, full_v=3.6)
    assert not ocv_for(cell).is_own
    assert float(ocv_for(cell).at(0.5)) == pytest.approx(3.299, abs=0.001)


@given(soc=st.floats(min_value=-1, max_value=2))
def test_outside_zero_and_one_the_ends_are_held(soc: float) -> None:
    curve = family_ocv(Family.NMC)
    assert curve.voltage_v[0] <= float(curve.at(soc)) <= curve.voltage_v[-1]


def test_every_family_has_a_rule_and_curves() -> None:
    assert set(family_rules()) == set(Family)
    for rule in family_rules().values():
        assert any(t.use == "family" and t.family in rule.curves_of for t in curve_tables())
