"""One judged pack for every test of the sheet: judging takes longer than writing."""

from __future__ import annotations

import datetime
from collections.abc import Callable

import pytest

from packdesign.planning.assess.service import assess
from packdesign.planning.brief.load import brief_from_text
from packdesign.presentation.sheet.service import BuildSheet, build_sheet

MADE_ON = datetime.date(2026, 11, 25)


@pytest.fixture(scope="session")
def sheet_of() -> Callable[[str], BuildSheet]:
    """Write the sheet of a brief; one judged already is not judged again."""
    done: dict[str, BuildSheet] = {}

    def make(text: str) -> BuildSheet:
        if text not in done:
            done[text] = build_sheet(assess(brief_from_text(text)), made_on=MADE_ON)
        return done[text]

    return make
