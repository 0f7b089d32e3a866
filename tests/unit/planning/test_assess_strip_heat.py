"""A strip between cells that a current of held shafts warms on top of its work."""

from __future__ import annotations

import math

import pytest

from packdesign.engineering.electrical.conductors import (
    conductor_metal,
    resistance_at_temperature_factor,
)
from packdesign.planning.assess.strip_heat import HardestStrip

STRIP = HardestStrip(
    metal="pure nickel", length_m=0.02, width_m=0.008, thickness_m=0.00015, share=0.5
)


def test_it_begins_where_its_work_left_it_and_ends_where_it_settles():
    worked_k, held_k = STRIP.rise_k(10.0), STRIP.rise_k(60.0)
    assert held_k == pytest.approx(36 * worked_k)
    assert STRIP.rise_k(60.0, after_s=0.0, before_a=10.0) == pytest.approx(worked_k)
    assert STRIP.rise_k(60.0, after_s=20.0, before_a=10.0) == pytest.approx(held_k, rel=1e-3)
    after_k = STRIP.rise_k(60.0, after_s=STRIP.time_s)
    assert after_k == pytest.approx(held_k * (1 - math.exp(-1)))


def test_at_first_it_is_on_the_careful_side_of_heat_kept_whole():
    """In 2.4e6 J/(m3 K); one mode in place of all of them has pi^2 / 8 of that."""
    found = conductor_metal("pure nickel")
    warm = resistance_at_temperature_factor(rise_per_k=found.rise_per_k, conductor_degc=60.0)
    area_m2 = STRIP.width_m * STRIP.thickness_m
    kept_k = (0.5 * 60.0 / area_m2) ** 2 * found.resistivity_ohm_m.high * warm * 0.01 / 2.4e6
    assert STRIP.rise_k(60.0, after_s=0.01) == pytest.approx(kept_k * math.pi**2 / 8, rel=0.02)
