"""The sections by the words a builder chooses them with."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from packdesign.planning.assess.record import Assessment
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.sections import checks, discharge, layout

__all__ = ["SECTIONS", "Render"]

Render = Callable[[Draft, Assessment], None]

SECTIONS: Final[dict[str, Render]] = {
    "Checks": checks.render,
    "Layout": layout.render,
    "Discharge": discharge.render,
}
"""Sections that show a judged pack."""
