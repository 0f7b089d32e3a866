"""What used to pass: a hot day beyond the cells, a charge cut short, an early stop, a bare fuse."""

from __future__ import annotations

from pathlib import Path

import pytest

import packdesign
from packdesign.planning.assess.service import assess
from packdesign.planning.brief.load import brief_from_text
from packdesign.planning.verdicts.verdict import Status, Verdict

ROVER = Path(packdesign.__file__).parent / "planning" / "brief" / "examples" / "rover.toml"
LOADS = [{"name": "lamp", "watts": 20}]
PACK = {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1}


def rover(*changes: tuple[str, str]) -> dict[str, Verdict]:
    text = ROVER.read_text(encoding="utf-8")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return {each.id: each for each in assess(brief_from_text(text)).judged}


def test_a_day_hotter_than_the_cells_bear_stops(judged) -> None:
    """25R discharge up to 75 degC; the usual day is fine."""
    around = {"ambient": "25 degC"}
    fine = judged(
        pack=PACK,
        loads=LOADS,
        surroundings={**around, "ambient_max": "40 degC"},
    )
    assert fine["cell_temperature"].status is Status.OK
    hot = judged(
        pack=PACK,
        loads=LOADS,
        surroundings={**around, "ambient_max": "80 degC"},
    )
    assert hot["cell_temperature"].status is Status.STOP


@pytest.mark.parametrize(("watts", "is_said"), [(70, False), (80, True), (150, True)])
def test_a_fuse_known_by_its_rating_alone_is_unknown_above_it(judged, watts, is_said) -> None:
    """80 W are 7.4 A at the nominal 10.8 V, but over 10 A from the empty pack at 7.5 V."""
    bursts = [{"name": "lamp", "watts": watts}]
    found = judged(pack={**PACK, "fuse": {"rating": "10 A"}}, loads=bursts)
    assert ("fuse_overload" in found) is is_said
    if is_said:
        assert found["fuse_overload"].status is Status.UNKNOWN


@pytest.mark.slow
def test_a_run_is_counted_until_the_device_stops_by_itself() -> None:
    """A stop at 3.6 V a cell leaves two fifths of the charge: 2.5 h of 4, where 3.5 are asked."""
    levels = (
        ('warn_per_cell = "3.4 V"', 'warn_per_cell = "3.8 V"'),
        ('limit_per_cell = "3.2 V"', 'limit_per_cell = "3.7 V"'),
        ('stop_per_cell = "3.0 V"', 'stop_per_cell = "3.6 V"'),
    )
    wish = ('run_time = "2 h"', 'run_time = "3.5 h"')
    assert rover(wish)["run_time"].status is Status.OK
    early = rover(wish, *levels)["run_time"]
    assert early.value == pytest.approx(2.5 * 3600, rel=0.1)
    assert early.status is not Status.OK
    assert "stops by itself" in early.reason


@pytest.mark.slow
def test_a_charge_that_heat_cuts_short_stops() -> None:
    """44 degC of air, 2 A and no limit at the charger: the cells reach their 45 degC at once."""
    hot = (
        ('ambient = "21 degC"', 'ambient = "44 degC"'),
        ('ambient_max = "30 degC"', 'ambient_max = "44.5 degC"'),
        ('temperature_min = "10 degC"\ntemperature_max = "35 degC"\n', ""),
        ('current = "1 A"\nend_voltage', 'current = "2 A"\nend_voltage'),
    )
    assert "charge_ends" not in rover()
    found = rover(*hot)["charge_ends"]
    assert found.status is Status.STOP
    assert "cell temperature limit" in found.reason


def test_cells_side_by_side_across_a_long_box_are_judged(judged) -> None:
    """Six of 21.5 mm next to each other, in a box of 80 by 25 mm: more than its section holds."""
    found = judged(
        pack={"cell": "Molicel INR-21700-P50B", "series": 6, "parallel": 1},
        loads=[{"name": "x", "watts": 5}],
        cavity={"shape": "box", "length": "150 mm", "width": "80 mm", "height": "25 mm"},
    )
    assert found["cell_temperature"].value is not None


def test_a_grip_too_hot_on_the_hottest_day_stops_like_the_danger_of_it(judged) -> None:
    """Plastic held for over ten minutes is too hot above 43 degC; the usual day is fine."""
    around = {"ambient": "25 degC", "hand_held": True}
    tube = {"shape": "tube", "bore": "25 mm", "length": "230 mm"}
    fine, hot = (
        judged(
            pack=PACK,
            cavity=tube,
            loads=[{"name": "lamp", "watts": 5}],
            surroundings={**around, "ambient_max": day},
        )["surface_temperature"]
        for day in ("30 degC", "47 degC")
    )
    assert fine.status is Status.OK
    assert hot.status is Status.STOP
    assert hot.value > hot.limit  # the likely figure of that day, which makes it a stop
    assert hot.margin == pytest.approx((hot.limit - hot.value) / hot.limit)
    assert "hottest day" in hot.reason
