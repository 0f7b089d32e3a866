"""The first page of the sheet: what stands there, from the same facts as the sections behind it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from packdesign.planning.brief.examples import example_text
from packdesign.planning.verdicts.verdict import Status, Verdict
from packdesign.presentation.sheet.blocks import Table
from packdesign.presentation.sheet.facts import SheetFacts
from packdesign.presentation.sheet.service import BuildSheet, build_sheet
from packdesign.presentation.sheet.summary import next_steps, summary_blocks
from tests.briefs import LAMP

Make = Callable[[str], BuildSheet]

CORER = example_text("soil_corer")


def rows_of(facts: SheetFacts) -> dict[str, str]:
    table = next(each for each in summary_blocks(facts) if isinstance(each, Table))
    return {str(name): str(words) for name, words in table.rows}


def with_verdicts(facts: SheetFacts, *judged: Verdict) -> SheetFacts:
    alone = replace(facts.judged, hazards=(), judged=judged)
    return replace(facts, judged=alone, kept=None)


def test_it_holds_what_the_bench_asks_for_first(sheet_of: Make) -> None:
    rows = rows_of(sheet_of(CORER).facts)
    assert rows["pack"].startswith("3S1P of Samsung SDI INR18650-25R, 3 in a triangle")
    assert "15 A" in rows["fuse"]
    assert rows["wire"].startswith("AWG 14")
    assert rows["charging"].startswith("12.60 V (3 x 4.2 V), 1.25 A, ends at 0.125 A; about ")
    for level in sheet_of(CORER).facts.judged.gauge.thresholds.in_order:
        assert f"{level.name.replace('_', ' ')} {level.loaded_v:.3g}" in rows["firmware acts at"]


def test_what_the_brief_does_not_say_is_not_made_up(sheet_of: Make) -> None:
    rows = rows_of(sheet_of(LAMP).facts)
    assert rows["fuse"] == "the brief says there is none"
    assert "assumed: the brief does not say" in rows["wire"]
    assert "names no charger" in rows["charging"]
    assert "names nothing that watches the pack" in rows["firmware acts at"]


def test_a_charge_that_is_not_allowed_says_so_first(sheet_of: Make) -> None:
    facts = sheet_of(CORER).facts
    cold = replace(facts.judged, charge=replace(facts.judged.charge, allowed=False))
    assert rows_of(replace(facts, judged=cold))["charging"].startswith("DO NOT CHARGE")


def test_a_charge_is_stopped_by_hand_before_it_ends_by_itself(sheet_of: Make) -> None:
    facts = sheet_of(CORER).facts
    short = replace(facts.judged, charge=replace(facts.judged.charge, clock_s=3600.0))
    told = rows_of(replace(facts, judged=short))["charging"]
    assert "stop it by hand after 1 h, though its current" in told
    assert "about" not in told


def test_the_first_page_gives_the_reasons_and_stands_alone(sheet_of: Make) -> None:
    html = sheet_of(CORER).html
    head = html[html.index("<main>") : html.index("<nav")]
    for verdict in sheet_of(CORER).facts.verdicts:
        if verdict.status is not Status.OK:
            assert verdict.reason in head
    assert '<section id="dangers" class="bs-section bs-new-page">' in html


def test_every_stop_is_on_the_first_page(sheet_of: Make) -> None:
    many = tuple(
        Verdict(id=f"check_{number}", status=status, reason=f"Reason {number}.")
        for number, status in enumerate((Status.STOP,) * 9 + (Status.CAUTION,) * 2)
    )
    facts = with_verdicts(sheet_of(LAMP).facts, *many)
    html = build_sheet(facts.judged, made_on=facts.made_on).html
    head = html[html.index("<main>") : html.index("<nav")]
    assert all(f"Reason {number}." in head for number in range(9))
    assert "Reason 9." not in head
    assert "More under 'Read before building': 2 cautions" in head


def test_long_reasons_do_not_push_the_summary_off_the_first_page(sheet_of: Make) -> None:
    """Seven cautions of four lines each took the contents over to a page of their own."""
    many = (
        Verdict(id="check_0", status=Status.STOP, reason="Reason 0."),
        *(
            Verdict(id=f"check_{n}", status=Status.CAUTION, reason=f"Reason {n}." + 380 * "x")
            for n in range(1, 8)
        ),
    )
    facts = with_verdicts(sheet_of(LAMP).facts, *many)
    html = build_sheet(facts.judged, made_on=facts.made_on).html
    head = html[html.index("<main>") : html.index("<nav")]
    assert [n for n in range(8) if f"Reason {n}." in head] == [0, 1, 2]
    assert "More under 'Read before building': 5 cautions" in head
    assert '<section id="dangers" class="bs-section bs-new-page">' in html


def test_stops_that_take_more_than_the_first_page_leave_none_half_empty(sheet_of: Make) -> None:
    many = tuple(
        Verdict(id=f"check_{n}", status=Status.STOP, reason=f"Reason {n}." + 380 * "x")
        for n in range(9)
    )
    facts = with_verdicts(sheet_of(LAMP).facts, *many)
    html = build_sheet(facts.judged, made_on=facts.made_on).html
    head = html[html.index("<main>") : html.index("<nav")]
    assert all(f"Reason {n}." in head for n in range(9))
    assert '<section id="dangers" class="bs-section">' in html


@pytest.mark.parametrize(
    ("verdicts", "steps", "last"),
    [
        ((), 3, "Measure every cell before anything is joined, under 'Assembly, and checks"),
        ((Verdict(id="a", status=Status.STOP, fix="Mend it."),), 2, "Change the brief"),
        (
            tuple(Verdict(id="a", status=Status.CAUTION, fix=f"Do {n}.") for n in range(5)),
            4,
            "Then 2 more things to do",
        ),
    ],
    ids=["clear", "stop", "many"],
)
def test_the_next_things_are_three_and_never_to_build_what_says_stop(
    verdicts: tuple[Verdict, ...], steps: int, last: str, sheet_of: Make
) -> None:
    found = next_steps(with_verdicts(sheet_of(LAMP).facts, *verdicts))
    assert len(found) == steps
    assert found[-1].startswith(last)
    if any(each.status is Status.STOP for each in verdicts):
        assert not any("Get the parts" in each for each in found)
