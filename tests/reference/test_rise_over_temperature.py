"""The rise toward empty over temperature, one cell by hand from its source.

Source: TUMFTM/TruckBatteryDesign, Step2_model_parametrization/Inputs/cell/R0_dch.csv and
R1_dch.csv: rows 0, 20, 40 degC, columns 10 to 90 % charge; the first and the fifth are used here.
"""

from __future__ import annotations

import math

import pytest

from packdesign.data.cells import Family
from packdesign.data.chemistries import load_chemistry
from packdesign.data.resistance_rise import ResistancePart, SourceGrade
from packdesign.engineering.discharge.rise_temperature import (
    TemperatureFit,
    level_fits,
    pooled_j_per_mol,
    rise_fits,
)

INSTANT_OHM = {
    0: (0.00326051, 0.00279718),
    20: (0.00179292, 0.00158615),
    40: (0.00136044, 0.0012798),
}
SLOW_OHM = {0: (0.00211774, 0.00091914), 20: (0.00110989, 0.00068632), 40: (0.00071679, 0.0005243)}
"""At 10 and 50 % over temperature. [ohm]"""
GAS_J_PER_MOL_K = 8.314462618


def _layered() -> list[TemperatureFit]:
    return [each for each in rise_fits(ResistancePart.TOTAL) if each.family is not Family.LFP]


@pytest.mark.parametrize(
    ("part", "read"),
    [
        (ResistancePart.INSTANT, [INSTANT_OHM]),
        (ResistancePart.SLOW, [SLOW_OHM]),
        (ResistancePart.TOTAL, [INSTANT_OHM, SLOW_OHM]),
    ],
)
def test_one_cell_by_hand(part: ResistancePart, read: list[dict[int, tuple[float, float]]]) -> None:
    """The slope of a straight line through three points, spelled out."""
    x = [1 / (degc + 273.15) for degc in (0, 20, 40)]
    y = [math.log(sum(each[degc][0] - each[degc][1] for each in read)) for degc in (0, 20, 40)]
    mean_x, mean_y = sum(x) / 3, sum(y) / 3
    above = sum((a - mean_x) * (b - mean_y) for a, b in zip(x, y, strict=True))
    slope = above / sum((a - mean_x) ** 2 for a in x)
    (fit,) = (each for each in rise_fits(part) if each.cell.startswith("LG 78 Ah"))
    assert fit.j_per_mol == pytest.approx(slope * GAS_J_PER_MOL_K, rel=2e-4)


def test_pin_pooled_energy_of_the_rise() -> None:
    """Our own figures of November 2026: a pin, no evidence. Better known sources lie lower."""
    known = [each for each in _layered() if each.source_grade is not SourceGrade.METHOD_UNKNOWN]
    assert len(_layered()) == 10
    assert pooled_j_per_mol(_layered()) == pytest.approx(46_000, abs=100)
    assert pooled_j_per_mol(known) == pytest.approx(32_100, abs=100)


def test_leaving_one_cell_out_moves_the_median_little() -> None:
    everything = _layered()
    whole = pooled_j_per_mol(everything)
    for left_out in everything:
        rest = [each for each in everything if each is not left_out]
        assert abs(pooled_j_per_mol(rest) - whole) < 5_000


def test_resistance_goes_on_falling_beyond_45_degc_about_as_the_phone_tables_do() -> None:
    """Their median from 40 to 60 degC against the step of the family's table from 45 to 60 degC,
    which goes on from another cell: within a factor of two, for they differ by ten."""
    phones = level_fits(ResistancePart.TOTAL, degc=(40.0, 60.0))
    assert len(phones) == 7
    table = load_chemistry(Family.NMC).resistance_temperature
    falls = math.log(table.band(45.0).mid / table.band(60.0).mid)
    ours = GAS_J_PER_MOL_K * falls / (1 / 318.15 - 1 / 333.15)
    assert 0.5 < pooled_j_per_mol(phones) / ours < 2.0
