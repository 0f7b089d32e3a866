"""The charts of a run: with and without lines across them, and no words over other words."""

from __future__ import annotations

import numpy as np
import pytest

from packdesign.engineering.discharge.run import EndReason, Trace
from packdesign.presentation.page.charts.run import run_chart, temperature_chart

TIME_S = np.linspace(0.0, 600.0, 50)
TRACE = Trace(
    time_s=TIME_S,
    current_a=np.full(50, 2.0),
    voltage_v=np.linspace(12.0, 9.0, 50),
    soc=np.linspace(1.0, 0.0, 50),
    cell_degc=np.linspace(20.0, 30.0, 50),
    surface_degc=np.linspace(20.0, 25.0, 50),
    ends_by=EndReason.CUTOFF,
)


def test_a_current_that_jumps_is_drawn_in_steps() -> None:
    """2000 short uses with rests, some of them long: more points than are drawn."""
    ends_s = np.cumsum(np.where(np.arange(4000) % 50, 0.5, 300.0))
    time_s = np.repeat(np.concatenate([[0.0], ends_s]), 2)[1:-1]
    current_a = np.repeat(np.arange(4000) % 2 * 5.0, 2)
    level = np.full(len(time_s), 20.0)
    trace = Trace(
        time_s=time_s, current_a=current_a, voltage_v=12.0 - current_a / 10, soc=level / 40,
        cell_degc=level, surface_degc=level, ends_by=EndReason.CUTOFF,
    )  # fmt: skip
    drawn = next(each for each in run_chart(trace, None, [])["data"] if each["name"] == "current")
    assert len(drawn["x"]) < len(time_s)
    # a long rest is wider than a column of time: a slope there would be seen
    sloped = (np.diff(drawn["x"]) * 60.0 > 50.0) & (np.diff(drawn["y"]) != 0)
    assert not np.any(sloped)


@pytest.mark.parametrize("levels", [[], [("one", 10.0)], [("one", 10.0), ("two", 11.0)]])
def test_each_level_is_one_line_with_its_words(levels: list[tuple[str, float]]) -> None:
    for layout in (
        run_chart(TRACE, None, levels)["layout"],
        temperature_chart(TRACE, [(words, level + 15.0) for words, level in levels])["layout"],
    ):
        assert len(layout.get("shapes", ())) == len(levels)
        assert [each["text"] for each in layout.get("annotations", ())] == [
            words for words, _ in levels
        ]


def test_words_of_two_close_levels_stand_on_either_side() -> None:
    found = temperature_chart(TRACE, [("upper", 50.0), ("lower", 49.0)])["layout"]["annotations"]
    assert {each["text"]: each["yanchor"] for each in found} == {"lower": "top", "upper": "bottom"}
