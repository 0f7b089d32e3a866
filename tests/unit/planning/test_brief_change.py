"""Changing a few keys of a brief."""

from __future__ import annotations

import pytest

from packdesign.foundation.errors import BriefError
from packdesign.planning.brief.change import changed_brief
from packdesign.planning.brief.examples import example_names, example_text
from packdesign.planning.brief.load import brief_from_mapping, brief_from_text
from packdesign.planning.brief.schema import Brief


@pytest.fixture(scope="module")
def corer() -> Brief:
    return brief_from_text(example_text("soil_corer"))


@pytest.mark.parametrize("name", example_names())
def test_no_change_gives_the_same_brief(name: str) -> None:
    brief = brief_from_text(example_text(name))
    assert changed_brief(brief, {}) == brief
    assert brief_from_mapping(brief.model_dump()) == brief


@pytest.mark.parametrize("key", ["cavity.bore", "cavity.bore_m", "cavity.bore_mm"])
def test_a_key_is_changed_however_its_unit_is_written(corer: Brief, key: str) -> None:
    value = {"cavity.bore": "48 mm", "cavity.bore_m": 0.048, "cavity.bore_mm": 48}[key]
    changed = changed_brief(corer, {key: value})
    assert changed.cavity is not None
    assert changed.cavity.bore_m == pytest.approx(0.048, rel=1e-12)
    assert corer.cavity is not None
    assert corer.cavity.bore_m == 0.046


def test_several_changes_reach_into_lists_and_missing_sections(corer: Brief) -> None:
    changed = changed_brief(
        corer,
        {
            "loads.0.watts": 0.8,
            "mission.actions.1.seconds": 9,
            "motor.drive.ramp_up": "0.5 s",
            "preferences.weights.mass": 4.0,
            "pack.cell": None,
        },
    )
    assert changed.loads[0].power_w == 0.8
    assert changed.mission is not None
    assert changed.mission.actions[1].duration_s == 9
    assert changed.motor is not None
    assert changed.motor.drive is not None
    assert changed.motor.drive.ramp_up_s == 0.5
    assert changed.preferences is not None
    assert changed.preferences.weights is not None
    assert changed.preferences.weights.mass == 4.0
    assert changed.pack is not None
    assert changed.pack.cell is None


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"cavity.boer": 3}, r"\[cavity\]: there is no key 'boer' here; nearest: bore"),
        ({"motor.ramp": "1 s"}, "'ramp' here; nearest: drive.ramp_up"),
        ({"ramp_up": "1 s"}, "'ramp_up' here; nearest: motor.drive.ramp_up"),
        ({"cavty.bore": 3}, "there is no key 'cavty' here; nearest: cavity"),
        ({"loads.3.watts": 3}, "loads.3.watts names number '3' of 1 tables; they count from 0"),
        ({"loads.first.watts": 3}, "names number 'first' of 1 tables"),
        ({"loads.watts": 3}, "loads.watts does not lead to a key; number the table"),
        ({"title.x": 3}, "title.x does not lead to a key"),
        ({"cavity.bore": "-4 mm"}, "bore is '-4 mm'; allowed: 3 to 2000 mm"),
        ({"motor.drive.ramp_up_s": 5}, "ramp_up of motor 'corer' takes 5 s, longer than"),
    ],
)
def test_a_change_that_cannot_be_is_refused(
    corer: Brief, changes: dict[str, object], message: str
) -> None:
    with pytest.raises(BriefError, match=message):
        changed_brief(corer, changes)
