"""Family tables: shapes, ranges, references at one, every row with a source."""

from __future__ import annotations

import csv
import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.data.batch_spread import batch_spread, load_batch_spreads
from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Family
from packdesign.data.charge_tables import printed_charge_bands, self_discharge_rows
from packdesign.data.chemistries import load_chemistry
from packdesign.data.folder import table_path
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import UnknownNameError

FAMILIES = pytest.mark.parametrize("family", list(Family))
TABLES = sorted(
    path
    for path in table_path("chemistries/ocv.csv").parent.glob("*.csv")
    if path.name != "ocv.csv"  # its source is in ocv_curves.csv, by the name of the curve
)


@pytest.mark.parametrize("path", TABLES, ids=[path.stem for path in TABLES])
def test_every_row_has_a_source_and_a_basis(path: object) -> None:
    with path.open(encoding="utf-8", newline="") as file:  # type: ignore[attr-defined]
        rows = list(csv.DictReader(file))
    assert rows
    for row in rows:
        assert row["source"].strip()
        assert Basis(row["basis"])


@FAMILIES
def test_ratios_are_one_at_their_reference(family: Family) -> None:
    chemistry = load_chemistry(family)
    assert chemistry.resistance_temperature.band(25.0).mid == pytest.approx(1.0)
    assert chemistry.resistance_soc.band(0.5).mid == pytest.approx(1.0)
    assert chemistry.resistance_pulse.at(pulse_s=10, temperature_degc=15) == pytest.approx(1.0)
    for each in chemistry.capacity:
        if 25.0 in each.temperature_degc:
            assert float(np.interp(25.0, each.temperature_degc, each.fraction)) == 1.0


@FAMILIES
def test_tables_rise_in_their_first_column_and_bands_hold(family: Family) -> None:
    chemistry = load_chemistry(family)
    for table in (chemistry.resistance_temperature, chemistry.resistance_soc):
        assert np.all(np.diff(table.at) > 0)
        assert np.all(table.low <= table.mid)
        assert np.all(table.mid <= table.high)
    assert np.all(np.diff(chemistry.entropic_soc) > 0)
    assert np.all(np.abs(chemistry.entropic_v_per_k) < 1e-3)
    assert np.all(chemistry.entropic_spread_v_per_k >= 0)
    assert chemistry.specific_heat_j_per_kg_k.low > 500
    assert chemistry.specific_heat_j_per_kg_k.high < 1500
    assert chemistry.ocv_soc.shape == chemistry.ocv_v.shape == chemistry.ocv_spread_v.shape
    assert chemistry.resistance_temperature_degc.shape == (
        chemistry.resistance_temperature_ratio.shape
    )
    assert chemistry.resistance_soc_fraction.shape == chemistry.resistance_soc_ratio.shape


@FAMILIES
def test_cold_raises_resistance_and_heat_goes_on_as_it_was_read_last(family: Family) -> None:
    ratio = load_chemistry(family).resistance_temperature
    cold = [ratio.band(degc).mid for degc in (-20.0, -10.0, 0.0, 10.0, 20.0, 30.0, 45.0)]
    assert cold == sorted(cold, reverse=True)
    hot = [ratio.band(degc) for degc in (45.0, 60.0, 90.0, 120.0)]
    assert [each.mid for each in hot] == sorted((each.mid for each in hot), reverse=True)
    # no faster than from 30 to 45 degC, and none of the doubt upward is given away
    energy = np.log(ratio.band(30.0).mid / hot[0].mid) / (1 / 303.15 - 1 / 318.15)
    assert hot[-1].mid == pytest.approx(
        hot[0].mid * np.exp(energy * (1 / 393.15 - 1 / 318.15)), rel=2e-3
    )
    assert {each.high for each in hot} == {hot[0].high}
    assert ratio.band(150.0) == hot[-1]


def test_only_the_families_measured_count_as_published() -> None:
    published = {family for family in Family if load_chemistry(family).ocv.basis is Basis.PUBLISHED}
    assert published == {Family.NCA, Family.NMC, Family.LCO, Family.LFP}
    with_entropy = {Family.NCA, Family.NMC, Family.LCO}
    for family in Family:
        chemistry = load_chemistry(family)
        assert np.all(chemistry.entropic_spread_v_per_k > 0)
        assert (chemistry.entropic_basis is Basis.PUBLISHED) == (family in with_entropy)
        assert bool(np.any(chemistry.entropic_v_per_k)) == (family in with_entropy)


def test_a_family_without_a_table_has_the_wider_band() -> None:
    known = load_chemistry(Family.NMC).resistance_temperature.band(0.0)
    guessed = load_chemistry(Family.LTO).resistance_temperature.band(0.0)
    assert guessed.high - guessed.low > 2 * (known.high - known.low)


def test_ac_to_dc_spans_the_sheets_that_print_both() -> None:
    """P42A 16/10 = 1.6, P22S 22/10 = 2.2, M50LT 23/15 = 1.53; 40T and P28A 1.0 on a maximum."""
    chemistry = load_chemistry(Family.NMC)
    assert chemistry.ac_to_dc_ratio.low == pytest.approx(23 / 15, abs=0.001)
    assert chemistry.ac_to_dc_ratio.high == pytest.approx(2.2)
    assert chemistry.ac_maximum_to_dc_ratio.low == 1.0


def test_pulse_length_as_published() -> None:
    """Samsung 50G at 30 degC and half charge: 23.3, 26.8, 31.2, 45.9 milliohm (Paudel 2025)."""
    pulse = load_chemistry(Family.NCA).resistance_pulse
    found = [pulse.at(pulse_s=s, temperature_degc=30) * 26.8 for s in (2, 10, 30, 180)]
    assert found == pytest.approx([23.3, 26.8, 31.2, 45.9], abs=0.05)


def test_temperature_as_published() -> None:
    """Samsung 50G: -10 degC 2.95 times, 0 degC 1.74, 45 degC 0.83 of 25 degC (Paudel 2025)."""
    table = load_chemistry(Family.NCA).resistance_temperature
    found = [table.band(degc).mid for degc in (-10, 0, 45)]
    assert found == pytest.approx([2.95, 1.74, 0.83], abs=0.006)


def test_capacity_in_the_cold_as_printed() -> None:
    """Samsung 15L at 10 A (6.7C): 60 % at -20 degC, 80 % at 0 degC; 50G at 0.2C: -13 % at -10."""
    chemistry = load_chemistry(Family.NMC)
    assert chemistry.capacity_fraction(temperature_degc=-20, c_rate=6.7) == pytest.approx(0.60)
    assert chemistry.capacity_fraction(temperature_degc=0, c_rate=6.7) == pytest.approx(0.80)
    assert chemistry.capacity_fraction(temperature_degc=-10, c_rate=0.2) == pytest.approx(0.87)


@given(
    family=st.sampled_from(list(Family)),
    degc=st.floats(min_value=-40, max_value=80),
    rate=st.floats(min_value=0.01, max_value=30),
)
def test_capacity_is_a_share_and_never_falls_with_warmth_up_to_20(
    family: Family, degc: float, rate: float
) -> None:
    chemistry = load_chemistry(family)
    here = chemistry.capacity_fraction(temperature_degc=degc, c_rate=rate)
    assert 0.5 < here <= 1.0 + 1e-12
    if degc <= 15:  # the LCO rows stand against 20 degC and fall a little beyond it
        warmer = chemistry.capacity_fraction(temperature_degc=degc + 5, c_rate=rate)
        assert warmer >= here - 1e-9


@FAMILIES
def test_limits_are_in_order(family: Family) -> None:
    limits = load_chemistry(family).limits
    assert limits.cutoff_v < limits.nominal_v < limits.full_v
    assert limits.floor_v is None or limits.floor_v < limits.cutoff_v
    assert 0.2 < limits.storage_low_soc < limits.storage_high_soc <= 0.6


def test_loading_twice_gives_the_same_object() -> None:
    assert load_chemistry(Family.LFP) is load_chemistry(Family.LFP)


def test_batches() -> None:
    assert batch_spread("single").capacity_sd_fraction == pytest.approx(0.003)
    assert batch_spread("Mixed").resistance_sd_fraction == pytest.approx(0.06)
    assert {each.use for each in load_batch_spreads()} == {"design", "measured"}
    with pytest.raises(UnknownNameError, match="no batch named 'salvage'"):
        batch_spread("salvage")


def test_charge_bands_follow_each_other_and_none_reaches_below_zero() -> None:
    printed = {cell.part_number: printed_charge_bands(cell.part_number) for cell in load_cells()}
    known = {part: bands for part, bands in printed.items() if bands}
    assert len(known) >= 8
    for bands in known.values():
        assert bands[0].low_degc >= 0
        for colder, warmer in itertools.pairwise(bands):
            assert colder.high_degc == warmer.low_degc
            assert 0 < colder.c_rate < warmer.c_rate


def test_charge_bands_as_printed() -> None:
    """Lishen LR2170SA: 0.1C at 0 to 10 degC, 0.2C to 20, 0.5C to 45; M50LT 0.3C, 0.7C from 25."""
    lishen = [(band.low_degc, band.c_rate) for band in printed_charge_bands("LR2170SA")]
    assert lishen == [(0, 0.1), (10, 0.2), (20, 0.5)]
    m50lt = [(band.low_degc, band.c_rate) for band in printed_charge_bands("INR21700M50LT")]
    assert m50lt == [(0, 0.3), (25, 0.7)]


@FAMILIES
def test_self_discharge_is_a_loss(family: Family) -> None:
    assert all(0 < each.percent_per_month <= 20 for each in self_discharge_rows(family))


def test_self_discharge_is_known_for_the_common_families() -> None:
    known = {family for family in Family if self_discharge_rows(family)}
    assert known >= {Family.NMC, Family.LCO, Family.LFP, Family.LTO}
