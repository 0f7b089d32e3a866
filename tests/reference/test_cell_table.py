"""Figures of the cell table against the makers' sheets, a few rows in full.

Sources beside each row. They are the sheets that the table cites, so this guards the transcription
and the conversion into SI, not the sheets.
"""

from __future__ import annotations

import pytest

from packdesign.data.cell_table import load_cells


def _check(name: str, **figures: float | None) -> None:
    cell = load_cells().find(name)
    for field, value in figures.items():
        found = getattr(cell, field)
        if value is None:
            assert found is None, field
        else:
            assert found == pytest.approx(value, rel=1e-9), field


def test_samsung_40t() -> None:
    """Samsung INR21700-40T specification V0.0: 35 A without cut, 45 A with 80 degC cut."""
    _check(
        "Samsung SDI INR21700-40T",
        capacity_ah=4.0, rated_capacity_ah=3.9, nominal_v=3.6, full_v=4.2, cutoff_v=2.5,
        standard_charge_a=2.0, max_charge_a=6.0, continuous_a=45.0, uncut_continuous_a=35.0,
        temperature_cut_degc=80.0, ac_resistance_ohm=0.012, diameter_m=0.02122, length_m=0.0703,
        mass_kg=0.070, charge_min_degc=0.0, charge_max_degc=45.0, discharge_min_degc=-20.0,
        discharge_max_degc=60.0,
    )  # fmt: skip
    assert load_cells().find("INR21700-40T").ac_resistance_is_maximum


def test_molicel_p42a() -> None:
    """Molicel INR-21700-P42A data sheet V4; it prints no maximum charge current."""
    _check(
        "Molicel INR-21700-P42A",
        capacity_ah=4.2, rated_capacity_ah=4.0, nominal_v=3.6, full_v=4.2, cutoff_v=2.5,
        standard_charge_a=4.2, max_charge_a=None, continuous_a=45.0, ac_resistance_ohm=0.010,
        dc_resistance_ohm=0.016, dc_resistance_pulse_s=1.0, mass_kg=0.070, diameter_m=0.0217,
    )  # fmt: skip


def test_samsung_48g_pulse_and_dc_resistance() -> None:
    """Samsung INR21700-48G tentative specification: 35 A for 10 s; 50 milliohm read at 10 s."""
    _check(
        "INR21700-48G",
        pulse_a=35.0, pulse_s=10.0, dc_resistance_ohm=0.050, dc_resistance_pulse_s=10.0,
    )  # fmt: skip


def test_panasonic_prints_no_continuous_rating() -> None:
    """NCR18650GA sheet: the highest charted rate, 10 A, is no rating."""
    _check("NCR18650GA", continuous_a=None, unrated_a=10.0, charge_min_degc=10.0)


def test_lithium_werks_18650() -> None:
    """APR18650M1B, SF000007 revision 2: 30 A continuous, 50 A for 10 s, 3.3 V, 2.0 to 3.6 V."""
    _check(
        "APR18650M1B",
        continuous_a=30.0, pulse_a=50.0, pulse_s=10.0, nominal_v=3.3, full_v=3.6, cutoff_v=2.0,
        mass_kg=0.0425,
    )  # fmt: skip


def test_sodium_ion_18650() -> None:
    """TOB-18650-C-Na product page: 1.3 Ah, 1.8 to 3.95 V, 7.8 A, charge from -20 degC."""
    _check(
        "TOB-18650-C-Na",
        capacity_ah=1.3, nominal_v=3.05, full_v=3.95, cutoff_v=1.8, continuous_a=7.8,
        charge_min_degc=-20.0,
    )  # fmt: skip


def test_the_lower_of_two_contradicting_figures_stands() -> None:
    """Battery Mooch bench: P50B near 35 A true against 60 A printed with an 80 degC cut."""
    _check(
        "INR-21700-P50B", continuous_a=60.0, uncut_continuous_a=None, independent_continuous_a=35.0
    )
