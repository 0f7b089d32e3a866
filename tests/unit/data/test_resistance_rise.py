"""Readings of whole cells over charge and temperature: whole grids, sane figures."""

from __future__ import annotations

import pytest

from packdesign.data.resistance_rise import (
    ResistancePart,
    RiseReading,
    SourceGrade,
    load_rise_readings,
)

KEPT_FOR_CHECKING = ("30q", "m50", "slpb75106100", "aesc", "a123", "enertech")
READINGS = load_rise_readings()
CELLS = sorted({each.cell for each in READINGS})


def _of(cell: str) -> list[RiseReading]:
    return [each for each in READINGS if each.cell == cell]


@pytest.mark.parametrize("cell", CELLS)
def test_each_cell_is_a_whole_grid_read_once(cell: str) -> None:
    own = _of(cell)
    keys = {(each.part, each.temperature_degc, each.soc_fraction) for each in own}
    assert len(keys) == len(own)
    for part in {each.part for each in own}:
        at = [each for each in own if each.part is part]
        temperatures = {each.temperature_degc for each in at}
        charges = {each.soc_fraction for each in at}
        assert len(at) == len(temperatures) * len(charges)
        assert max(temperatures) - min(temperatures) >= 10
        assert min(charges) <= 0.15


@pytest.mark.parametrize("cell", CELLS)
def test_a_cell_is_read_whole_or_in_both_parts(cell: str) -> None:
    parts = {each.part for each in _of(cell)}
    assert parts in (
        {ResistancePart.TOTAL},
        {ResistancePart.INSTANT, ResistancePart.SLOW},
    )


@pytest.mark.parametrize("cell", CELLS)
def test_a_cell_has_one_capacity_family_and_source(cell: str) -> None:
    about = {
        (each.capacity_ah, each.family, each.source_grade, each.source, each.basis, each.pulse_s)
        for each in _of(cell)
    }
    assert len(about) == 1


@pytest.mark.parametrize("cell", CELLS)
def test_resistance_at_half_charge_is_that_of_a_cell_of_its_size(cell: str) -> None:
    """From 30 to 700 milliohm A h near room temperature: power cells to phone cells."""
    own = _of(cell)
    degc = min({each.temperature_degc for each in own}, key=lambda at: abs(at - 25))
    half = min({each.soc_fraction for each in own}, key=lambda at: abs(at - 0.5))
    ohm = sum(
        each.resistance_ohm
        for each in own
        if each.temperature_degc == degc and each.soc_fraction == half
    )
    assert 0.03 < ohm * own[0].capacity_ah < 0.7


@pytest.mark.parametrize("cell", CELLS)
def test_no_cell_is_one_that_predictions_are_checked_on(cell: str) -> None:
    assert not any(name in cell.lower() for name in KEPT_FOR_CHECKING)


def test_grades_are_those_of_the_readme() -> None:
    assert {each.source_grade for each in READINGS} == set(SourceGrade)
