"""``packdesign sheet``: from a brief to the document for the bench and its twin for machines."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from packdesign.planning.brief.examples import example_text
from packdesign.presentation.export.pdf import CHROMIUM_VARIABLE
from tests.briefs import LAMP
from tests.conftest import Ran
from tests.journeys.served_page import chromium, chromium_path

Run = Callable[..., Ran]

BARE = """\
[pack]
cell = "Samsung SDI INR18650-25R"
series = 1
[[loads]]
watts = 2
"""
"""Almost nothing: no title, no cavity, no charger, no monitor."""
IN_A_MESH = """\
title = "a capsule"
[pack]
cell = "Samsung SDI INR18650-25R"
series = 3
[pack.fuse]
rating = "5 A"
[[loads]]
name = "lamp"
watts = 5
[cavity]
shape = "mesh"
mesh = "capsule.stl"
mesh_unit = "mm"
closure = "vented"
"""
SECTIONS = [
    "dangers", "pack", "parts", "assembly", "run", "checks", "gauge", "charge", "keeping",
    "sources",
]  # fmt: skip
OWN_KEYS = {
    "file", "kind", "made_on", "brief_digest", "program_version", "layout", "parts",
    "bench_checks", "first_charge", "go_checklist", "keep", "sections",
}  # fmt: skip


@pytest.fixture
def written(tmp_path: Path) -> Callable[[str], Path]:
    def write(text: str) -> Path:
        path = tmp_path / "brief.toml"
        path.write_text(text)
        return path

    return write


def test_an_example_gives_a_sheet_and_its_twin(
    packdesign: Run, written: Callable[[str], Path], tmp_path: Path
) -> None:
    brief, out = written(example_text("rover")), tmp_path / "rover.html"
    done = packdesign("sheet", brief, "--out", out, "--json")
    assert done.status == 0
    assert f"build sheet written to {out}" in done.err
    twin = done.json
    judged = packdesign("assess", brief, "--json").json
    assert list(twin)[: len(judged)] == list(judged)
    assert {key: twin[key] for key in judged} == judged
    assert set(twin) - set(judged) == OWN_KEYS
    assert (twin["file"], twin["kind"]) == (str(out), "html")
    assert [each["id"] for each in twin["sections"]] == SECTIONS
    assert len(twin["layout"]["cells"]) == 2
    html = out.read_text()
    assert html.startswith("<!DOCTYPE html>")
    assert twin["brief_digest"] in html
    assert "<script" not in html
    assert html.count("<svg") == 4  # pack, run, charge, label


def test_a_stop_ends_with_one_and_is_written_all_the_same(
    packdesign: Run, written: Callable[[str], Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    done = packdesign("sheet", written(LAMP))
    assert done.status == 1
    assert "STOP" in done.out
    assert "<title>STOP: " in (tmp_path / "brief_sheet.html").read_text()


def test_the_twin_alone_writes_no_document(
    packdesign: Run, written: Callable[[str], Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    done = packdesign("sheet", written(BARE), "--json")
    assert (done.json["file"], done.json["kind"]) == (None, None)
    assert done.err == ""
    assert [each.name for each in tmp_path.iterdir()] == ["brief.toml"]


def test_a_dent_is_a_reason_to_retire_it_here_too(
    packdesign: Run, written: Callable[[str], Path], tmp_path: Path
) -> None:
    brief = written(BARE + "[measured.condition]\ndented = true\n")
    done = packdesign("sheet", brief, "--out", tmp_path / "out.html", "--json")
    assert done.status == 1
    assert done.json["overall"] == "stop"
    assert "retire_now" in [each["id"] for each in done.json["verdicts"]]


@pytest.mark.parametrize("text", [BARE, IN_A_MESH], ids=["bare", "mesh"])
def test_what_nobody_knows_does_not_stand_in_the_way(
    text: str, packdesign: Run, written: Callable[[str], Path], tmp_path: Path
) -> None:
    if "capsule.stl" in text:
        import trimesh

        trimesh.creation.capsule(radius=24, height=100).export(tmp_path / "capsule.stl")
    out = tmp_path / "out.html"
    done = packdesign("sheet", written(text), "--out", out, "--json")
    assert done.status in (0, 1)
    assert [each["id"] for each in done.json["sections"]] == SECTIONS
    assert "not known" in out.read_text()
    assert str(tmp_path) not in out.read_text()


def test_a_log_is_run_and_drawn(packdesign: Run, bench: Path, tmp_path: Path) -> None:
    out = tmp_path / "out.html"
    done = packdesign("sheet", bench, "--out", out, "--json")
    assert done.status in (0, 1)
    assert "1S1P of Samsung SDI INR18650-30Q" in out.read_text()
    assert out.read_text().count("<svg") == 4
    log = (tmp_path / "log.csv").read_bytes()
    over = packdesign("sheet", bench, "--out", tmp_path / "log.csv", "--overwrite")
    assert over.status == 2
    assert (tmp_path / "log.csv").read_bytes() == log


def test_no_file_is_replaced_without_a_word(
    packdesign: Run, written: Callable[[str], Path], tmp_path: Path
) -> None:
    out = tmp_path / "out.html"
    out.write_text("mine")
    done = packdesign("sheet", written(BARE), "--out", out)
    assert done.status == 2
    assert "add --overwrite" in done.err
    assert out.read_text() == "mine"
    again = packdesign("sheet", written(BARE), "--out", out, "--overwrite")
    assert again.status in (0, 1)
    assert out.read_text().startswith("<!DOCTYPE html>")


@pytest.mark.parametrize(
    ("out", "message"),
    [
        ("sheet.docx", "ends in '.docx'; a build sheet is written as .html or .pdf"),
        ("sheet", "has no ending; a build sheet is written as .html or .pdf"),
        ("none/sheet.html", "there is no folder"),
    ],
)
def test_what_cannot_be_written_is_told_before_any_work(
    out: str, message: str, packdesign: Run, written: Callable[[str], Path], tmp_path: Path
) -> None:
    done = packdesign("sheet", written(BARE), "--out", tmp_path / out)
    assert done.status == 2
    assert message in done.err
    assert "Traceback" not in done.err
    assert [each.name for each in tmp_path.iterdir()] == ["brief.toml"]


def test_without_chromium_one_message_offers_the_html(
    packdesign: Run, written: Callable[[str], Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(CHROMIUM_VARIABLE, str(tmp_path / "nowhere"))
    done = packdesign("sheet", written(BARE), "--out", tmp_path / "out.pdf")
    assert done.status == 2
    assert "print it from any browser" in done.err
    assert len(done.err.strip().splitlines()) == 1


@pytest.mark.browser
@pytest.mark.skipif(chromium_path() is None, reason="no Chromium on this machine")
def test_a_stop_stands_on_every_page_of_the_pdf(
    packdesign: Run, written: Callable[[str], Path], tmp_path: Path
) -> None:
    out = tmp_path / "out.pdf"
    done = packdesign("sheet", written(LAMP), "--out", out)
    assert done.status == 1
    assert out.read_bytes().startswith(b"%PDF-")
    assert sorted(each.name for each in tmp_path.iterdir()) == ["brief.toml", "out.pdf"]
    reader = shutil.which("pdftotext")
    if reader is None:
        pytest.skip("pdftotext is not here to read the pages; the PDF was written")
    text = subprocess.run([reader, out, "-"], capture_output=True, check=True, text=True).stdout
    pages = text.split("\f")[:-1]
    assert len(pages) >= 8
    for number, page in enumerate(pages, start=1):
        assert page.count("STOP: do not build or use it") == 2
        assert f"page {number} of {len(pages)}" in page


@pytest.mark.browser
@pytest.mark.skipif(chromium_path() is None, reason="no Chromium on this machine")
def test_the_sheet_reads_well_on_a_phone_and_fits_the_paper(
    packdesign: Run, written: Callable[[str], Path], tmp_path: Path
) -> None:
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    out = tmp_path / "out.html"
    long = "W" * 300
    packdesign("sheet", written(LAMP.replace("lamp on a stick", long)), "--out", out)
    with chromium() as browser:
        context = browser.new_context(viewport={"width": 390, "height": 800}, bypass_csp=True)
        page = context.new_page()
        asked: list[str] = []
        page.on("request", lambda request: asked.append(request.url))
        page.goto(out.as_uri())
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        found = axe.Axe().run(page).response["violations"]
        assert [each["id"] for each in found] == []
        assert asked == [out.as_uri()]
        page.emulate_media(media="print")
        page.set_viewport_size({"width": 688, "height": 1000})  # A4 less its margins, at 96 dpi
        assert page.evaluate("document.documentElement.scrollWidth") <= 688
        context.close()
