"""Tables of figures in the README of the discharge, and how fresh ones are held against them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import packdesign

README = Path(packdesign.__file__).parent / "engineering" / "discharge" / "README.md"
REFIT_HEADER = "| re-fitted on | set | RMS mV | rise K |"
RULE = re.compile(r"\|(-+\|)+")
NUMBER = re.compile(r"(?<![\w.])-?\d+\.\d+")


def shown_tables(page: Path = README) -> list[list[str]]:
    """Every table of a page, each line by line from its header; a rule follows a header."""
    lines = [line for line in page.read_text(encoding="utf-8").splitlines() if line.startswith("|")]
    starts = [at - 1 for at, line in enumerate(lines) if RULE.fullmatch(line)]
    ends = [*starts[1:], len(lines)]
    return [lines[start:end] for start, end in zip(starts, ends, strict=True)]


def cell_text(value: float | None) -> str:
    """Write a figure as the tables show it; blank where there is none."""
    return "" if value is None else f"{value:.1f}"


def assert_same_figures(shown: list[str], fresh: list[str]) -> None:
    """Hold a table to what is computed, word by word and number by number."""
    print("\n".join(fresh))
    assert len(shown) == len(fresh)
    for line, wanted_line in zip(shown, fresh, strict=True):
        assert NUMBER.sub("#", line) == NUMBER.sub("#", wanted_line)
        found = [float(each) for each in NUMBER.findall(line)]
        wanted = [float(each) for each in NUMBER.findall(wanted_line)]
        # rounding to 0.1, and a few tenths more where another numpy draws or sums differently
        assert found == pytest.approx(wanted, abs=0.3, rel=0.01), line
