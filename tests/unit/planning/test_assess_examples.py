"""The examples: nothing stops them, and every id is sound."""

from __future__ import annotations

import re

import pytest

from packdesign.planning.assess.discharge import run_discharge
from packdesign.planning.assess.judgement import judge
from packdesign.planning.assess.loading import loading_of
from packdesign.planning.assess.service import design_of
from packdesign.planning.brief.examples import example_names, example_text
from packdesign.planning.brief.load import brief_from_text
from packdesign.planning.verdicts.verdict import Status


@pytest.fixture(scope="module", params=example_names())
def case(request):
    brief = brief_from_text(example_text(request.param))
    design = design_of(brief)
    loading = loading_of(brief, design)
    return brief, design, loading, run_discharge(brief, design, loading)


def test_no_example_is_stopped_or_unknown(case):
    assert {verdict.status for verdict in judge(*case)} <= {Status.OK, Status.CAUTION}


def test_ids_are_words_with_underscores_and_single(case):
    ids = [verdict.id for verdict in judge(*case)]
    assert len(set(ids)) == len(ids)
    assert all(re.fullmatch(r"[a-z0-9]+(_[a-z0-9]+)*", each) for each in ids)


def test_what_is_not_fine_says_what_to_do_and_nothing_reads_broken(case):
    for verdict in judge(*case):
        assert verdict.status is Status.OK or verdict.fix, verdict
        assert verdict.reason.endswith((".", "?")), verdict
        assert "  " not in verdict.reason
        assert "e+" not in verdict.reason
        assert "None" not in verdict.reason


def test_each_motor_is_noted_for_the_screens(case):
    brief, _, loading, _ = case
    assert [note.name for note in loading.motors] == [each.name for each in brief.all_motors]
