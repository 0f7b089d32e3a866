"""The sections by the words a builder chooses them with."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from packdesign.planning.assess.record import Assessment
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.sections import (
    charge,
    checks,
    discharge,
    gauge,
    heat,
    layout,
    log,
    losses,
    save,
    startup,
    whatif,
    years,
)
from packdesign.presentation.page.sections.cells import draw_cells
from packdesign.presentation.page.sections.shortlist import draw_shortlist

__all__ = ["OPEN_SECTIONS", "SECTIONS", "OpenRender", "Render"]

Render = Callable[[Draft, Assessment], None]
OpenRender = Callable[[Draft], None]

SECTIONS: Final[dict[str, Render]] = {
    "Checks": checks.render,
    "Layout": layout.render,
    "Discharge": discharge.render,
    "Start": startup.render,
    "Heat": heat.render,
    "Losses": losses.render,
    "Charge": charge.render,
    "Thresholds": gauge.render,
    "Years": years.render,
    "What if": whatif.render,
    "Log": log.render,
    "Save": save.render,
}
"""Sections that show a judged pack."""

OPEN_SECTIONS: Final[dict[str, OpenRender]] = {
    "Shortlist": draw_shortlist,
    "Cells": draw_cells,
}
"""Sections that need no pack."""
