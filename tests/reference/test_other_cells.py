"""Predictions held against cells that nobody had looked at before they were predicted.

Targets are those of the project for measured cells: charge 3 %, mean voltage 1.5 %, RMS 60 mV up to
the rated current. What misses one is listed in MISSED and must go on missing it.
"""

from __future__ import annotations

import numpy as np
import pytest

from packdesign.data.cell_table import load_cells
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from tests.reference.other_cells import other_rows, other_score, other_sets
from tests.reference.readme_tables import README, assert_same_figures, shown_tables

pytestmark = pytest.mark.slow

PAGE = README.with_name("OTHER_CELLS.md")
CHARGE_PERCENT, VOLTAGE_PERCENT, RMS_MV = 3.0, 1.5, 60.0
HOLDS_LESS = "this sample holds less, or more, than its sheet says"
COLD = "in the cold it does not give what the two cells of the tables do"
OWN_CURVE = "near 20 % charge it works 0.2 V lower than any published curve of its family"
HOT = "ten times the capacity and more: hot within a minute, by how much nobody read"
NO_FIGURE = "no resistance on the sheet: taken from the rating"
MISSED: dict[str, str] = {
    "HG2 40 degC 2C, charge": HOLDS_LESS,
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
    "HG2 cell 3 25 degC 1.5 A, charge": HOLDS_LESS,
    "HG2 cell 4 25 degC 1.5 A, charge": HOLDS_LESS,
    "APR18650M1A 30 degC 4C, mean voltage": NO_FIGURE,
    "APR18650M1A 30 degC 4C, RMS": NO_FIGURE,
    "P50B 23 degC 1 A, RMS": OWN_CURVE,
    "P50B 23 degC 2.5 A, charge": HOLDS_LESS,
    "P50B 23 degC 5 A, charge": HOLDS_LESS,
    "P50B 23 degC 5 A, RMS": OWN_CURVE,
    "P50B 23 degC 10 A, RMS": OWN_CURVE,
    "P50B 23 degC 30 A, RMS": OWN_CURVE,
    "P50B 23 degC 50 A, RMS": HOT,
    "P50B 23 degC 60 A, RMS": HOT,
    "P50B 10 degC 5 A, charge": HOLDS_LESS,
    "P50B 10 degC 5 A, RMS": OWN_CURVE,
    "P50B 45 degC 5 A, RMS": OWN_CURVE,
    "P50B 60 degC 5 A, RMS": OWN_CURVE,
    "P28A 23 degC 30 A, RMS": HOT,
    "NCR18650B -10 degC 3.25 A, charge": COLD,
    "NCR18650B -20 degC 3.25 A, charge": COLD,
    "APR18650M1A 23 degC 5 A, charge": HOLDS_LESS,
    "APR18650M1A 23 degC 10 A, charge": HOLDS_LESS,
    "APR18650M1A 23 degC 20 A, charge": HOLDS_LESS,
    "P42A 25 degC 1.4 A, charge": HOLDS_LESS,
    "JP40 25 degC 0.4 A, charge": HOLDS_LESS,
}
SLOW = (
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
    "P42A 25 degC 1.4 A",
    "JP40 25 degC 0.4 A",
    "25R 23 degC 1 A",
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
            reason = MISSED.get(key)
            marks = [pytest.mark.xfail(strict=True, reason=reason)] if reason else []
            if was_read:
                found.append(pytest.param(name, figure, id=key, marks=marks))
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


def test_high_rates_of_one_cell_warm_it_as_read() -> None:
    """Cell 4 up to 6.4C; the thermocouple of cell 3 reads 8 K less at the same voltage and current,
    and only one of the two can be right."""
    ends = [
        other_score(name).end_k for name in other_sets() if name.startswith("HG2 cell 4 25 degC")
    ]
    assert len(ends) == 6
    assert max(abs(each or np.inf) for each in ends) < 3.0


def test_printed_capacities_are_as_doubtful_as_the_bands_say() -> None:
    """Mean and deviation over kinds of cell; three deviations of the mean of ten are allowed."""
    by_cell: dict[str, list[float]] = {}
    for name in SLOW:
        percent = other_score(name).charge_percent
        assert percent is not None
        by_cell.setdefault(other_sets()[name].part_number, []).append(percent)
    kinds = np.array([np.mean(each) for each in by_cell.values()])
    assumed = 100 * model_from_datasheet(load_cells().find("INR18650HG2")).spread.capacity_fraction
    print(f"{kinds.size} kinds: mean {kinds.mean():.1f} %, deviation {kinds.std(ddof=1):.1f} %")
    assert kinds.size >= 9
    assert abs(kinds.mean()) < 3 * assumed / np.sqrt(kinds.size)
    # the deviation of so few is itself known to a quarter (one over the root of 2 (n - 1))
    assert kinds.std(ddof=1) == pytest.approx(assumed, rel=0.5)


def test_page_shows_the_table_as_it_stands() -> None:
    (shown,) = shown_tables(PAGE)
    assert_same_figures(shown, other_rows())


@pytest.mark.parametrize("chamber_degc", list(PULSES_OF_THE_HG2))
def test_a_second_cell_follows_temperature_as_the_one_of_the_table(chamber_degc: float) -> None:
    """The table over temperature is the 50G's alone; the HG2 was read by others, at three times the
    rate. Its 10 s resistance at half charge relative to that at 25 degC, within 8 %, half of what
    the bands allow at 0 degC."""
    model = model_from_datasheet(load_cells().find("INR18650HG2"))

    def resistances(degc: float) -> tuple[float, float]:
        read, found = [], []
        for number, (case_degc, current_a, before_v, end_v) in enumerate(PULSES_OF_THE_HG2[degc]):
            soc = 1.0 - (7 + number) * 0.188 / 2.742
            drift_v = model.ocv_at(soc) - model.ocv_at(soc - current_a * 10 / 3600 / 2.742)
            read.append((before_v - end_v - drift_v) / current_a)
            found.append(
                model.pulse_ohm(
                    soc=soc, temperature_degc=case_degc, current_a=current_a, pulse_s=10.0
                )
            )
        return float(np.mean(read)), float(np.mean(found))

    (read, found), (read_warm, found_warm) = resistances(chamber_degc), resistances(25.0)
    print(f"{chamber_degc:g} degC: read {read / read_warm:.3f}, found {found / found_warm:.3f}")
    assert found / found_warm == pytest.approx(read / read_warm, rel=0.08)
