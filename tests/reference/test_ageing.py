"""Ageing against published laws run elsewhere, makers' cycle figures and storage figures.

Runs named "package" are five-year storage runs of blast-lite 1.1.1 (BSD-3, PyPI 2026-06) on hourly
points, made on 2026-11-25; its laws are those of Schmalstieg 2014 and a fit to Keil 2016.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from packdesign.data.cells import Family
from packdesign.engineering.ageing.calendar import Rest, calendar_ageing
from packdesign.engineering.ageing.calendar_laws import (
    capacity_nca_keil,
    capacity_nmc_schmalstieg,
    open_circuit_nmc_schmalstieg,
    resistance_nmc_schmalstieg,
)
from packdesign.engineering.ageing.cycle_factors import (
    charge_rate_loss_factor,
    charge_voltage_trade,
    depth_loss_factor,
)
from packdesign.engineering.ageing.cycle_life import (
    CycleUse,
    cycle_ageing,
    cycles_to,
)

TABLE = Path(__file__).parent / "tables" / "storage_runs.csv"


def rows(law: str, kind: str):
    with TABLE.open(encoding="utf-8") as file:
        return [row for row in csv.DictReader(file) if (row["law"], row["kind"]) == (law, kind)]


def case(row) -> tuple[float, float, float]:
    return float(row["temperature_degc"]), float(row["soc"]), float(row["years"]) * 365.0


@pytest.mark.parametrize("row", rows("nmc111", "capacity"), ids=lambda row: row["id"])
def test_nmc_capacity_against_the_package(row):
    degc, soc, days = case(row)
    volts = open_circuit_nmc_schmalstieg(soc=soc)
    ours = capacity_nmc_schmalstieg(temperature_degc=degc, open_circuit_v=volts, days=days)
    assert ours == pytest.approx(float(row["value"]), abs=0.0005)


@pytest.mark.parametrize("row", rows("nmc111", "resistance"), ids=lambda row: row["id"])
def test_nmc_resistance_against_the_package(row):
    degc, soc, days = case(row)
    volts = open_circuit_nmc_schmalstieg(soc=soc)
    ours = resistance_nmc_schmalstieg(temperature_degc=degc, open_circuit_v=volts, days=days)
    assert ours == pytest.approx(float(row["value"]), abs=0.0005)


@pytest.mark.parametrize("row", rows("nca", "capacity"), ids=lambda row: row["id"])
def test_nca_capacity_against_the_package(row):
    degc, soc, days = case(row)
    ours = capacity_nca_keil(temperature_degc=degc, soc=soc, days=days)
    assert ours == pytest.approx(float(row["value"]), abs=0.0005)


def test_five_digits_by_hand():
    """25 degC, 50 %, 1825 days: 0.92030 and 1.16865 (NMC), 0.91309 (NCA), computed by hand."""
    nmc = {"temperature_degc": 25.0, "open_circuit_v": 3.6974, "days": 1825.0}
    assert capacity_nmc_schmalstieg(**nmc) == pytest.approx(0.92030, abs=2e-5)
    assert resistance_nmc_schmalstieg(**nmc) == pytest.approx(1.16865, abs=5e-5)
    nca = capacity_nca_keil(temperature_degc=25.0, soc=0.5, days=1825.0)
    assert nca == pytest.approx(0.91309, abs=2e-5)


@pytest.mark.parametrize(
    ("degc", "soc", "left"),
    [
        (0.0, 0.40, 0.98), (25.0, 0.40, 0.96), (40.0, 0.40, 0.85),
        (0.0, 1.00, 0.94), (25.0, 1.00, 0.80), (40.0, 1.00, 0.65),
    ],
)  # fmt: skip
def test_cobalt_type_after_a_year(degc, soc, left):
    """Battery University storage table, copies read 2026-11-25."""
    estimate = calendar_ageing(
        Family.LCO, Rest(temperature_degc=degc, soc=soc, days=365.25)
    ).capacity_fraction
    assert estimate.mid == pytest.approx(left, abs=0.005)


@pytest.mark.parametrize(("degc", "days"), [(25.0, 548.0), (45.0, 91.0)])
def test_stored_power_cell_recovers_what_its_sheet_promises(degc, days):
    """Samsung 30Q v1.0 (2015): at 40 %, at least 90 % after 1.5 years at 25 and 3 months at 45."""
    estimate = calendar_ageing(Family.NCA, Rest(temperature_degc=degc, soc=0.4, days=days))
    assert estimate.capacity_fraction.mid >= 0.90


def test_power_use_is_counted_honestly():
    """Samsung 30Q v1.0 (February 2015): 15 A from 3 Ah, 60 % left after 250 cycles."""
    use = CycleUse(discharge_crate=5.0, in_pack=False)
    band = cycle_ageing(Family.NCA, use, cycles=250).capacity_fraction
    assert band.low == pytest.approx(0.60, abs=0.005)
    assert band.mid < 0.75
    survey = cycle_ageing(Family.NCA, use, cycles=300).capacity_fraction
    assert survey.low <= 0.53 + 0.01
    assert survey.high >= 0.73 - 0.01


@pytest.mark.parametrize(
    ("crate", "cycles", "left"),
    [(8 / 3.5, 500, 0.60), (10 / 3.5, 500, 0.60), (10 / 3.5, 400, 0.80)],
)
def test_ratings_between_gentle_and_hard_lie_in_the_band(crate, cycles, left):
    """lygte-info.dk survey of maker ratings, undated: 3500 mAh cells of three makers."""
    use = CycleUse(discharge_crate=crate, in_pack=False)
    band = cycle_ageing(Family.NMC, use, cycles=cycles).capacity_fraction
    assert band.low - 0.005 <= left <= band.high + 0.005


@pytest.mark.parametrize(
    ("depth", "low", "high"),
    [(1.0, 300, 500), (0.5, 1200, 1500), (0.25, 2000, 2500), (0.1, 3750, 4700)],
)
def test_depth_table(depth, low, high):
    """Battery University, copy: 400 full cycles scaled by depth fall inside each printed range."""
    assert low <= 400 / depth_loss_factor(depth_fraction=depth) <= high


@pytest.mark.parametrize(
    ("volts", "low", "high", "capacity"),
    [
        (4.30, 150, 250, None), (4.25, 200, 350, 1.05), (4.20, 300, 500, 1.00),
        (4.10, 600, 1000, 0.86), (4.00, 1200, 2000, 0.72), (3.92, 2400, 4000, 0.58),
    ],
)  # fmt: skip
def test_charge_voltage_table(volts, low, high, capacity):
    """Battery University BU-808 table 4, copies read 2026-11-25."""
    trade = charge_voltage_trade(charge_v=volts)
    assert low <= 400 * trade.cycle_factor <= high
    if capacity is not None:
        assert trade.capacity_fraction == pytest.approx(capacity)


def test_charge_rate_table():
    """Findings review table: NMC loses 7, 10, 23 % at 1, 1.2, 1.5C; LFP 15 and 17 % at 1 and 4C."""
    for rate, loss in ((1.0, 7), (1.2, 10), (1.5, 23)):
        factor = charge_rate_loss_factor(Family.NMC, charge_crate=rate)
        assert 7 * factor == pytest.approx(loss)
    assert 15 * charge_rate_loss_factor(Family.LFP, charge_crate=4.0) == pytest.approx(17)


def test_lfp_outlives_layered_oxides_by_far():
    """EVE LF304: at least 3500 cycles to 80 % at 1C; GHOST: LTO loses 10 % after over 9000."""
    use = CycleUse(discharge_crate=1.0, in_pack=False)
    assert cycles_to(Family.LFP, use).high >= 3500
    assert cycles_to(Family.LTO, use, left_fraction=0.90).high == pytest.approx(9000)
    assert cycles_to(Family.NMC, use).mid < cycles_to(Family.LFP, use).mid
