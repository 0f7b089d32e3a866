"""Commands that judge a part of a design: what they say must not be taken for the whole."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from packdesign.planning.brief.examples import example_text
from tests.conftest import Ran

Run = Callable[..., Ran]
WHOLE = "VERDICT ON THE WHOLE"
PART = "VERDICT ON WHAT THIS COMMAND CHECKS"


@pytest.fixture
def stopped(tmp_path: Path) -> Path:
    """Give a brief that is stopped for one thing only: a fuse that a start would blow."""
    text = example_text("soil_corer")
    brief = tmp_path / "stopped.toml"
    written = 'rating = "15 A"'
    assert text.count(written) == 1
    brief.write_text(text.replace(written, 'rating = "2 A"'))
    return brief


@pytest.mark.slow
def test_what_assess_stops_no_part_calls_fine_as_a_whole(packdesign: Run, stopped: Path) -> None:
    whole = packdesign("assess", stopped)
    assert whole.status == 1
    assert f"{WHOLE}\n!! STOP" in whole.out
    passed = 0
    for command in ("layout", "keep", "gauge", "charge", "discharge"):
        ran = packdesign(command, stopped)
        assert WHOLE not in ran.out, command
        said = ran.out.partition(f"{PART}\n")[2].partition("\n\n")[0]
        assert "nothing was found against it" not in said, command
        assert "'packdesign assess'" in said, command
        passed += ran.status == 0
    assert passed, "at least one part has nothing to say against it: the words matter there"


def test_counts_are_named_for_what_they_are(packdesign: Run, tmp_path: Path) -> None:
    """The driver of an ESP32 gives millivolts, an AVR counts of its converter."""
    text = example_text("rover")
    assert 'controller = "ATmega328P/PB"' in text
    brief = tmp_path / "rover.toml"
    for controller, unit in (
        ("ESP32", "millivolt at the pin;"),
        ("ATmega328P/PB", "step of the converter;"),
    ):
        brief.write_text(text.replace("ATmega328P/PB", controller))
        told = " ".join(packdesign("gauge", brief).out.split())
        assert f"on {controller}; a count is a {unit}" in told
