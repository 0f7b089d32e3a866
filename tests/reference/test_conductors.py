"""Wire, strip and fusing figures against printed tables and examples."""

from __future__ import annotations

import csv

import pytest

from packdesign.engineering.electrical.conductors import (
    conductor_metal,
    resistance_at_temperature_factor,
    settled_conductor_degc,
    strip_ohm,
    wire_diameter_m,
    wire_ohm,
)
from packdesign.engineering.thermal.conductor_rise import settled_wire_degc
from packdesign.engineering.thermal.convection import CORRELATION_SCATTER_FRACTION

METRES_IN_1000_FT = 304.8


def test_the_printed_wire_table_comes_out_to_its_last_digit(published):
    # AWG wire table, cirris.com and scribd 142407692: ohm per 1000 ft at 20 degC, four digits.
    with (published / "awg.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) >= 20
    worst = 0.0
    for row in rows:
        printed = float(row["ohm_per_1000ft_20degc"])
        found = wire_ohm(awg=int(row["awg"]), length_m=METRES_IN_1000_FT).low
        worst = max(worst, abs(found / printed - 1))
    print(f"worst of {len(rows)} wire sizes: {worst:.2e}")
    assert worst < 3e-4


@pytest.mark.parametrize(
    ("awg", "milliohm_per_m"),
    # UL1015 lead wire, table maxima, GW Instek SPS manual page 24.
    [(24, 88.6), (22, 62.5), (20, 39.5), (18, 24.4), (16, 15.6), (14, 9.9), (12, 6.24), (10, 3.9)],
)
def test_maxima_printed_for_lead_wire_lie_inside_the_band(awg, milliohm_per_m):
    band = wire_ohm(awg=awg, length_m=1.0).scaled(1000)
    assert band.low < milliohm_per_m <= band.high * 1.001


@pytest.mark.parametrize(
    ("awg", "millimetre"), [(10, 2.588), (12, 2.053), (14, 1.628), (16, 1.291)]
)
def test_diameters_of_the_printed_table(awg, millimetre):
    # AWG wire table, turbinecar.com.
    assert wire_diameter_m(awg=awg) * 1000 == pytest.approx(millimetre, abs=6e-4)


def test_sixteen_gauge_is_0_0508_inch_and_not_0_0524():
    # A forum answer (physicsforums.com thread 364495) takes 0.0524 in; the gauge gives 0.05082.
    assert wire_diameter_m(awg=16) / 0.0254 == pytest.approx(0.05082, abs=5e-6)


def test_a_nickel_strip_of_8_by_0_15_mm():
    # Computed in the collection of check values from 6.99e-8 ohm m: 58 milliohm per metre,
    # 1.165 milliohm for 20 mm.
    strip = strip_ohm(metal="pure nickel", length_m=0.020, width_m=0.008, thickness_m=0.00015)
    assert strip.mid * 1000 == pytest.approx(1.165, abs=5e-4)


@pytest.mark.parametrize("printed", [6.85e-8, 6.99e-8, 7.8e-8])
def test_every_printed_nickel_resistivity_lies_in_the_band(printed):
    # scribd 315387166, scribd 100755633, quizlet textbook table.
    band = conductor_metal("pure nickel").resistivity_ohm_m
    assert band.low <= printed <= band.high


def test_copper_warmed_by_25_kelvin_gains_nearly_a_tenth():
    # alpha 0.0039 per K (scribd 100755633) makes 9.75 %; the IACS value 9.8 %.
    factor = resistance_at_temperature_factor(rise_per_k=0.00393, conductor_degc=45.0)
    assert factor == pytest.approx(1.0975, abs=1e-3)


@pytest.mark.parametrize(
    ("awg", "ampere", "outer_mm"),
    # UL1015 lead wire at 40 degC air and 105 degC conductor, GW Instek SPS manual page 24.
    # Outer diameters are from memory (seller tables of UL1015, 0.8 mm wall).
    [(22, 10.0, 2.4), (18, 17.2, 2.8), (14, 30.4, 3.6), (12, 40.6, 4.1)],
)
def test_the_film_behind_printed_ampacities_is_that_of_still_air(awg, ampere, outer_mm):
    # The printed current must bring the conductor to 105 degC with a film coefficient of still air
    # and radiation together around a thin wire, 12 to 24 W/(m2 K); the balance is solved for it.
    high_ohm = wire_ohm(awg=awg, length_m=1.0).high
    for film, hotter in ((12.0, True), (24.0, False)):
        found = settled_conductor_degc(
            current_a=ampere,
            ohm_per_m=high_ohm,
            rise_per_k=0.00393,
            loss_w_per_m_k=film * 3.14159 * outer_mm / 1000,
            ambient_degc=40.0,
        )
        assert (found > 105.0) == hotter


@pytest.mark.parametrize(
    ("awg", "ampere", "outer_mm"),
    # UL1015 lead wire at 40 degC air and 105 degC conductor, GW Instek SPS manual page 24.
    # Outer diameters are from memory (0.8 mm wall).
    [
        (24, 7.64, 2.2),
        (22, 10.0, 2.4),
        (20, 13.1, 2.6),
        (18, 17.2, 2.8),
        (16, 22.6, 3.1),
        (14, 30.4, 3.6),
        (12, 40.6, 4.1),
        (10, 55.3, 4.8),
    ],
)
def test_the_rise_at_printed_ampacities_is_within_the_scatter_of_convection(awg, ampere, outer_mm):
    found = settled_wire_degc(
        awg=awg, current_a=ampere, outer_diameter_m=outer_mm / 1000, ambient_degc=40.0
    )
    print(f"AWG {awg}: rise {found - 40:.1f} K of 65 K printed")
    assert found - 40 == pytest.approx(65.0, rel=CORRELATION_SCATTER_FRACTION)
