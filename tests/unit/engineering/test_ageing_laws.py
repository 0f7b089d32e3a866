"""Ageing at rest and by cycles: properties, ranges and guards."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Family
from packdesign.engineering.ageing.calendar import Rest, calendar_ageing
from packdesign.engineering.ageing.calendar_laws import capacity_nca_keil, capacity_nmc_schmalstieg
from packdesign.engineering.ageing.cycle_factors import (
    charge_rate_loss_factor,
    charge_voltage_trade,
    depth_loss_factor,
)
from packdesign.engineering.ageing.cycle_life import (
    CycleUse,
    cycle_ageing,
    cycles_to,
    loss_per_cycle,
)
from packdesign.engineering.ageing.cycle_table import CYCLE_ROWS, row_of_cell
from packdesign.engineering.ageing.estimate import AgeingEstimate, both
from packdesign.engineering.ageing.resistance_growth import coldest_burst, resistance_from_capacity
from packdesign.foundation.basis import Band, Basis
from packdesign.foundation.errors import OutOfRangeError

KNOWN = [Family.NMC, Family.NCA, Family.LFP, Family.LCO]
UNKNOWN = [Family.LMO, Family.NA_ION]
CELLS = {cell.name: cell for cell in load_cells()}


@given(
    family=st.sampled_from(KNOWN),
    degc=st.floats(0.0, 50.0),
    soc=st.floats(0.0, 1.0),
    days=st.floats(0.0, 5400.0),
)
def test_rest_never_gives_capacity_back(family, degc, soc, days):
    estimate = calendar_ageing(family, Rest(temperature_degc=degc, soc=soc, days=days))
    band = estimate.capacity_fraction
    assert 0.0 <= band.low <= band.mid <= band.high <= 1.0
    assert estimate.resistance_ratio.low >= 1.0


@given(family=st.sampled_from([Family.NMC, Family.NCA]), degc=st.floats(0.0, 45.0))
def test_warmer_fuller_and_longer_is_worse(family, degc):
    base = Rest(temperature_degc=degc, soc=0.5, days=365)
    left = calendar_ageing(family, base).capacity_fraction.mid
    for change in ({"temperature_degc": degc + 5}, {"soc": 0.9}, {"days": 730}):
        worse = dataclasses.replace(base, **change)
        assert calendar_ageing(family, worse).capacity_fraction.mid < left


@pytest.mark.parametrize("family", UNKNOWN)
def test_a_family_without_data_is_unknown_not_fine(family):
    rest = calendar_ageing(family, Rest(temperature_degc=25, soc=0.5, days=365))
    use = cycle_ageing(family, CycleUse(discharge_crate=1.0), cycles=100)
    assert rest.capacity_fraction is None
    assert use.capacity_fraction is None
    assert "no published" in rest.cautions[0]
    assert both(rest, use).capacity_fraction is None
    assert cycles_to(family, CycleUse(discharge_crate=1.0)) is None


def test_leaving_the_data_is_said():
    cold = calendar_ageing(Family.NMC, Rest(temperature_degc=5, soc=0.5, days=365))
    long = calendar_ageing(Family.NMC, Rest(temperature_degc=25, soc=0.5, days=1825))
    inside = calendar_ageing(Family.NMC, Rest(temperature_degc=25, soc=0.5, days=365))
    assert "outside the tests" in cold.cautions[0]
    assert "three years" in long.cautions[0]
    assert inside.cautions == ()


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: Rest(temperature_degc=60, soc=0.5, days=10), "0 to 50 degC only"),
        (lambda: Rest(temperature_degc=25, soc=1.5, days=10), "from 0 to 1"),
        (lambda: Rest(temperature_degc=25, soc=0.5, days=9999), "can be estimated"),
        (
            lambda: capacity_nmc_schmalstieg(temperature_degc=80, open_circuit_v=3.7, days=1),
            "50 degC only",
        ),
        (lambda: capacity_nca_keil(temperature_degc=25, soc=0.5, days=-1), "days"),
        (lambda: capacity_nca_keil(temperature_degc=25, soc=-0.5, days=1), "state of charge"),
        (lambda: CycleUse(discharge_crate=-1.0), "rates must be"),
        (lambda: CycleUse(discharge_crate=1.0, depth_fraction=0.0), "depth"),
        (lambda: charge_voltage_trade(charge_v=4.5), "outside the published table"),
        (lambda: depth_loss_factor(depth_fraction=0.0), "depth"),
        (
            lambda: cycle_ageing(Family.NMC, CycleUse(discharge_crate=1.0), cycles=-1),
            "0 or more",
        ),
        (lambda: coldest_burst(lambda degc: 5.0, needed_v=6.0), "too weak"),
    ],
)
def test_what_lies_beyond_the_data_is_refused(call, match):
    with pytest.raises(OutOfRangeError, match=match):
        call()


@given(
    family=st.sampled_from([*KNOWN, Family.LTO]),
    rate=st.floats(0.0, 12.0),
    depth=st.floats(0.02, 1.0),
)
def test_loss_per_cycle_is_a_band_above_nothing(family, rate, depth):
    use = CycleUse(discharge_crate=rate, depth_fraction=depth)
    band, _, source = loss_per_cycle(family, use)
    assert 0 < band.low <= band.mid <= band.high
    assert source


def test_harder_deeper_higher_and_faster_costs_cycles():
    base = CycleUse(discharge_crate=1.0, depth_fraction=0.5, charge_crate=1.0)
    cycles = cycles_to(Family.NMC, base).mid
    for change in (
        {"discharge_crate": 5.0},
        {"depth_fraction": 1.0},
        {"charge_v": 4.25},
        {"charge_crate": 1.5},
    ):
        assert cycles_to(Family.NMC, dataclasses.replace(base, **change)).mid < cycles
    alone = dataclasses.replace(base, in_pack=False)
    assert cycles_to(Family.NMC, alone).mid == pytest.approx(cycles / 0.75)


def test_depth_below_the_table_goes_in_proportion():
    tenth = depth_loss_factor(depth_fraction=0.10)
    assert depth_loss_factor(depth_fraction=0.05) == pytest.approx(tenth / 2)
    assert depth_loss_factor(depth_fraction=1.0) == pytest.approx(1.0)


def test_charge_rate_counts_for_layered_oxides_hardly_for_lfp_not_for_lto():
    assert charge_rate_loss_factor(Family.NMC, charge_crate=0.5) == 1.0
    assert charge_rate_loss_factor(Family.LFP, charge_crate=4.0) == pytest.approx(17 / 15)
    assert charge_rate_loss_factor(Family.LTO, charge_crate=4.0) == 1.0


def test_the_sheet_of_the_cell_sets_the_middle():
    power = CELLS["Samsung SDI INR18650-30Q"]
    own = row_of_cell(power)
    assert own is not None
    assert (own.cycles, own.left_fraction) == (250.0, 0.60)
    use = CycleUse(discharge_crate=5.0, in_pack=False)
    assert cycle_ageing(power.family, use, cycles=250, own=own).capacity_fraction.mid == (
        pytest.approx(0.60)
    )
    assert row_of_cell(dataclasses.replace(power, cycle_life="500 cycles")) is None
    assert row_of_cell(dataclasses.replace(power, cycle_life="10 cycles 100%")) is None


def test_rows_all_lose_something_and_name_their_source():
    for row in CYCLE_ROWS:
        assert 0 < row.loss_per_cycle < 0.01
        assert row.source


def test_resistance_grows_with_what_is_lost():
    assert resistance_from_capacity(Family.LFP, Band.exact(1.0)) == Band.exact(1.0)
    nmc = resistance_from_capacity(Family.NMC, Band.exact(0.8))
    lfp = resistance_from_capacity(Family.LFP, Band.exact(0.8))
    assert nmc.mid > lfp.mid > 1.0
    assert resistance_from_capacity(Family.LTO, Band.exact(0.8)) is None


def test_a_weaker_pack_fails_at_a_warmer_temperature():
    def lowest(ratio):
        return lambda degc: 11.0 - 10.0 * 0.06 * ratio * (1 + 0.02 * max(0.0, 25 - degc))

    new = coldest_burst(lowest(1.0), needed_v=10.0)
    aged = coldest_burst(lowest(1.4), needed_v=10.0)
    assert aged > new
    assert coldest_burst(lowest(0.1), needed_v=10.0) is None


def test_both_kinds_add_their_losses():
    one = AgeingEstimate(
        capacity_fraction=Band(0.8, 0.9, 0.95),
        resistance_ratio=Band(1.0, 1.1, 1.2),
        basis=Basis.DATASHEET,
        source="a",
    )
    total = both(one, one)
    assert total.capacity_fraction.mid == pytest.approx(0.8)
    assert total.resistance_ratio.high == pytest.approx(1.4)
    assert total.source == "a"
