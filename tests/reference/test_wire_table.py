"""The wire table against the AWG law and printed tables.

Sources: d = 0.127 mm * 92^((36 - n)/39), the definition of the American wire gauge; copper of
100 % IACS, 1/58 ohm mm2/m at 20 degC (IEC 60028, both from memory); ohms per 1000 ft and amperes as
printed in the Handbook of Electronic Tables and Formulas for American Wire Gauge
(``tables/awg_printed.csv``).
"""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from packdesign.data.conductors import Conductor, load_conductors, wire

BARE = [each for each in load_conductors() if each.kind == "bare solid copper"]
METRES_PER_1000_FT = 304.8
FOUR_DIGITS = 0.0005
"""Half a unit of the fourth digit, to which the table gives its resistances, at worst. [-]"""


def _half_last_digit(text: str) -> float:
    return 0.5 * 10 ** -len(text.partition(".")[2])


@pytest.mark.parametrize("each", BARE, ids=[str(each.awg) for each in BARE])
def test_size_follows_the_law(each: Conductor) -> None:
    diameter_m = 0.127e-3 * 92 ** ((36 - each.awg) / 39)
    assert each.conductor_diameter_m == pytest.approx(diameter_m, abs=0.6e-6)
    area_m2 = math.pi / 4 * diameter_m**2
    assert each.conductor_m2 == pytest.approx(area_m2, rel=0.006)
    assert each.resistance_ohm_per_m == pytest.approx(1e-6 / 58 / area_m2, rel=FOUR_DIGITS)


def test_resistance_is_the_printed_one(published: Path) -> None:
    with (published / "awg_printed.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) >= 18
    for row in rows:
        each = wire(int(row["awg"]))
        assert each.resistance_ohm_per_m is not None
        printed = row["ohm_per_1000_ft"]
        rounding = _half_last_digit(printed) + FOUR_DIGITS * float(printed)
        found = each.resistance_ohm_per_m * METRES_PER_1000_FT
        assert found == pytest.approx(float(printed), abs=rounding), row


def test_amperes_are_the_printed_ones(published: Path) -> None:
    with (published / "awg_printed.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            each = wire(int(row["awg"]))
            if row["chassis_a"]:
                assert each.ampacity_single_a == float(row["chassis_a"])
            if row["bundled_700_cmil_a"]:
                assert each.ampacity_bundled_a == float(row["bundled_700_cmil_a"])


def test_every_even_gauge_from_8_to_30_is_there() -> None:
    assert {each.awg for each in BARE} >= set(range(8, 31))


def test_stranded_wire_of_a_size_has_no_less_resistance_than_solid() -> None:
    """UL1015 prints maxima: from 0 to 20 % above solid copper of the same gauge."""
    for each in load_conductors():
        if each.kind == "UL1015 stranded" and each.resistance_ohm_per_m is not None:
            solid = wire(each.awg).resistance_ohm_per_m
            assert solid is not None
            assert 1.0 < each.resistance_ohm_per_m / solid < 1.25


def test_the_hobby_chart_is_not_used() -> None:
    """Its ohms per metre are those of a wire two gauges thinner: 12 AWG as 9.8 instead of 5.2."""
    for each in load_conductors():
        if each.resistance_ohm_per_m is not None:
            solid = wire(each.awg).resistance_ohm_per_m
            assert solid is not None
            assert each.resistance_ohm_per_m / solid < 1.4
