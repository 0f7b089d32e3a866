"""Which group is seen decides how far the weakest may be behind."""

from __future__ import annotations

import pytest

from packdesign.data.batch_spread import batch_spread
from packdesign.planning.brief.load import brief_from_text
from packdesign.planning.gauge.adc import Adc
from packdesign.planning.gauge.pack import GaugePack
from packdesign.planning.gauge.service import gauge
from packdesign.planning.gauge.words import unseen_words
from packdesign.planning.needs.monitor import behind_fraction

ONE = 1.645 * batch_spread("single").capacity_sd_fraction


@pytest.mark.parametrize(
    ("told", "parallel", "expected"),
    [
        ("", 1, ONE),
        ("", 4, ONE / 2),
        ("[monitor]\nper_group = false", 1, ONE),
        ("[monitor]\nper_group = true", 1, 0.0),
        ("[pack.protection]\nwatches_each_group = true", 1, 0.0),
        ("[pack.protection]\nwatches_each_group = false", 1, ONE),
    ],
)
def test_behind(told: str, parallel: int, expected: float) -> None:
    brief = brief_from_text(f"[pack]\nseries = 3\n{told}\n")
    assert behind_fraction(brief, parallel=parallel) == pytest.approx(expected)


def test_the_gauge_says_why_its_floor_is_higher() -> None:
    def words(behind: float) -> str:
        pack = GaugePack(
            series=3,
            family="nmc",
            cell_full_v=4.2,
            cell_cutoff_v=3.1,
            open_circuit_v=lambda soc: 3.0 + 1.2 * soc,
            lasting_ohm=lambda soc: 0.1,
            sudden_ohm=lambda soc: 0.1,
            working_a=3.0,
            peak_a=15.0,
            behind_fraction=behind,
        )
        adc = Adc(
            name="x",
            bits=12,
            reference_v=3.3,
            reference_tolerance_fraction=0.01,
            input_max_v=3.2,
        )
        return unseen_words(gauge(pack, adc=adc))

    assert words(0.0) == ""
    assert "the floor is 9.42 V and not 9.30 V" in words(0.05)
    assert "5.0 % behind" in words(0.05)
