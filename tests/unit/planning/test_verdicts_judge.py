"""One comparison: stop on the likely value, caution on the end of the band, unknown on the rest."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.foundation.basis import Band, Basis
from packdesign.planning.verdicts.judge import Check, at_least, at_most, slug
from packdesign.planning.verdicts.verdict import Status

FINITE = st.floats(min_value=0.01, max_value=1e4)


def check(value, limit, **more):
    return Check(
        id="x", what="the figure", value=value, against="the limit", limit=limit, unit="A",
        fix="change it", find_out="find it", basis=Basis.DATASHEET, source="sheet", **more,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("value", "status", "margin"),
    [
        (Band(8.0, 9.0, 10.0), Status.OK, 0.1),
        (Band(8.0, 9.0, 10.1), Status.CAUTION, 0.1),
        (Band(8.0, 10.5, 11.0), Status.STOP, -0.05),
        (Band(10.5, 10.5, 11.0), Status.STOP, -0.05),
        (10.0, Status.OK, 0.0),
    ],
)
def test_at_most_judges_on_the_unfavourable_end(value, status, margin):
    verdict = at_most(check(value, 10.0))
    assert verdict.status is status
    assert verdict.margin == pytest.approx(margin)


@pytest.mark.parametrize(
    ("value", "status", "margin"),
    [
        (Band(10.0, 11.0, 12.0), Status.OK, 0.1),
        (Band(9.9, 11.0, 12.0), Status.CAUTION, 0.1),
        (Band(8.0, 9.5, 12.0), Status.STOP, -0.05),
    ],
)
def test_at_least_judges_on_the_unfavourable_end(value, status, margin):
    verdict = at_least(check(value, 10.0))
    assert verdict.status is status
    assert verdict.margin == pytest.approx(margin)


@pytest.mark.parametrize("judge", [at_most, at_least])
@pytest.mark.parametrize(("value", "limit"), [(None, 10.0), (5.0, None), (None, None)])
def test_missing_figure_or_limit_is_unknown_and_says_what_to_find(judge, value, limit):
    verdict = judge(check(value, limit))
    assert verdict.status is Status.UNKNOWN
    assert verdict.margin is None
    assert verdict.fix == "find it"
    assert verdict.basis is Basis.ASSUMED


def test_doubt_turns_a_pass_into_a_caution_and_leaves_a_stop():
    assert at_most(check(5.0, 10.0, doubt="Recalled.")).status is Status.CAUTION
    assert at_most(check(5.0, 10.0, doubt="Recalled.")).fix == "find it"
    assert at_most(check(15.0, 10.0, doubt="Recalled.")).status is Status.STOP


def test_reason_names_figure_and_limit():
    reason = at_most(check(Band(8.0, 9.0, 10.5), 10.0)).reason
    assert reason == "The figure is 9 A, but may reach 10.5 A, above the limit (10 A)."


def test_zero_limit_has_no_margin_and_a_cold_one_keeps_its_sign():
    assert at_least(check(5.0, 0.0)).margin is None
    assert at_least(check(-10.0, -20.0)).margin == pytest.approx(0.5)


@given(FINITE, FINITE, FINITE)
def test_the_two_judges_agree_with_the_margin(mid, spread, limit):
    band = Band(mid - spread, mid, mid + spread)
    for verdict in (at_most(check(band, limit)), at_least(check(band, limit))):
        assert verdict.margin is not None
        assert (verdict.status is Status.STOP) == (verdict.margin < 0)
        assert bool(verdict.fix) == (verdict.status is not Status.OK)


def test_slug_keeps_letters_and_digits():
    assert slug("3.3 V / logic") == "3_3_v_logic"


def test_a_failure_that_hurts_nobody_is_a_caution():
    verdict = at_most(check(12.0, 10.0, may_stop=False))
    assert verdict.status is Status.CAUTION
    assert verdict.fix == "change it"
