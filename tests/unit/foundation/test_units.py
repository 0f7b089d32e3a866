"""Quantities as builders write them."""

from __future__ import annotations

import pytest

from packdesign.foundation.errors import UnitError
from packdesign.foundation.units import SUFFIX_UNITS, quantity


@pytest.mark.parametrize(
    ("written", "unit", "expected"),
    [
        ("46 mm", "m", 0.046),
        ("1.2 in", "mm", 30.48),  # 1 in = 25.4 mm exactly
        ("2200 mAh", "A*h", 2.2),
        ("50 mOhm", "ohm", 0.05),
        ("4.7 mΩ", "ohm", 0.0047),
        ("20 °C", "degC", 20.0),
        ("68 degF", "degC", 20.0),
        ("135 g cm2", "kg*m**2", 1.35e-5),
        ("178 rpm/V", "rpm/V", 178.0),
        ("60 %", "dimensionless", 0.6),
        (0.4, "dimensionless", 0.4),
        ("0.07 W/K", "W/K", 0.07),
        ("5V", "V", 5.0),
        ("2.5e-4 kg*m^2", "kg*m**2", 2.5e-4),
        ("9.5 mN·m/A", "mN*m/A", 9.5),
    ],
)
def test_quantity_is_read_in_the_unit_asked_for(
    written: str | float, unit: str, expected: float
) -> None:
    assert quantity(written, unit=unit, what="it") == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("46", "with no unit; write it like '46 mm'"),
        (46, "with no unit; write it like '46 mm'"),
        ("46 kg", "not convertible to mm"),
        ("wide", "write a number with its unit"),
        ("46 flurbs", "'flurbs' is not a unit"),
        (True, "write a number with its unit"),
        (float("nan"), "must be a finite number"),
        ("1e999 mm", "must be a finite number"),
    ],
)
def test_unusable_quantity_is_refused_with_the_remedy(written: str | float, message: str) -> None:
    with pytest.raises(UnitError, match="bore") as raised:
        quantity(written, unit="mm", what="bore")
    assert message in str(raised.value)


@pytest.mark.parametrize(
    ("written", "unit", "message"),
    [
        ("20 C", "degC", "'C', which is not convertible to degC; write it like '20 degC'"),
        ("50 Hz", "rad/s", "may mean turns or radians; write it in rpm"),
        ("10 9**9**9 m", "m", "is not a unit"),
        ("10 m**9**9", "m", "is not a unit"),
        ("10 m + 1", "m", "is not a unit"),
        ("1,5 m", "m", "',5 m' is not a unit"),
    ],
)
def test_what_could_be_misread_is_refused(written: str, unit: str, message: str) -> None:
    with pytest.raises(UnitError, match="it") as raised:
        quantity(written, unit=unit, what="it")
    assert message in str(raised.value)


def test_every_key_ending_names_a_unit_that_exists() -> None:
    for ending, unit in SUFFIX_UNITS.items():
        text = f"1 {unit}"
        assert quantity(text, unit=unit, what=ending) == pytest.approx(1.0)


def test_a_slip_in_a_unit_is_answered_with_the_nearest():
    with pytest.raises(UnitError, match=r"'mAhh' is not a unit; .*nearest: mAh"):
        quantity("2200 mAhh", unit="A*h", what="label_capacity")
