"""The page without a browser: sections start, a brief leads to a result, bad input to a message."""

from __future__ import annotations

import functools
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from streamlit.components.v2 import manifest_scanner
from streamlit.testing.v1 import AppTest

from packdesign.planning.brief.examples import example_text
from packdesign.planning.brief.load import brief_from_text
from packdesign.presentation.export.sheet_object import sheet_object
from packdesign.presentation.page import state
from packdesign.presentation.page.cached import assessed
from packdesign.presentation.page.draft import Draft, draft_from_address, draft_of_brief, packed
from packdesign.presentation.page.form.key_description import value_at
from packdesign.presentation.page.form.steps import STEPS
from packdesign.presentation.page.sections.registry import OPEN_SECTIONS, SECTIONS
from packdesign.presentation.page.sections.save import (
    result_json,
    sheet_of,
    trace_csv,
    verdict_text,
)
from packdesign.presentation.page.shelf import SHELF
from tests.briefs import LAMP

APP = Path(__file__).resolve().parents[2] / "app.py"
SPINNER = (
    LAMP
    + """
[motor]
name = "spinner"
nominal_voltage = "3.7 V"
no_load_speed = "3000 rpm"
no_load_current = "0.1 A"
stall_current = "3 A"
rotor_inertia = "5 g*cm**2"
[motor.drives]
inertia = "2e-6 kg*m**2"
[motor.drive]
ramp_up = "0.1 s"
[mission]
run_time = "20 min"
[[mission.actions]]
do = "start"
seconds = 5
[[mission.actions]]
do = "rest"
seconds = 120
"""
)


@pytest.fixture(scope="module", autouse=True)
def _packages_searched_once() -> Iterator[None]:
    """Each AppTest has Streamlit search every installed package for components of its own."""
    search = functools.cache(manifest_scanner.scan_component_manifests)
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(manifest_scanner, "scan_component_manifests", search)
        yield


def _opened(text: str) -> AppTest:
    app = AppTest.from_file(str(APP), default_timeout=60)
    word = packed(draft_of_brief(brief_from_text(text)))
    assert word is not None
    app.query_params[state.ADDRESS] = word
    return app.run()


def _html(app: AppTest) -> str:
    return " ".join(each.proto.body for each in app.get("html"))


def _draft(app: AppTest) -> Draft:
    word: Any = app.query_params[state.ADDRESS]
    return draft_from_address(word[0] if isinstance(word, list) else word)


def _number(app: AppTest, path: str) -> Any:
    return next(each for each in app.number_input if each.key and f":{path}:" in each.key)


def _select(app: AppTest, path: str) -> Any:
    return next(each for each in app.selectbox if each.key and each.key.endswith(f":{path}"))


def test_the_title_names_the_device() -> None:
    app = _opened(LAMP)
    assert not app.exception
    assert [each.value for each in app.title] == ["Lithium pack for the lamp on a stick"]


@pytest.mark.parametrize("section", [*SECTIONS, *OPEN_SECTIONS])
def test_every_section_starts(section: str) -> None:
    app = _opened(SPINNER)
    app.radio(key=state.SECTION).set_value(section).run()
    assert not app.exception
    assert [each.value for each in app.subheader]


def test_the_label_of_a_stopped_pack_says_so_where_the_years_are() -> None:
    label = _label_of(LAMP)
    assert label[0] == "STOP: DO NOT CHARGE OR USE"
    assert label[1].startswith("1S1P")
    fused = _label_of(example_text("soil_corer"))
    assert fused[0].startswith("3S1P")


def _label_of(text: str) -> list[str]:
    app = _opened(text)
    app.radio(key=state.SECTION).set_value("Years").run()
    return app.code[0].value.split("\n")


@pytest.mark.parametrize("step", list(STEPS))
def test_every_step_starts_and_takes_nothing_by_itself(step: str) -> None:
    app = _opened(SPINNER)
    before = _draft(app)
    app.radio(key=state.STEP).set_value(step).run()
    assert not app.exception
    for toggle in list(app.toggle):
        toggle.set_value(True)
    app.run()
    assert not app.exception
    assert _draft(app) == before


def test_uses_wanted_are_told_as_a_time_too() -> None:
    """A use of the spinner takes 125 s; what it is held against is a time."""
    assert 'run_time = "20 min"' in SPINNER
    html = _html(_opened(SPINNER.replace('run_time = "20 min"', "uses = 30")))
    assert "wanted: 30 uses = 1 h 2 min" in html


def test_the_cautions_come_before_the_numbers() -> None:
    html = _html(_opened(LAMP))
    assert (
        0
        <= html.index("Before anything else")
        < html.index("pd-block pd-stop")
        < html.index("It runs for")
    )


def test_a_changed_field_changes_brief_and_result() -> None:
    app = _opened(LAMP)
    before = _html(app)
    app.radio(key=state.STEP).set_value("2  What it must drive").run()
    _number(app, "loads.0.watts").set_value(9.0).run()
    assert not app.exception
    assert _draft(app).brief.loads[0].power_w == 9.0
    assert _html(app) != before


def test_a_field_left_empty_is_not_known() -> None:
    app = _opened(LAMP)
    _number(app, "cavity.wall_thickness").set_value(2.0).run()
    assert value_at(_draft(app).brief, "cavity.wall_thickness") == pytest.approx(0.002)
    _number(app, "cavity.wall_thickness").set_value(None).run()
    assert value_at(_draft(app).brief, "cavity.wall_thickness") is None


def test_what_cannot_be_meant_is_told_and_not_taken() -> None:
    app = _opened(LAMP)
    _number(app, "cavity.bore").set_value(-4.0).run()
    assert not app.exception
    assert any("bore is '-4.0 mm'; allowed: 3 to 2000 mm" in each.value for each in app.error)
    assert _draft(app).brief.cavity.bore_m == pytest.approx(0.03)  # type: ignore[union-attr]
    _number(app, "cavity.bore").set_value(32.0).run()
    assert not app.error


def test_a_shape_brings_the_sizes_it_needs() -> None:
    app = _opened(LAMP)
    _select(app, "cavity.shape").set_value("box").run()
    assert not app.exception
    assert not app.error
    cavity = _draft(app).brief.cavity
    assert cavity is not None
    assert (cavity.shape, cavity.height_m) == ("box", pytest.approx(0.025))


def test_loads_come_and_go() -> None:
    app = _opened(LAMP)
    app.radio(key=state.STEP).set_value("2  What it must drive").run()
    next(each for each in app.button if each.label == "Add a load").click().run()
    assert [each.name for each in _draft(app).brief.loads] == ["lamp", "controller"]
    next(each for each in app.button if each.label == "Take load 1 away").click().run()
    assert [each.name for each in _draft(app).brief.loads] == ["controller"]


def test_inches_are_kept_as_typed() -> None:
    app = _opened(LAMP)
    app.radio(key=state.UNITS).set_value("inches and \u00b0F").run()
    _number(app, "cavity.bore").set_value(1.2).run()
    cavity = _draft(app).brief.cavity
    assert cavity is not None
    assert (
        cavity.bore_m
        == brief_from_text(
            '[cavity]\nshape = "tube"\nlength = "90 mm"\nbore = "1.2 inch"\n'
        ).cavity.bore_m
    )  # type: ignore[union-attr]


def test_without_a_cell_the_shortlist_is_offered() -> None:
    app = _opened('title = "open"\n[[loads]]\nname = "lamp"\nwatts = 2\n')
    assert not app.exception
    assert any("No cell is chosen yet" in each.value for each in app.info)
    assert list(app.radio(key=state.SECTION).options) == list(OPEN_SECTIONS)


def test_an_empty_brief_is_no_error() -> None:
    app = _opened('title = "nothing yet"\n')
    assert not app.exception
    assert not app.error


def test_a_broken_address_gives_a_message_and_the_example() -> None:
    app = AppTest.from_file(str(APP), default_timeout=90)
    app.query_params[state.ADDRESS] = "broken"
    app.run()
    assert not app.exception
    assert any("cannot be read" in each.value for each in app.error)


def test_a_brief_that_names_a_missing_file_gives_a_message() -> None:
    app = _opened('[pack]\ncell = "x"\nseries = 1\n[load]\nlog = "log.csv"\n')
    assert not app.exception
    assert any("upload it here as well" in each.value for each in app.error)


def test_a_large_file_is_there_after_a_reload_and_the_page_says_how_long() -> None:
    rows = "".join(f"{i},{1 + (i * 7919 % 1009) / 1009:.6f}\n" for i in range(3000))
    text = '[pack]\ncell = "INR18650-25R"\nseries = 1\n[load]\nlog = "log.csv"\n'
    log = (("log.csv", f"time_s,current_a\n{rows}".encode()),)
    draft = draft_of_brief(brief_from_text(text), log)
    assert packed(draft) is None
    SHELF.put(draft.digest, draft.files)
    app = AppTest.from_file(str(APP), default_timeout=60)
    app.query_params[state.ADDRESS] = packed(draft, on_shelf=True) or ""
    app.run()
    assert not app.exception
    assert not app.error
    assert "It runs for" in _html(app)
    assert any("as long as this program runs" in each.value for each in app.warning)


def test_an_unknown_cell_gives_the_nearest() -> None:
    app = _opened(LAMP.replace("25R", "25X"))
    assert not app.exception
    assert any("nearest" in each.value for each in app.error)


def test_an_example_replaces_what_stood_there() -> None:
    app = _opened(LAMP)
    app.selectbox(key=state.EXAMPLE).set_value("an empty brief").run()
    next(each for each in app.button if each.label == "Start anew from this").click().run()
    assert not app.exception
    assert _draft(app).brief.title == "my device"
    assert not any("It runs for" in each for each in [_html(app)])


def test_a_what_if_shows_both_packs() -> None:
    app = _opened(LAMP)
    app.radio(key=state.SECTION).set_value("What if").run()
    app.text_input(key=f"{state.WHAT_IF_VALUE}.pack.parallel").set_value("2").run()
    assert not app.exception
    assert "as it is" in _html(app)
    app.text_input(key=f"{state.WHAT_IF_VALUE}.pack.parallel").set_value("many").run()
    assert not app.exception
    assert any("write a number" in each.value for each in app.error)


def test_pasted_cells_are_told_line_by_line() -> None:
    app = _opened(LAMP)
    app.radio(key=state.SECTION).set_value("Cells").run()
    rows = (
        "maker,part_number,form,size_code,family,capacity_mah,nominal_v,full_v,cutoff_v\n"
        "Own,A,cylinder,18650,nmc,9900,3.6,4.2,2.5\n"
        "Own,B,cylinder,18650,nmc,2500,3.6,4.2,2.5\n"
        "Own,C,cylinder,18650,nmc,lots,3.6,4.2,2.5\n"
    )
    app.text_area(key=state.CELL_PASTED).set_value(rows).run()
    told = [each.value for each in app.error]
    assert not app.exception
    assert [line.split(",")[0] for line in told] == ["my_cells.csv line 2", "my_cells.csv line 4"]
    good = "\n".join(
        line for line in rows.splitlines() if "9900" not in line and "lots" not in line
    )
    app.text_area(key=state.CELL_PASTED).set_value(good).run()
    next(each for each in app.button if each.label == "Use them in this brief").click().run()
    assert not app.exception
    assert str(_draft(app).brief.cell_table) == "my_cells.csv"
    assert dict(_draft(app).files)["my_cells.csv"] == good.encode()


def test_downloads_of_a_stop_say_so_on_their_first_line() -> None:
    draft = draft_of_brief(brief_from_text(LAMP))
    judged = assessed(draft)
    assert judged.overall == "stop"
    assert verdict_text(judged).splitlines()[0].startswith("STOP: ")
    assert trace_csv(judged).splitlines()[0].startswith("# STOP: ")
    text = result_json(draft, judged)
    assert text.splitlines()[0].startswith('{"first": "STOP: ')
    assert "No fuse" in text.splitlines()[0]
    assert json.loads(text)["schema"] == 1


def test_the_build_sheet_can_be_taken_away_and_is_that_of_the_command_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from packdesign.presentation.cli.main import run

    app = _opened(SPINNER)
    app.radio(key=state.SECTION).set_value("Save").run()
    assert not app.exception
    offered = {each.proto.label: each.proto.url for each in app.get("download_button")}
    assert any(label.startswith("The build sheet (HTML)") for label in offered)
    assert all(offered.values())
    # A page that draws itself anew changes its address, and the browser drops the file.
    assert all(each.proto.ignore_rerun for each in app.get("download_button"))
    draft = _draft(app)
    (tmp_path / "brief.toml").write_text(draft.text)
    out = tmp_path / "sheet.html"
    with pytest.raises(SystemExit, match="1"):
        run(["sheet", str(tmp_path / "brief.toml"), "--out", str(out), "--json"])
    told = json.loads(capsys.readouterr().out)
    sheet = sheet_of(draft, assessed(draft))
    assert out.read_text() == sheet.html
    assert {**sheet_object(sheet), "file": str(out), "kind": "html"} == told


@pytest.mark.parametrize("text", [LAMP, SPINNER])
def test_the_page_and_the_command_line_agree_to_the_last_digit(
    text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from packdesign.presentation.cli.main import run

    draft = draft_of_brief(brief_from_text(text))
    path = tmp_path / "brief.toml"
    path.write_text(draft.text)
    with pytest.raises(SystemExit, match=r"[01]"):
        run(["assess", str(path), "--json"])
    told = json.loads(capsys.readouterr().out)
    judged = assessed(draft)
    shown = json.loads(result_json(draft, judged))
    assert {key: shown[key] for key in told} == told


def test_the_charge_shows_what_feeds_it_and_on_demand_what_other_charges_cost() -> None:
    text = LAMP.replace("series = 1", "series = 2").replace('"90 mm"', '"160 mm"') + (
        '[charger]\nkind = "usb_pd"\nchemistry = "li_ion"\nseries = 2\ncurrent = "1 A"\n'
        'end_current = "0.1 A"\nbalance_current = "60 mA"\nsupply_power = "27 W"\n'
        'built_in = true\nwhile_running = "never"\n'
    )
    app = _opened(text)
    app.radio(key=state.SECTION).set_value("Charge").run()
    assert not app.exception
    assert "USB: 9 V" in " ".join(each.value for each in app.markdown)
    assert "load locked out" in _html(app)
    assert "Faster and gentler charges" not in _html(app)
    app.toggle(key=state.CHARGE_STUDY).set_value(True).run()
    assert not app.exception
    html = _html(app)
    assert "lower voltage" in html
    assert "Pins of the balance connector" in html
    assert "Without balancing, after 50 charges" in " ".join(each.value for each in app.markdown)


@pytest.mark.parametrize(
    ("cell", "offered"),
    [("Samsung SDI INR18650-25R", False), ("LG Energy Solution INR21700-M50", True)],
)
def test_a_particle_model_is_offered_where_a_set_is_published(cell: str, offered: bool) -> None:
    app = _opened(LAMP.replace("Samsung SDI INR18650-25R", cell))
    app.radio(key=state.SECTION).set_value("Discharge").run()
    labels = [each.label for each in app.button]
    assert any(label.startswith("Check it with the full engine") for label in labels)
    assert any(label.startswith("Ask a particle model") for label in labels) is offered
