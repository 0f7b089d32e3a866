"""Times as a person reads them, by one function for sentences, tables and screens."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.foundation.spoken_time import spoken_time
from packdesign.planning.verdicts.judge import Check, at_most, spoken
from packdesign.presentation.cli import words
from packdesign.presentation.page import wording

UNITS_S = {"d": 86400, "h": 3600, "min": 60, "s": 1}


def read(text: str) -> float:
    """Give the seconds of a time as it is written."""
    parts = text.split()
    return sum(
        float(count) * UNITS_S[unit] for count, unit in zip(parts[::2], parts[1::2], strict=True)
    )


@pytest.mark.parametrize("write", [spoken_time, words.duration, wording.duration])
def test_sentences_tables_and_screens_write_a_time_alike(write):
    assert write(151.2) == "2 min 31 s"
    assert write(3720.0) == "1 h 2 min"


def test_a_sentence_has_no_decimal_minutes_or_hours():
    assert [spoken(each, "s") for each in (90.0, 151.2, 15332.0)] == [
        "1 min 30 s", "2 min 31 s", "4 h 16 min",
    ]  # fmt: skip


@given(time_s=st.floats(min_value=1e-3, max_value=1e8), digits=st.integers(3, 5))
def test_what_is_written_is_the_time(time_s, digits):
    """Within half of the smaller unit of two: a minute of an hour, an hour of a day."""
    assert read(spoken_time(time_s, digits=digits)) == pytest.approx(time_s, rel=1 / 47)


@pytest.mark.parametrize("edge_s", [60.0, 3600.0, 86400.0])
def test_no_unit_is_ever_filled_to_the_next(edge_s):
    just_below = spoken_time(edge_s - 1e-4)
    assert just_below == spoken_time(edge_s)
    assert len(just_below.split()) == 2


def test_a_figure_is_told_from_its_limit():
    check = Check(
        id="x", what="the run", value=7230.0, against="the wish", limit=7210.0, unit="s",
        fix="", find_out="",
    )  # fmt: skip
    assert "is 2 h 30 s, above the wish (2 h 10 s)" in at_most(check).reason
