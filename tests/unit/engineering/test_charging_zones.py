"""Temperature zones of charging."""

from __future__ import annotations

import dataclasses
import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Family
from packdesign.data.charge_tables import printed_charge_bands, self_discharge_rows
from packdesign.engineering.charging.coldest import coldest_charge_degc
from packdesign.engineering.charging.zones import ZoneName, charge_zone, charge_zones
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError

CELLS = {cell.name: cell for cell in load_cells()}
POWER = CELLS["Samsung SDI INR18650-30Q"]
BANDED = next(cell for name, cell in CELLS.items() if "M50T" in name)


def test_every_cell_of_the_table_is_covered_without_gaps():
    for cell in CELLS.values():
        zones = charge_zones(cell, wanted_a=0.5 * cell.capacity_ah)
        assert zones[0].low_degc == -math.inf
        assert zones[-1].high_degc == math.inf
        assert not zones[0].allowed
        assert not zones[-1].allowed
        for colder, warmer in itertools.pairwise(zones):
            assert colder.high_degc == warmer.low_degc


@given(st.floats(-60.0, 120.0))
def test_one_zone_is_found_at_every_temperature(degc):
    zone = charge_zone(POWER, temperature_degc=degc)
    assert zone.low_degc <= degc <= zone.high_degc


@pytest.mark.parametrize(
    ("degc", "name"),
    [
        (-0.1, ZoneName.TOO_COLD),
        (0.0, ZoneName.COOL),
        (10.0, ZoneName.NORMAL),
        (44.9, ZoneName.NORMAL),
        (45.0, ZoneName.WARM),
        (50.0, ZoneName.WARM),
        (50.1, ZoneName.TOO_HOT),
    ],
)
def test_the_published_zones_inside_the_limits_of_the_cell(degc, name):
    assert charge_zone(POWER, temperature_degc=degc).name is name


def test_cool_takes_a_fifth_and_warm_a_tenth_of_a_volt():
    cool = charge_zone(POWER, temperature_degc=5.0, wanted_a=1.5)
    warm = charge_zone(POWER, temperature_degc=47.0, wanted_a=1.5)
    assert cool.charge_a == pytest.approx(0.3)
    assert warm.full_v == pytest.approx(4.10)


def test_printed_bands_go_first_and_never_raise_the_wanted_current():
    cold = charge_zone(BANDED, temperature_degc=10.0, wanted_a=3.0)
    warm = charge_zone(BANDED, temperature_degc=30.0, wanted_a=1.0)
    assert cold.name is ZoneName.PRINTED
    assert cold.basis is Basis.DATASHEET
    assert cold.charge_a == pytest.approx(0.3 * BANDED.capacity_ah)
    assert warm.charge_a == 1.0


@pytest.mark.parametrize(
    ("family", "printed_degc", "basis", "floor_degc"),
    [
        (Family.NMC, -20.0, Basis.DATASHEET, 0.0),
        (Family.LFP, -30.0, Basis.DATASHEET, 0.0),
        (Family.NMC, 10.0, Basis.DATASHEET, 10.0),
        (Family.NMC, None, Basis.ASSUMED, 0.0),
        (Family.LTO, -30.0, Basis.DATASHEET, -30.0),
        (Family.LTO, -30.0, Basis.ASSUMED, 0.0),
        (Family.LTO, None, Basis.ASSUMED, 0.0),
        (Family.NA_ION, -20.0, Basis.DATASHEET, -20.0),
    ],
)
def test_only_a_sheet_of_a_cell_without_graphite_allows_charging_in_frost(
    family, printed_degc, basis, floor_degc
):
    cell = dataclasses.replace(
        POWER,
        family=family,
        charge_min_degc=printed_degc,
        bases={**POWER.bases, "charge_min_degc": basis},
    )
    assert coldest_charge_degc(cell) == floor_degc
    assert charge_zone(cell, temperature_degc=floor_degc).allowed
    assert not charge_zone(cell, temperature_degc=floor_degc - 0.1).allowed


def test_every_zone_of_the_table_begins_where_charging_does():
    for cell in CELLS.values():
        first = next(each for each in charge_zones(cell, wanted_a=1.0) if each.allowed)
        assert first.low_degc == coldest_charge_degc(cell), cell.name


def test_a_cell_without_any_charge_current_is_refused():
    silent = dataclasses.replace(POWER, standard_charge_a=None, max_charge_a=None)
    with pytest.raises(OutOfRangeError, match="no charge current"):
        charge_zones(silent)
    with pytest.raises(OutOfRangeError, match="finite"):
        charge_zone(POWER, temperature_degc=math.nan)
    with pytest.raises(OutOfRangeError, match="above 0 A"):
        charge_zones(POWER, wanted_a=-1.0)


def test_the_tables_behind_it():
    assert printed_charge_bands("no such part") == ()
    assert [band.low_degc for band in printed_charge_bands("ncr-18650 b")] == [0, 10]
    assert self_discharge_rows(Family.LMO) == ()
