"""After a re-fit on one rate, the other rates of the same cell: RMS below 25 mV, rise within 2 K.

Every rate above C/10 serves once for the fit. What misses must go on missing; by how much stands in
the table of `packdesign/engineering/discharge/README.md`.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.reference.known_misses import known_miss
from tests.reference.readme_tables import assert_same_figures, shown_tables
from tests.reference.refit_sets import PAIRS, cooling_time_s, refit_rows, refit_score

pytestmark = pytest.mark.slow

RMS_MV, RISE_K = 25.0, 2.0
KNEE = "one rate does not tell the lag of the surface from the charge of the cell"
MOUNTED = "at 2C the cell was mounted another way: see the test of its cooling"
RMS_MISSED = {
    ("30Q S002 2C", "30Q S002 C/10"): KNEE,
    ("30Q S002 3C", "30Q S002 C/10"): KNEE,
    ("M50 25 degC C/2", "M50 25 degC 1C"): KNEE,
    ("M50 25 degC C/2", "M50 25 degC 2C"): KNEE,
    ("M50 25 degC 1C", "M50 25 degC 2C"): KNEE,
    ("M50 25 degC 2C", "M50 25 degC C/10"): KNEE,
    ("M50 25 degC 2C", "M50 25 degC C/2"): KNEE,
    ("M50 25 degC 2C", "M50 25 degC 1C"): KNEE,
}
RISE_MISSED = {
    ("M50 25 degC C/2", "M50 25 degC 2C"): MOUNTED,
    ("M50 25 degC 1C", "M50 25 degC 2C"): MOUNTED,
    ("M50 25 degC 2C", "M50 25 degC 1C"): MOUNTED,
}


def cases(missed: dict[tuple[str, str], str]) -> list[object]:
    """Every pair; one that is known to miss must go on missing."""
    return [pytest.param(*pair, marks=known_miss(pair, missed)) for pair in PAIRS]


@pytest.mark.parametrize(("on", "other"), cases(RMS_MISSED))
def test_voltage_at_another_rate(measured: Path, on: str, other: str) -> None:
    rms_mv, _ = refit_score(on, other, measured)
    assert rms_mv <= RMS_MV


@pytest.mark.parametrize(("on", "other"), cases(RISE_MISSED))
def test_rise_at_another_rate(measured: Path, on: str, other: str) -> None:
    _, rise_k = refit_score(on, other, measured)
    assert abs(rise_k) <= RISE_K


@pytest.mark.parametrize("degc", [0, 25])
def test_the_m50_cools_slower_after_2c_than_after_less(measured: Path, degc: int) -> None:
    """The same bench would cool alike, or, in still air, faster from a larger rise."""
    slower, low, high = (
        cooling_time_s(f"M50 {degc} degC {rate}", measured) for rate in ("2C", "1C", "C/2")
    )
    assert slower > 1.15 * max(low, high)


def test_readme_shows_the_re_fits_as_they_stand(measured: Path) -> None:
    assert_same_figures(shown_tables()[-1], refit_rows(measured))
