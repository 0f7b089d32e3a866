"""The page in Chromium: what a person can do with it, and what it never does.

Needs Chromium and Playwright; skipped with a reason where either is missing. Every request that
leaves this machine is refused and fails the test.
"""

from __future__ import annotations

import importlib.util
import json
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from packdesign.planning.brief.load import brief_from_text
from packdesign.presentation.page.draft import draft_of_brief, packed
from tests.briefs import LAMP
from tests.journeys.served_page import PROJECT, chromium, chromium_path, served

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

ARTEFACTS = PROJECT / "artefacts"

pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(
        importlib.util.find_spec("playwright") is None, reason="Playwright is not installed"
    ),
    pytest.mark.skipif(chromium_path() is None, reason="no Chromium on this machine"),
]

SECTIONS = (
    "Checks", "Layout", "Discharge", "Start", "Heat", "Losses", "Charge", "Thresholds", "Years",
    "What if", "Log", "Save", "Shortlist", "Cells",
)  # fmt: skip
QUIET = (
    "document.querySelector('.stApp[data-test-script-state=\"notRunning\"]')"
    " && !document.querySelector('[data-testid=\"stSpinner\"]')"
    " && (document.querySelector('dl.pd-settled') || document.querySelector('.stAlert'))"
)


@pytest.fixture(scope="module")
def server() -> Iterator[str]:
    """Serve the page from a folder without its settings."""
    with served(PROJECT / "tests") as address:
        yield address


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with chromium() as found:
        yield found


class Visitor:
    """One person with a browser of their own; nothing leaves this machine unseen."""

    def __init__(self, browser: Browser, server: str, *, width: int = 1280) -> None:
        self.server = server
        self.left: list[str] = []
        self.context = browser.new_context(
            viewport={"width": width, "height": 900}, accept_downloads=True
        )
        self.context.route("**/*", self._only_here)
        self.page: Page = self.context.new_page()

    def _only_here(self, route: Any) -> None:
        if route.request.url.startswith((self.server, "data:", "blob:")):
            route.continue_()
        else:
            self.left.append(route.request.url)
            route.abort()

    def opens(self, text: str | None = None) -> Page:
        word = "" if text is None else f"/?brief={packed(draft_of_brief(brief_from_text(text)))}"
        self.page.goto(self.server + word)
        return self.waits()

    def waits(self) -> Page:
        self.page.wait_for_timeout(100)
        self.page.wait_for_function(QUIET, timeout=60_000)
        return self.page

    def types(self, label: str, value: str) -> None:
        """Fill a field, leave it, and wait until the address holds what was typed."""
        before = self.page.url
        _number(self.page, label).fill(value)
        self.page.keyboard.press("Tab")
        self.page.wait_for_function("before => location.href !== before", arg=before)
        self.waits()

    def looks_at(self, section: str) -> Page:
        group = self.page.get_by_role("radiogroup", name="Look at")
        group.get_by_text(section, exact=True).click()
        return self.waits()

    def reload(self) -> Page:
        self.page.reload()
        return self.waits()

    def save(self, name: str) -> bytes:
        with self.page.expect_download() as got:
            self.page.get_by_role("button", name=name, exact=True).click()
        return Path(got.value.path()).read_bytes()


def _number(page: Page, label: str) -> Any:
    return page.get_by_role("spinbutton", name=label, exact=True)


def _shows(field: Any, value: str) -> None:
    """Hold a field to its value; it is filled a moment after it is drawn."""
    from playwright.sync_api import expect

    expect(field).to_have_value(value)


@pytest.fixture
def visitor(browser: Browser, server: str) -> Iterator[Visitor]:
    found = Visitor(browser, server)
    yield found
    left = list(found.left)
    found.context.close()
    assert left == []


def test_a_fresh_visitor_goes_from_an_example_to_brief_and_results(visitor: Visitor) -> None:
    page = visitor.opens()
    assert page.title() == "packdesign"
    assert page.get_by_role("heading", level=1).inner_text() == "Lithium pack for the soil corer"
    visitor.types("Inner diameter [mm]", "48")
    visitor.looks_at("Save")
    brief = visitor.save("The brief (TOML), for the command line")
    assert tomllib.loads(brief.decode())["cavity"]["bore"] == "48 mm"
    result = visitor.save("The judged pack (JSON)").decode()
    assert result.splitlines()[0].startswith('{"first": "')
    assert json.loads(result)["pack"]["cell"] == "Samsung SDI INR18650-25R"
    assert b"time_s,current_a,voltage_v" in visitor.save("The discharge over time (CSV)")


def test_a_bad_upload_gives_one_message_and_takes_nothing(visitor: Visitor, tmp_path: Path) -> None:
    page = visitor.opens(LAMP)
    bad = tmp_path / "bad.toml"
    bad.write_text('[cavity]\nboer = "46 mm"\n')
    page.get_by_text("Start, open, save").click()
    page.locator('input[type="file"]').first.set_input_files(bad)
    page.get_by_text("there is no key 'boer' here; nearest: bore").wait_for()
    visitor.waits()
    assert page.get_by_text("Traceback").count() == 0
    assert "lamp on a stick" in page.get_by_role("heading", level=1).inner_text()


def test_what_was_typed_is_there_after_a_reload(visitor: Visitor) -> None:
    page = visitor.opens(LAMP)
    visitor.types("Thickness of its wall [mm]", "2.5")
    page = visitor.reload()
    _shows(_number(page, "Thickness of its wall [mm]"), "2.5")
    visitor.types("Thickness of its wall [mm]", "")
    page = visitor.reload()
    _shows(_number(page, "Thickness of its wall [mm]"), "")


def test_two_browsers_do_not_disturb_each_other(
    visitor: Visitor, browser: Browser, server: str
) -> None:
    other = Visitor(browser, server)
    visitor.opens(LAMP)
    second = other.opens(LAMP.replace("lamp on a stick", "other lamp").replace("30 mm", "40 mm"))
    visitor.types("Inner diameter [mm]", "33")
    _shows(_number(visitor.reload(), "Inner diameter [mm]"), "33")
    _shows(_number(other.reload(), "Inner diameter [mm]"), "40")
    assert "other lamp" in second.get_by_role("heading", level=1).inner_text()
    other.context.close()


def test_a_slider_moves_by_the_keyboard_and_the_answer_follows(visitor: Visitor) -> None:
    page = visitor.opens(LAMP)
    page.get_by_role("radiogroup", name="Where you are").get_by_text("5 The pack").click()
    visitor.waits()
    before = page.locator(".pd-numbers dd").first.inner_text()
    page.get_by_role("slider", name="Cells in parallel").press("ArrowRight")
    page.wait_for_function(
        """before => document.querySelector('dl.pd-unsettled dd')
            && document.querySelector('dl.pd-unsettled dd').innerText !== before""",
        arg=before,
        polling=10,
    )
    first = page.locator(".pd-numbers dd").first.inner_text()
    page.locator("dl.pd-settled").wait_for()
    assert page.locator(".pd-numbers dd").first.inner_text() == first
    assert "2 in parallel" in page.get_by_role("status").first.inner_text()


def test_a_change_shows_the_likely_curve_before_the_range(visitor: Visitor) -> None:
    page = visitor.opens(LAMP)
    visitor.looks_at("Discharge")
    page.locator("text='range, 5 to 95 %' >> visible=true").wait_for()
    _number(page, "Inner diameter [mm]").fill("37.4")
    page.keyboard.press("Tab")
    page.wait_for_selector("p.pd-unsettled")
    assert "Before your last change" in page.get_by_role("status").first.inner_text()
    page.locator("p.pd-settled").wait_for()
    page.locator("text='range, 5 to 95 %' >> visible=true").wait_for()
    assert "Before your last change" not in page.get_by_role("status").first.inner_text()


def test_the_full_engine_runs_beside_and_can_be_ended(visitor: Visitor) -> None:
    page = visitor.opens(LAMP)
    visitor.looks_at("Discharge")
    start = page.get_by_role("button", name="Check it with the full engine (PyBaMM)")
    start.click()
    page.get_by_role("button", name="End it").click(timeout=20_000)
    page.get_by_text("No result: you ended it").wait_for()
    start.click()
    page.get_by_role("columnheader", name="full engine (PyBaMM)").wait_for(timeout=60_000)
    assert page.get_by_text("No result: ").all_inner_texts() == []


def test_a_stop_is_named_before_the_numbers_on_a_phone(browser: Browser, server: str) -> None:
    phone = Visitor(browser, server, width=390)
    page = phone.opens(LAMP)
    stop = page.locator(".pd-block.pd-stop").first.bounding_box()
    numbers = page.locator(".pd-numbers").bounding_box()
    assert stop is not None
    assert numbers is not None
    assert stop["y"] < numbers["y"]
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.get_by_test_id("stExpandSidebarButton").click()
    phone.types("Inner diameter [mm]", "31")
    assert phone.left == []
    phone.context.close()


CUT_OFF = """() => [...document.querySelectorAll('.stMain pre, .stMain pre *, .stMain table')]
    .filter(each => each.getBoundingClientRect().right > window.innerWidth)
    .map(each => each.innerText.slice(0, 40))"""
"""Text and tables that stand out of the window at the right, whether they scroll or not."""


@pytest.mark.parametrize("width", [1280, 390])
def test_every_section_is_drawn_without_error(browser: Browser, server: str, width: int) -> None:
    ARTEFACTS.mkdir(exist_ok=True)
    person = Visitor(browser, server, width=width)
    page = person.opens()
    for section in SECTIONS:
        person.looks_at(section)
        assert page.locator(".stException").count() == 0, section
        wide = page.evaluate("document.querySelector('.stMain').scrollWidth")
        assert wide <= page.evaluate("document.querySelector('.stMain').clientWidth"), section
        assert page.evaluate(CUT_OFF) == [], section
        height = page.evaluate("document.querySelector('.stMain').scrollHeight")
        page.set_viewport_size({"width": width, "height": min(max(height, 900), 5000)})
        page.wait_for_timeout(150)
        page.screenshot(path=ARTEFACTS / f"page-{width}-{section.replace(' ', '-').lower()}.png")
        page.set_viewport_size({"width": width, "height": 900})
    assert person.left == []
    person.context.close()


def test_nothing_grave_stands_in_the_way_of_a_screen_reader(visitor: Visitor) -> None:
    axe = pytest.importorskip(
        "axe_playwright_python.sync_playwright", reason="axe-playwright-python is not installed"
    )
    page = visitor.opens(LAMP)
    grave: dict[str, list[str]] = {}
    for section in ("Checks", "Layout", "Discharge", "Charge", "What if", "Save", "Cells"):
        visitor.looks_at(section)
        found = axe.Axe().run(page).response
        assert len(found["passes"]) > 10
        for each in found["violations"]:
            if each["impact"] in ("serious", "critical"):
                grave[f"{section}: {each['id']}"] = [node["html"][:160] for node in each["nodes"]]
    assert grave == {}
