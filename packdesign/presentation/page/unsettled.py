"""What stands on the page between a change and its whole answer, marked as not settled.

The likely run comes at once: numbers and curves follow a slider. Dangers and verdict stay those of
before, and say so, until ranges, checks and charge are worked out beside; then the page is drawn
again with everything, to the last digit what the command line gives.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Final

from packdesign.foundation.errors import PackDesignError
from packdesign.planning.assess.likely import LikelyRun
from packdesign.presentation.page import answer, cached, state
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.sections import discharge, heat

__all__ = ["LIKELY_SECTIONS", "NEVER_OLD", "draw_unsettled", "settle"]

LIKELY_SECTIONS: Final[dict[str, Callable[[LikelyRun], None]]] = {
    "Discharge": discharge.render_likely,
    "Heat": heat.render_likely,
}
"""Sections that have something to show of the likely run alone."""
NEVER_OLD: Final = ("Save",)
"""Sections that must not stay on the screen as they were: nothing old can be taken away."""

_CALM_S: Final = 0.1
"""Nothing heavy begins while a slider still moves."""
_LOOK_S: Final = 0.02
_SAY_S: Final = 1.0
"""Work that takes longer than this is counted on the screen."""


def draw_unsettled(draft: Draft) -> LikelyRun | None:
    """Draw the likely numbers, and above them what was known before; None where there are none.

    Parameters
    ----------
    draft : Draft
        What the builder is working on.
    """
    import streamlit as st

    try:
        run = cached.likely(draft)
    except PackDesignError as error:
        st.error(f"It cannot be worked out yet: {error}")
        return None
    before = state.last_judged()
    if before is None:
        answer.draw_dangers(cached.hazards_of(draft))
        answer.draw_verdict_to_come()
    else:
        answer.draw_dangers(before.dangers, before.cautions)
        answer.draw_verdict(before, is_of_before=True)
    answer.draw_likely_numbers(run)
    return run


def settle(draft: Draft) -> None:
    """Wait until the whole answer is there, then draw the page again; a new change ends the wait.

    Parameters
    ----------
    draft : Draft
        What the builder is working on.
    """
    import streamlit as st

    began_s, told_s = time.monotonic(), 0.0
    slot = st.empty()
    waits_for = state.wait_for(draft)
    while not cached.is_assessed(draft):
        passed_s = time.monotonic() - began_s
        if passed_s > _CALM_S:
            cached.begin_assessing(draft, instead_of=waits_for)
        if passed_s > told_s + _SAY_S:
            told_s = passed_s
            slot.caption(f"Ranges, checks and charge: {passed_s:.0f} s so far")
        time.sleep(_LOOK_S)
        state.draft()  # Streamlit ends the run here if something was changed
    st.rerun()
