"""Balancing against figures of chip makers and the trade press, and the drift a leak makes."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from packdesign.data.cells import Family
from packdesign.data.chemistries import load_chemistry
from packdesign.engineering.charging.balancing import (
    Bleed,
    balance_hours,
    bleed_current,
    bleed_current_two_resistors,
    simulated_balance_hours,
)
from packdesign.engineering.charging.drift import DriftCase, OpenCircuitCurve, simulate_drift

TABLE = Path(__file__).parent / "tables" / "balancing_examples.csv"


def rows():
    with TABLE.open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["case"])
def test_published_hours(row):
    """Electronics World, November 2025, p. 28, and products computed from the same formula."""
    bleed = Bleed(current_a=float(row["bleed_a"]), duty_fraction=float(row["duty_fraction"]))
    hours = balance_hours(gap_ah=float(row["gap_ah"]), bleed=bleed)
    assert hours == pytest.approx(float(row["hours"]), abs=float(row["tolerance_hours"]))


def test_monitor_board_peak_and_mean():
    """TI TIDUF44 (January 2024), 4.4.4: 64 mA at 4 V, 50 mA of it outside; duty 82 %."""
    outside = bleed_current(cell_v=4.0, path_ohm=80.0)
    assert outside == pytest.approx(0.050)
    board = Bleed(current_a=outside + 0.014, duty_fraction=0.82)
    assert board.mean_a == pytest.approx(0.0525, abs=0.0001)


def test_two_resistors_and_switch():
    """TI SLVAE87A, equation 2: two resistors and the switch in the path of one cell."""
    current = bleed_current_two_resistors(cell_v=4.2, resistor_ohm=39.0, switch_ohm=25.0)
    assert current == pytest.approx(4.2 / 103.0)


@pytest.mark.parametrize(("ohm", "amps", "watts"), [(100.0, 0.042, 0.176), (47.0, 0.0894, 0.375)])
def test_bleed_resistors_at_full(ohm, amps, watts):
    """Ohm's law at 4.2 V, worked out by hand to three digits."""
    current = bleed_current(cell_v=4.2, path_ohm=ohm)
    assert current == pytest.approx(amps, abs=0.0001)
    assert Bleed(current_a=current).heat_w(cell_v=4.2) == pytest.approx(watts, abs=0.0006)


def test_three_cells_one_behind():
    """2.5 Ah cells, one 120 mAh behind, 60 mA: 120 / 60 = 2 h, and 2.44 h at a duty of 82 %."""
    behind = [0.0, 0.120, 0.0]
    steady = Bleed(current_a=0.060)
    assert balance_hours(gap_ah=0.120, bleed=steady) == pytest.approx(120 / 60)
    stepped = simulated_balance_hours(behind, bleed=steady, tolerance_ah=1e-5)
    assert stepped == pytest.approx(2.0, abs=0.002)
    pausing = Bleed(current_a=0.060, duty_fraction=0.82)
    assert balance_hours(gap_ah=0.120, bleed=pausing) == pytest.approx(2.44, abs=0.005)


def test_fifty_cycles_of_a_leak_without_balancing():
    """Arithmetic: 1 mA more in one group for 49 days is 1.176 Ah; with 60 mA it is gone."""
    curve = load_chemistry(Family.NMC)
    case = DriftCase(
        capacity_ah=(2.5, 2.5, 2.5),
        behind_ah=(0.0, 0.0, 0.0),
        leak_a=(0.0, 0.0, 0.001),
        cycle_h=24.0,
        used_ah=1.0,
        full_v=4.2,
    )
    table = OpenCircuitCurve(soc=np.asarray(curve.ocv_soc), voltage_v=np.asarray(curve.ocv_v))
    alone = simulate_drift(case, curve=table, cycles=50)
    balanced = simulate_drift(case, curve=table, cycles=50, bleed=Bleed(current_a=0.060))
    assert alone.spread_ah[-1] == pytest.approx(49 * 0.024, rel=1e-6)
    assert alone.highest_v > 4.25
    assert balanced.spread_ah[-1] == pytest.approx(0.0, abs=1e-6)
    assert balanced.balance_h[-1] == pytest.approx(0.024 / 0.060, rel=0.02)
