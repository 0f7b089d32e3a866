"""Current against the cell's own ratings: the temperature cut, the pulse, the doubtful row."""

from __future__ import annotations

import pytest

from packdesign.data.cells import Confidence
from packdesign.foundation.basis import Band, Basis
from packdesign.planning.verdicts.current import burst_current, continuous_current
from packdesign.planning.verdicts.verdict import Status

OK, CAUTION, STOP, UNKNOWN = Status.OK, Status.CAUTION, Status.STOP, Status.UNKNOWN


@pytest.mark.parametrize(
    ("load_a", "status"),
    [(14.0, OK), (Band(12.0, 14.0, 16.0), CAUTION), (15.1, STOP), (None, UNKNOWN)],
)
def test_continuous_against_a_plain_rating(make_cell, load_a, status):
    assert continuous_current(cell=make_cell(), load_a=load_a).status is status


def test_no_rating_is_unknown(make_cell):
    verdict = continuous_current(cell=make_cell(continuous_a=None), load_a=1.0)
    assert verdict.status is UNKNOWN
    assert "sheet" in verdict.fix


def test_rating_with_a_temperature_cut_is_no_continuous_rating_without_one(make_cell):
    cell = make_cell(
        continuous_a=25.0, continuous_needs_temperature_cut=True, temperature_cut_degc=80.0,
        uncut_continuous_a=15.0,
    )  # fmt: skip
    without = continuous_current(cell=cell, load_a=20.0)
    assert (without.status, without.limit) == (STOP, 15.0)
    assert "80 degC" in without.reason
    with_cut = continuous_current(cell=cell, load_a=20.0, has_temperature_cut=True)
    assert (with_cut.status, with_cut.limit) == (OK, 25.0)


def test_cut_rating_alone_gives_at_best_a_caution(make_cell):
    cell = make_cell(
        continuous_a=25.0, continuous_needs_temperature_cut=True, uncut_continuous_a=None
    )
    assert continuous_current(cell=cell, load_a=5.0).status is CAUTION
    assert continuous_current(cell=cell, load_a=26.0).status is STOP
    assert continuous_current(cell=cell, load_a=5.0, has_temperature_cut=True).status is OK


@pytest.mark.parametrize(
    ("load_a", "status"),
    [(2.0, OK), (2.5, OK), (2.51, CAUTION), (Band(2.0, 2.2, 2.6), CAUTION), (26.0, STOP)],
)
@pytest.mark.parametrize("kind", ["steady", "peak"])
def test_a_tenth_of_a_cut_rating_asks_for_no_cut(make_cell, kind, load_a, status):
    cell = make_cell(
        continuous_a=25.0, continuous_needs_temperature_cut=True, uncut_continuous_a=None
    )
    if kind == "steady":
        found = continuous_current(cell=cell, load_a=load_a)
    else:
        found = burst_current(cell=cell, load_a=load_a, lasts_s=20.0)
    assert found.status is status
    if status is OK:
        assert found.limit == 2.5
        assert "own choice" in found.source


def test_recalled_or_low_confidence_rating_gives_at_best_a_caution(make_cell):
    recalled = make_cell(bases={"continuous_a": Basis.ASSUMED})
    doubtful = make_cell(confidence=Confidence.LOW)
    assert continuous_current(cell=recalled, load_a=1.0).status is CAUTION
    assert continuous_current(cell=doubtful, load_a=1.0).status is CAUTION
    assert continuous_current(cell=doubtful, load_a=16.0).status is STOP


def test_pulse_rating_serves_pulses_up_to_its_length(make_cell):
    cell = make_cell(pulse_a=30.0, pulse_s=5.0)
    short = burst_current(cell=cell, load_a=28.0, lasts_s=2.0)
    assert (short.status, short.limit) == (OK, 30.0)
    longer = burst_current(cell=cell, load_a=28.0, lasts_s=8.0)
    assert (longer.status, longer.limit) == (UNKNOWN, 15.0)
    steady = burst_current(cell=cell, load_a=28.0, lasts_s=30.0)
    assert (steady.status, steady.limit) == (STOP, 15.0)


def test_pulse_of_unstated_length_is_a_caution(make_cell):
    cell = make_cell(pulse_a=30.0, pulse_s=None)
    assert burst_current(cell=cell, load_a=20.0, lasts_s=1.0).status is CAUTION


def test_peak_without_a_pulse_rating(make_cell):
    cell = make_cell(pulse_a=None)
    assert burst_current(cell=cell, load_a=14.0, lasts_s=1.0).status is OK
    assert burst_current(cell=cell, load_a=25.0, lasts_s=1.0).status is UNKNOWN
    assert burst_current(cell=cell, load_a=31.0, lasts_s=1.0).status is STOP
