"""The build sheet: what stands on it, what is repeated, and that no words become HTML."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from html.parser import HTMLParser
from typing import Final

import pytest

from packdesign.planning.brief.examples import example_text
from packdesign.planning.verdicts.verdict import Status, Verdict
from packdesign.presentation.export.plain import object_text
from packdesign.presentation.export.sheet_object import sheet_object
from packdesign.presentation.page.wording import readable
from packdesign.presentation.sheet.blocks import Bullets, Note, Picture, Section, Table
from packdesign.presentation.sheet.look import style_sheet
from packdesign.presentation.sheet.markup import section_html, style_string
from packdesign.presentation.sheet.service import BuildSheet
from tests.briefs import LAMP

Make = Callable[[str], BuildSheet]

CORER: Final = example_text("soil_corer")
EVIL: Final = "\"><script>alert(1)</script>'</style><img src=x onerror=alert(2)>&amp;\\"
VOID: Final = {"meta", "col", "br", "rect", "line", "circle", "polygon", "polyline", "path"}


class _Reader(HTMLParser):
    """Collects every tag with its attributes, the text, and what is not closed."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.text: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def read(html: str) -> _Reader:
    reader = _Reader()
    reader.feed(html)
    reader.close()
    assert reader.open == []
    return reader


def test_the_sections_come_in_the_order_of_the_bench(sheet_of: Make) -> None:
    sheet = sheet_of(LAMP)
    assert [each.id for each in sheet.sections] == [
        "dangers", "pack", "parts", "assembly", "run", "checks", "gauge", "charge", "keeping",
        "sources",
    ]  # fmt: skip
    places = [sheet.html.index(f'<section id="{each.id}"') for each in sheet.sections]
    assert places == sorted(places)


def test_a_stop_fills_the_head_and_stands_on_every_page(sheet_of: Make) -> None:
    html = sheet_of(LAMP).html
    body = html[html.index("<main>") :]
    assert "<strong>STOP</strong>" in body[: body.index("<nav")]
    assert "No fuse" in body[: body.index("<nav")]
    assert body.count('<span class="bs-again">STOP</span>') == 10
    running = style_string("STOP: do not build or use it")
    assert html.count(running) == 2  # at the head and at the foot of a page
    assert "STOP: DO NOT CHARGE OR USE" in html  # on the label


def test_what_is_no_stop_does_not_cry_it(sheet_of: Make) -> None:
    sheet = sheet_of(CORER)
    assert sheet.facts.overall == "caution"
    assert "bs-is-stop" not in sheet.html[sheet.html.index("<main>") :]
    assert "DO NOT CHARGE OR USE" not in sheet.html


def test_a_label_without_a_known_fuse_does_not_look_complete(sheet_of: Make) -> None:
    unsaid = LAMP.replace('[pack.fuse]\nkind = "none"\n', "")
    sheet = sheet_of(unsaid)
    assert sheet.facts.overall is not Status.STOP
    assert "NOT COMPLETE: DO NOT USE YET" in sheet.html
    assert "This label is not complete: the fuse is not known." in sheet.html
    assert "NOT COMPLETE" not in sheet_of(CORER).html
    assert f"Built on {sheet.facts.made_on.isoformat()}" not in sheet.html


def test_what_only_the_years_after_say_counts_for_the_whole(sheet_of: Make) -> None:
    facts = sheet_of(CORER).facts
    assert facts.kept is not None
    said = Verdict(id="retire_now", status=Status.STOP, reason="It is worn out.")
    kept = replace(facts.kept, judged=(*facts.kept.judged, said))
    later = replace(facts, kept=kept)
    assert later.judged.overall == "caution"
    assert later.overall == "stop"
    assert later.verdicts == (*facts.verdicts, said)


@pytest.mark.parametrize("text", [LAMP, CORER], ids=["lamp", "corer"])
def test_nothing_is_fetched_and_nothing_runs(text: str, sheet_of: Make) -> None:
    found = read(sheet_of(text).html)
    names = {tag for tag, _ in found.tags}
    assert not names & {"script", "img", "link", "iframe", "object", "embed", "base", "form"}
    for _, attributes in found.tags:
        assert not [name for name in attributes if name.startswith("on") or name == "src"]
        assert (attributes.get("href") or "#").startswith("#")
    style = "".join(re.findall(r"<style>(.*?)</style>", sheet_of(text).html, re.DOTALL))
    assert "url(" not in style
    assert "@import" not in style


def test_words_of_a_brief_never_become_marks(sheet_of: Make) -> None:
    safe = CORER.replace('title = "soil corer"', f"title = '''{EVIL}'''")
    for old in ('board = "3S 20 A board"', 'name = "XT60"', 'name = "3S balance charger"'):
        key = old.partition(" =")[0]
        assert old in safe
        safe = safe.replace(old, f"{key} = '''{EVIL}'''")
    safe = safe.replace('"work light"', f"'''{EVIL}'''")
    sheet = sheet_of(safe)
    found = read(sheet.html)
    assert not {tag for tag, _ in found.tags} & {"script", "img"}
    assert sheet.html.count("</style>") == sheet.html.count("<style>")
    assert "".join(found.text).count("<script>alert(1)</script>") >= 4
    assert sheet_object(sheet)["title"] == EVIL


def test_words_of_a_cell_table_never_become_marks() -> None:
    section = Section(
        id="x",
        title=EVIL,
        blocks=(
            Note(EVIL),
            Bullets((EVIL,)),
            Table(name=EVIL, heads=(EVIL,), rows=((f"{EVIL}\n{EVIL}",),)),
            Picture(svg="<svg></svg>", caption=EVIL),
        ),
    )
    found = read(section_html(section, number=1, warning=EVIL))
    assert not {tag for tag, _ in found.tags} & {"script", "img", "style"}
    assert "".join(found.text).count("<script>") == 8


def test_a_title_cannot_leave_the_style_sheet() -> None:
    style = style_sheet(running_title=EVIL, running_status="", running_foot=EVIL, grave=False)
    assert "<" not in style
    assert style.count("{") == style.count("}")


def test_every_figure_of_every_check_is_on_paper_with_its_source(sheet_of: Make) -> None:
    sheet = sheet_of(CORER)
    checks = next(each for each in sheet.sections if each.id == "checks")
    table = next(each for each in checks.blocks if isinstance(each, Table))
    assert len(table.rows) == len(sheet.facts.verdicts) > 50
    written = "".join(read(sheet.html).text)
    for verdict in sheet.facts.verdicts:
        assert readable(verdict.reason) in written
        assert readable(verdict.fix) in written
        assert verdict.source in written


@pytest.mark.parametrize("text", [LAMP, CORER], ids=["lamp", "corer"])
def test_one_unit_is_written_one_way(text: str, sheet_of: Make) -> None:
    html = sheet_of(text).html
    assert "\u00b0C" in html
    assert not re.search(r"degC|\b[km]?ohm\b|\bmm2\b", html)


def test_the_parts_say_what_is_not_known(sheet_of: Make) -> None:
    parts = {each["part"]: each for each in sheet_object(sheet_of(LAMP))["parts"]}
    assert parts["cells"]["count"] == 1
    assert parts["fuse"] == {
        "part": "fuse", "count": 0, "what": "the brief says there is none",
        "known_from": "the brief", "area_mm2": None, "length_mm": None,
    }  # fmt: skip
    assert parts["connector"]["what"] == "not known"
    assert parts["connector"]["count"] is None
    assert "assume" in parts["leads, minus and plus"]["known_from"]
    known = {each["part"]: each for each in sheet_object(sheet_of(CORER))["parts"]}
    strip = known["strips between groups"]
    assert strip["area_mm2"] == pytest.approx(8 * 0.15 * 2)
    arrangement = sheet_of(CORER).facts.judged.design.arrangement
    assert strip["length_mm"] == pytest.approx(sum(arrangement.series_strip_m) * 1e3)


def test_the_bench_has_a_field_for_every_group_and_pin(sheet_of: Make) -> None:
    bench = next(each for each in sheet_of(CORER).sections if each.id == "assembly")
    tables = {each.name: each for each in bench.blocks if isinstance(each, Table)}
    assert len(tables["Readings of the cells"].rows) == 3
    assert len(tables["Balance connector"].rows) == 4
    alone = next(each for each in sheet_of(LAMP).sections if each.id == "assembly")
    assert "Balance connector" not in {
        each.name for each in alone.blocks if isinstance(each, Table)
    }


def test_the_twin_is_json_and_holds_what_the_paper_says(sheet_of: Make) -> None:
    sheet = sheet_of(CORER)
    twin = sheet_object(sheet)
    assert len(object_text(twin)) > 10_000
    written = "".join(read(sheet.html).text)
    for section in twin["sections"]:
        assert section["title"] in written
        for block in section["blocks"]:
            for row in block.get("rows", ()):
                for cell in row:
                    for line in (cell or "").split("\n"):
                        assert readable(line) in written or line in set(Status)


def test_a_sheet_of_the_same_brief_and_day_is_the_same(sheet_of: Make) -> None:
    from packdesign.presentation.sheet.service import build_sheet

    sheet = sheet_of(LAMP)
    again = build_sheet(sheet.facts.judged, made_on=sheet.facts.made_on)
    assert again.html == sheet.html
    longer = replace(sheet.facts.judged, cautions=("Said by a test.",))
    assert "Said by a test." in build_sheet(longer, made_on=sheet.facts.made_on).html


def test_two_capacities_of_one_pack_are_told_apart(sheet_of: Make) -> None:
    sheet = sheet_of(CORER)
    pack = next(each for each in sheet.sections if each.id == "pack")
    table = next(each for each in pack.blocks if isinstance(each, Table))
    words = str({row[0]: row[1] for row in table.rows}["capacity, energy"])
    assert words.startswith("2.50 Ah, 27 Wh nominal\n2.45 Ah, 26.5 Wh at least")
    assert sheet.facts.kept is not None
    assert sheet.facts.kept.plan.carrying.energy_wh == pytest.approx(26.46)


def test_full_is_a_voltage_at_rest(sheet_of: Make) -> None:
    gauge = next(each for each in sheet_of(CORER).sections if each.id == "gauge")
    table = next(each for each in gauge.blocks if isinstance(each, Table))
    assert table.heads[1:4] == ("Under load", "At rest", "Charge left")
    assert table.rows[0][:4] == ("full", "", "12.60 V", "100 %")
