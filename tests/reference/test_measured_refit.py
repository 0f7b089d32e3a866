"""After a re-fit on one rate, the other rates of the same cell: RMS below 25 mV, rise within 2 K.

Every rate above C/10 serves once for the fit. What misses must go on missing; by how much stands in
the table of `packdesign/engineering/discharge/README.md`.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.reference.refit_sets import PAIRS, refit_score

RMS_MV, RISE_K = 25.0, 2.0
RMS_MISSED = {
    ("30Q S001 3C", "30Q S001 1C"),
    ("30Q S002 2C", "30Q S002 C/10"),
    ("30Q S002 3C", "30Q S002 C/10"),
    ("30Q S002 3C", "30Q S002 1C"),
    ("M50 25 degC C/2", "M50 25 degC C/10"),
    ("M50 25 degC C/2", "M50 25 degC 1C"),
    ("M50 25 degC C/2", "M50 25 degC 2C"),
    ("M50 25 degC 1C", "M50 25 degC C/10"),
    ("M50 25 degC 1C", "M50 25 degC C/2"),
    ("M50 25 degC 1C", "M50 25 degC 2C"),
    ("M50 25 degC 2C", "M50 25 degC C/10"),
    ("M50 25 degC 2C", "M50 25 degC C/2"),
    ("M50 25 degC 2C", "M50 25 degC 1C"),
}
RISE_MISSED = {
    ("30Q S001 1C", "30Q S001 3C"),
    ("30Q S001 2C", "30Q S001 3C"),
    ("30Q S001 3C", "30Q S001 1C"),
    ("30Q S002 1C", "30Q S002 3C"),
    ("30Q S002 2C", "30Q S002 1C"),
    ("30Q S002 2C", "30Q S002 3C"),
    ("30Q S002 3C", "30Q S002 1C"),
    ("M50 25 degC C/2", "M50 25 degC 2C"),
    ("M50 25 degC 1C", "M50 25 degC 2C"),
    ("M50 25 degC 2C", "M50 25 degC 1C"),
}
OCV = "six points of the open-circuit voltage and one factor do not tell this cell at another rate"
HEAT = "cooling and reversible heat told from one rate do not hold at another"


def cases(missed: set[tuple[str, str]], reason: str) -> list[object]:
    marks = [pytest.mark.xfail(strict=True, reason=reason)]
    return [pytest.param(*pair, marks=marks if pair in missed else []) for pair in PAIRS]


@pytest.mark.parametrize(("on", "other"), cases(RMS_MISSED, OCV))
def test_voltage_at_another_rate(measured: Path, on: str, other: str) -> None:
    rms_mv, _ = refit_score(on, other, measured)
    assert rms_mv <= RMS_MV


@pytest.mark.parametrize(("on", "other"), cases(RISE_MISSED, HEAT))
def test_rise_at_another_rate(measured: Path, on: str, other: str) -> None:
    _, rise_k = refit_score(on, other, measured)
    assert abs(rise_k) <= RISE_K
