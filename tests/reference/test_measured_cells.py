"""Predictions from datasheet rows only, held against measured cells; good or bad, the table stands.

Nothing of the model is fitted to these sets (`measured_sets`), which a test here enforces. Targets
are those of the project: charge 3 %, energy 4 %, mean voltage 1.5 %, RMS 60 mV up to the rated
current, 10 s resistance 25 %, 90 % of the time inside a band no wider than 12 % of the voltage
range, heat 12 %, rise 15 % or 2 K. What misses one is listed in MISSED and must go on missing it,
so that progress shows; by how much stands in the table of the README.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

import packdesign
from tests.reference.known_misses import known_miss
from tests.reference.measured_sets import SETS, pulse_errors, score
from tests.reference.readme_tables import REFIT_HEADER, assert_same_figures, cell_text, shown_tables

PACKAGE = Path(packdesign.__file__).parent

pytestmark = pytest.mark.slow

ABOVE_RATING = ("M50 25 degC 2C", "M50 0 degC 2C")
"""10 A, above the 7.3 A of the sheet: the target for RMS goes up to the rated current."""
TARGETS = {
    "charge %": 3.0,
    "energy %": 4.0,
    "mean voltage %": 1.5,
    "RMS mV": 60.0,
    "heat %": 12.0,
    "outside band %": 10.0,
    "band width %": 12.0,
}
PULSE_PERCENT = 25.0
RISE_K, RISE_FRACTION = 2.0, 0.15
LEADS = "this sample drops more than the others of its bench and than its sheet says"
WIDE = "11 % doubt about a resistance known from a 1 kHz maximum, more in the cold, and the knee"
HIDDEN = "near empty this cell rests up to 70 mV lower after discharge than after charge"
SHAPE = "from 30 to 50 % charge it works lower under load than its curve and resistance let expect"
OHMS = "this cell has 12 % more resistance than its 1 kHz maximum lets expect"
COLD = "this energy cell gives less charge and voltage in the cold than the one cell published"
BENCH = "this bench reads some 65 milliohm, ten times the cell: its leads are in the voltage"
NO_RATING = "no resistance and no rating on the sheet, and a computed curve"
USED = "the cell had been in use: it gives 30.6 Ah of the 33.1 Ah of its maker"
MISSED: dict[str, str] = {
    "30Q S002 1C, heat %": LEADS,
    "30Q S002 2C, heat %": LEADS,
    "30Q S002 2C, mean voltage %": LEADS,
    "30Q S002 3C, mean voltage %": LEADS,
    "30Q S002 3C, RMS mV": LEADS,
    "30Q S002 3C, heat %": LEADS,
    "30Q S002 3C, outside band %": LEADS,
    "M50 25 degC C/10, heat %": HIDDEN,
    "M50 25 degC C/2, heat %": HIDDEN,
    "M50 25 degC 1C, heat %": HIDDEN,
    "M50 25 degC 1C, outside band %": SHAPE,
    "M50 25 degC 2C, heat %": OHMS,
    "M50 25 degC 2C, outside band %": OHMS,
    "M50 0 degC 1C, charge %": COLD,
    "M50 0 degC 2C, band width %": WIDE,
    "A123 26650 1C, mean voltage %": BENCH,
    "A123 26650 1C, RMS mV": BENCH,
    "A123 26650 1C, outside band %": BENCH,
    "Kokam pouch 1C, charge %": NO_RATING,
    "Kokam pouch 1C, energy %": NO_RATING,
    "Kokam pouch 1C, RMS mV": NO_RATING,
    "Kokam pouch 1C, band width %": NO_RATING,
    "Enertech pouch C/2, RMS mV": NO_RATING,
    "Enertech pouch C/2, band width %": NO_RATING,
    "Enertech pouch 1C, band width %": NO_RATING,
    "Enertech pouch 2C, band width %": NO_RATING,
    "AESC 2013 pouch 1C, charge %": USED,
    "AESC 2013 pouch 1C, mean voltage %": NO_RATING,
    "AESC 2013 pouch 1C, RMS mV": NO_RATING,
    "AESC 2013 pouch 1C, outside band %": NO_RATING,
    "AESC 2013 pouch 1C, band width %": NO_RATING,
    "AESC 2013 pouch 2C, charge %": USED,
    "AESC 2013 pouch 2C, energy %": USED,
    "AESC 2013 pouch 2C, mean voltage %": NO_RATING,
    "AESC 2013 pouch 2C, RMS mV": NO_RATING,
    "AESC 2013 pouch 2C, band width %": NO_RATING,
    "AESC 2013 pouch 3C, charge %": USED,
    "AESC 2013 pouch 3C, energy %": USED,
    "AESC 2013 pouch 3C, band width %": NO_RATING,
}
REVERSIBLE = "reversible heat that no sheet tells"
MOUNTED = (
    "at 2C, where the bench is fitted, the cell was mounted another way: `test_measured_refit`"
)
RISE_MISSED = {
    "M50 25 degC 1C": REVERSIBLE,
    "M50 0 degC C/2": MOUNTED,
    "M50 0 degC 1C": MOUNTED,
    "AESC 2013 pouch 3C": NO_RATING,
}


def cases() -> list[object]:
    return [
        pytest.param(name, figure, id=key, marks=known_miss(key, MISSED))
        for name in SETS
        for figure in TARGETS
        if not (figure == "RMS mV" and name in ABOVE_RATING)
        for key in (f"{name}, {figure}",)
    ]


@pytest.mark.parametrize(("name", "figure"), cases())
def test_prediction_meets_its_target(measured: Path, name: str, figure: str) -> None:
    value = score(name, measured).figures[figure]
    if value is None:
        pytest.skip("no rested curve of this very cell to take its lost heat from")
    assert abs(value) <= TARGETS[figure]


@pytest.mark.parametrize(
    "name", [pytest.param(name, marks=known_miss(name, RISE_MISSED)) for name in SETS]
)
def test_rise_with_the_bench_fitted_on_another_rate(measured: Path, name: str) -> None:
    found = score(name, measured)
    if found.fitted_rise_k is None:
        pytest.skip("no temperature in this set, no other rate, or the one of the fit")
    assert abs(found.fitted_rise_k) <= max(RISE_K, RISE_FRACTION * found.measured_rise_k)


@pytest.mark.parametrize("degc", [0, 10, 25, 45])
def test_ten_second_resistance_of_the_m50(measured: Path, degc: int) -> None:
    median, _, count = pulse_errors(degc, measured)
    assert count >= 48  # 6 cells at 8 or 9 states of charge
    assert abs(median) <= PULSE_PERCENT


def score_rows(folder: Path) -> list[str]:
    """The table of the README with a row a set, line by line."""
    names = [*TARGETS, "rise K", "rise, bench fitted K"]
    lines = [f"| set | {' | '.join(names)} |", f"|---|{'---|' * len(names)}"]
    for name in SETS:
        row = score(name, folder)
        cells = [cell_text(each) for each in (*row.figures.values(), row.rise_k, row.fitted_rise_k)]
        lines.append(f"| {name} | {' | '.join(cells)} |")
    return lines


def pulse_rows(folder: Path) -> list[str]:
    """The table of the README with the ten-second resistance, line by line."""
    lines = ["| M50 pulses | median % | farthest % | pulses |", "|---|---|---|---|"]
    for degc in (0, 10, 25, 45):
        median, worst, count = pulse_errors(degc, folder)
        lines.append(f"| {degc} degC | {median:.1f} | {worst:.1f} | {count} |")
    return lines


def test_readme_shows_the_tables_as_they_stand(measured: Path) -> None:
    """The third table, of re-fits, is held in `test_measured_refit`."""
    scores, pulses, refits = shown_tables()
    assert refits[0] == REFIT_HEADER
    assert_same_figures(scores, score_rows(measured))
    assert_same_figures(pulses, pulse_rows(measured))


def test_rested_curve_of_the_30q_is_that_of_its_rests(measured: Path) -> None:
    """Thirteen rests, from full to empty, read off the two files by hand: 4.147 V to 2.619 V."""
    from tests.reference.measured_sets import rested_curve

    drawn_ah, volts = rested_curve("30Q", measured)
    assert len(drawn_ah) == 13
    assert volts[[0, 5, -1]] == pytest.approx([4.1472, 3.718, 2.6187], abs=0.001)
    assert drawn_ah[-1] == pytest.approx(2.966, abs=0.002)
    assert np.all(np.diff(volts) < 0)


def test_model_reads_nothing_of_the_measured_sets() -> None:
    """No module and no table of the project mentions the folder or one of its files."""
    folders = ("samsung30q_18650", "lgm50_21700", "a123_26650_lfp", "kokam_pouch", "nissan_leaf")
    words = ("shared/measured", "ratetest_", "enertech_pouch/", *folders)
    data = PACKAGE.parent / "cell_data"
    for path in [*PACKAGE.rglob("*.py"), *data.rglob("*.csv")]:
        text = path.read_text(encoding="utf-8")
        assert not [word for word in words if word in text], path
