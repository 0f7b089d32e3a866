"""Predictions held against cells that nobody had looked at before they were predicted.

Targets are those of the project for measured cells: charge 3 %, mean voltage 1.5 %, RMS 60 mV up to
the rated current. What misses one is listed in MISSED and must go on missing it.
"""

from __future__ import annotations

import numpy as np
import pytest

from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Family
from packdesign.data.chemistries import load_chemistry
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from tests.reference.known_misses import known_miss
from tests.reference.other_cells import (
    other_rows,
    other_score,
    other_sets,
    sheet_charge_percent,
)
from tests.reference.readme_tables import README, assert_same_figures, shown_tables

pytestmark = pytest.mark.slow

PAGE = README.with_name("OTHER_CELLS.md")
CHARGE_PERCENT, VOLTAGE_PERCENT, RMS_MV = 3.0, 1.5, 60.0
CHARGE = "this sample or chart holds another charge than its sheet prints"
DRIFTS = "between two discharges of this cell its charge changed by as much"
COLD = "in the cold it does not give what the two cells of the tables do"
OWN_CURVE = "near 20 % charge it works 0.1 to 0.2 V lower than any published curve of its family"
HOT = "ten times the capacity and more: hot within a minute, by how much nobody read"
NO_FIGURE = "no resistance on the sheet: taken from the rating"
MISSED: dict[str, str] = {
    "HG2 40 degC 2C, charge": DRIFTS,
    "HG2 0 degC C/2, charge": COLD,
    "HG2 0 degC C/2, RMS": COLD,
    "HG2 0 degC 1C, charge": COLD,
    "HG2 0 degC 1C, RMS": COLD,
    "HG2 0 degC 2C, charge": COLD,
    "HG2 -10 degC 2C, charge": COLD,
    "HG2 -20 degC C/2, charge": COLD,
    "HG2 -20 degC 1C, RMS": COLD,
    "HG2 -20 degC 2C, charge": COLD,
    "HG2 -20 degC 2C, RMS": COLD,
    "HG2 cell 3 25 degC 1.5 A, charge": DRIFTS,
    "HG2 cell 4 25 degC 1.5 A, charge": DRIFTS,
    "APR18650M1A 30 degC 4C, mean voltage": NO_FIGURE,
    "APR18650M1A 30 degC 4C, RMS": NO_FIGURE,
    "P50B 23 degC 1 A, RMS": OWN_CURVE,
    "P50B 23 degC 2.5 A, charge": CHARGE,
    "P50B 23 degC 5 A, charge": CHARGE,
    "P50B 23 degC 5 A, RMS": OWN_CURVE,
    "P50B 23 degC 10 A, RMS": OWN_CURVE,
    "P50B 23 degC 30 A, RMS": OWN_CURVE,
    "P50B 23 degC 50 A, RMS": HOT,
    "P50B 23 degC 60 A, RMS": HOT,
    "P50B 10 degC 5 A, charge": CHARGE,
    "P50B 10 degC 5 A, RMS": OWN_CURVE,
    "P50B 45 degC 5 A, RMS": OWN_CURVE,
    "P50B 60 degC 5 A, RMS": OWN_CURVE,
    "P28A 23 degC 30 A, RMS": HOT,
    "NCR18650B -10 degC 3.25 A, charge": COLD,
    "NCR18650B -20 degC 3.25 A, charge": COLD,
    "APR18650M1A room 5 A, charge": CHARGE,
    "APR18650M1A room 10 A, charge": CHARGE,
    "APR18650M1A room 20 A, charge": CHARGE,
    "JP40 25 degC 0.4 A, charge": CHARGE,
    "MJ1 room 3.5 A, charge": CHARGE,
}
SLOW = (
    "HG2 25 degC C/2",
    "HG2 cell 3 25 degC 1.5 A",
    "HG2 cell 4 25 degC 1.5 A",
    "HG2 cell 5 25 degC 1C",
    "APR18650M1A 30 degC 4C",
    "40T 24 degC 0.8 A",
    "P50B 23 degC 1 A",
    "P28A 23 degC 0.56 A",
    "NCR18650B 25 degC 0.65 A",
    "NCR18650B 25 degC 0.34 A",
    "GP603450L95 20 degC 0.19 A",
    "JP40 25 degC 0.4 A",
    "MJ1 room 0.7 A",
)
"""Slowest set of each sample at room temperature."""
PULSES_OF_THE_HG2 = {
    5.0: ((4.950, 8.830983, 3.765362, 3.374673), (4.681, 8.830235, 3.702311, 3.313362)),
    15.0: ((15.18, 9.235266, 3.752028, 3.449800), (15.13, 9.235290, 3.689692, 3.388342)),
    25.0: ((25.81, 9.147858, 3.761761, 3.501880), (25.57, 9.147471, 3.699169, 3.439700)),
    35.0: ((34.93, 9.333995, 3.753963, 3.527011), (34.72, 9.334088, 3.692319, 3.466853)),
    45.0: ((45.0, 9.339235, 3.757768, 3.545827), (45.0, 9.339297, 3.696370, 3.484883)),
}
"""10 s at about 3C, 7 and 8 steps of 0.188 A h below full: case [degC], current [A], voltage before
and at the end [V], over the temperature of the chamber [degC]. Cell 2 of the consortium named in
`tables/other_cells.csv`, some 5 % below its first charge; at 45 degC its sensor was off."""


def cases() -> list[object]:
    """Every figure that was read of a set, one that is known to miss marked so."""
    found = []
    for name, each in other_sets().items():
        figures = {
            "charge": each.delivered_ah is not None and each.capacity_of != name,
            "mean voltage": each.delivered_wh is not None,
            "RMS": each.drawn_ah.size > 0,
        }
        for figure, was_read in figures.items():
            key = f"{name}, {figure}"
            if was_read:
                found.append(pytest.param(name, figure, id=key, marks=known_miss(key, MISSED)))
    return found


@pytest.mark.parametrize(("name", "figure"), cases())
def test_prediction_of_a_cell_not_seen_before(name: str, figure: str) -> None:
    found = other_score(name)
    values = {
        "charge": (found.charge_percent, CHARGE_PERCENT),
        "mean voltage": (found.voltage_percent, VOLTAGE_PERCENT),
        "RMS": (found.rms_mv, RMS_MV),
    }
    value, target = values[figure]
    assert value is not None
    assert abs(value) <= target


def test_printed_capacities_are_as_doubtful_as_the_bands_say() -> None:
    """Mean and deviation over kinds of cell, each by its sheet alone. The figure of the model was
    taken from these, so this holds the two together and proves neither."""
    by_cell: dict[str, list[float]] = {}
    for name in SLOW:
        kind = other_sets()[name].part_number
        by_cell.setdefault(kind, []).append(sheet_charge_percent(name))
    kinds = np.array([np.mean(each) for each in by_cell.values()])
    assumed = 100 * model_from_datasheet(load_cells().find("INR18650HG2")).spread.capacity_fraction
    print(f"{kinds.size} kinds: mean {kinds.mean():.1f} %, deviation {kinds.std(ddof=1):.1f} %")
    assert kinds.size == 9
    # two standard errors of the mean, and one of the deviation, of so few
    assert abs(kinds.mean()) < 2 * assumed / np.sqrt(kinds.size)
    assert kinds.std(ddof=1) == pytest.approx(assumed, rel=1 / np.sqrt(2 * (kinds.size - 1)))


def test_page_shows_the_table_as_it_stands() -> None:
    (shown,) = shown_tables(PAGE)
    assert_same_figures(shown, other_rows())


@pytest.mark.parametrize("chamber_degc", list(PULSES_OF_THE_HG2))
def test_a_second_cell_falls_with_warmth_within_the_band_of_the_table(chamber_degc: float) -> None:
    """The table over temperature is the 50G's, its band that of other cells; the HG2 was read by
    others, at three times the rate, which lowers what it reads in the cold."""
    table = load_chemistry(Family.NMC).resistance_temperature

    def read_ohm(degc: float) -> float:
        """Mean of the pulses, the drift of charge left out. [ohm]"""
        model, found = model_from_datasheet(load_cells().find("INR18650HG2")), []
        for number, (_, current_a, before_v, end_v) in enumerate(PULSES_OF_THE_HG2[degc]):
            soc = 1.0 - (7 + number) * 0.188 / 2.742
            drift_v = model.ocv_at(soc) - model.ocv_at(soc - current_a * 10 / 3600 / 2.742)
            found.append((before_v - end_v - drift_v) / current_a)
        return float(np.mean(found))

    ratio, band = read_ohm(chamber_degc) / read_ohm(25.0), table.band(chamber_degc)
    print(f"{chamber_degc:g} degC: {ratio:.3f}, table {band.mid:.3f}")
    assert band.low <= ratio <= band.high
