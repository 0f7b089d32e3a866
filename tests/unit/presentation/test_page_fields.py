"""Fields drawn from the schema: what each key is, and what stands in it."""

from __future__ import annotations

import pytest

from packdesign.foundation.errors import UnknownNameError
from packdesign.planning.brief.examples import example_text
from packdesign.planning.brief.load import brief_from_text
from packdesign.planning.brief.place_sections import Cavity
from packdesign.presentation.page.form.key_description import (
    describe,
    plain_keys,
    shown_value,
    value_at,
)


def test_a_quantity_says_its_unit() -> None:
    found = describe("motor.drive.ramp_up")
    assert found.quantity is not None
    assert (found.quantity.unit, found.stored_unit, found.may_be_unknown) == ("s", "s", True)


def test_a_choice_says_its_words() -> None:
    assert describe("cavity.closure").choices == ("open", "vented", "sealed")
    assert describe("preferences.forms").choices == ("cylinder", "pouch", "prism")


def test_kinds_are_told_apart() -> None:
    assert describe("pack.series").kind is int
    assert describe("surroundings.hand_held").kind is bool
    assert describe("loads.0.name").kind is str
    assert describe("motor.gear_ratio").kind is float


def test_an_unknown_key_is_told() -> None:
    with pytest.raises(UnknownNameError, match="no key named 'bored'"):
        describe("cavity.bored")
    with pytest.raises(UnknownNameError, match="no section named 'cavern'"):
        describe("cavern.bore")


def test_a_value_is_found_by_its_path() -> None:
    brief = brief_from_text(example_text("soil_corer"))
    assert value_at(brief, "cavity.bore") == pytest.approx(0.046)
    assert value_at(brief, "mission.actions.1.do") == "hold"
    assert value_at(brief, "preferences.series_min") is None


def test_a_shown_value_has_no_tail() -> None:
    assert shown_value(0.0025, stored_unit="m", unit="mm") == 2.5
    assert shown_value(0.0254, stored_unit="m", unit="inch") == 1.0
    assert shown_value(20.0, stored_unit="degC", unit="degF") == 68.0


def test_every_plain_key_of_a_section_can_be_drawn() -> None:
    keys = plain_keys(Cavity)
    assert "bore" in keys
    assert "reserved" not in keys
    assert all(describe(f"cavity.{key}").path for key in keys)
