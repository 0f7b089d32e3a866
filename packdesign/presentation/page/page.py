"""The page as a whole: the form at the side, dangers, answer and one section in the middle."""

from __future__ import annotations

from typing import Final

from packdesign.foundation.errors import PackDesignError
from packdesign.planning.assess.likely import LikelyRun
from packdesign.planning.assess.record import Assessment
from packdesign.presentation.page import answer, cached, state
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.form.steps import draw_steps
from packdesign.presentation.page.look import draw_look
from packdesign.presentation.page.opening import draw_opening, first_draft
from packdesign.presentation.page.sections.registry import OPEN_SECTIONS, SECTIONS
from packdesign.presentation.page.unsettled import (
    LIKELY_SECTIONS,
    NEVER_OLD,
    draw_unsettled,
    settle,
)

__all__ = ["run"]

_TITLE: Final = "Lithium pack"
_SIDE_PX: Final = 350
_WHERE_THE_FORM_IS: Final = "What you know of your device goes in behind the arrow at the top left."
_KEPT: Final = {
    state.Kept.WHOLE: "",
    state.Kept.HERE: (
        "The files of this brief are too large for the address. A reload shows them again as long "
        "as this program runs; after that, or on another computer, the page asks for them. Save "
        "the brief and its files before you leave."
    ),
    state.Kept.TEXT: (
        "The files of this brief are too large to be kept: after a reload the page asks for them "
        "again. Save the brief and its files before you leave."
    ),
}
"""What is told of a brief that does not go into the address whole."""
_ICON: Final = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 16 16"><path fill="none" '
    'stroke="#1f4a6b" stroke-width="2" d="M1 4h12v8H1zM13 6h2v4h-2M4 8h4M6 6v4"/></svg>'
)
"""Drawn here: the named icons of Streamlit are fetched from elsewhere."""


def run() -> None:
    """Draw the page once; Streamlit calls it again after every change."""
    import streamlit as st

    st.set_page_config(
        page_title="packdesign", page_icon=_ICON, layout="wide", initial_sidebar_state=_SIDE_PX
    )
    draw_look()
    state.begin(first_draft)
    with st.sidebar:
        st.header("Your device")
        draw_opening()
        draw_steps()
    st.title(_title(state.draft()))
    st.html(f'<p class="pd-phone pd-plain">{_WHERE_THE_FORM_IS}</p>')
    told = _KEPT[state.remember()]
    if told:
        st.warning(told)
    _draw_answer(state.draft())


def _title(draft: Draft) -> str:
    name = draft.brief.title
    return f"{_TITLE} for the {name}" if name else f"{_TITLE} for your device"


def _draw_answer(draft: Draft) -> None:
    answer.draw_advice()
    pack = draft.brief.pack
    if pack is None or pack.cell is None:
        _draw_without_pack(draft)
        _draw_section(draft)
    elif cached.is_assessed(draft):
        _draw_section(draft, judged=_draw_judged(draft))
    else:
        run = draw_unsettled(draft)
        _draw_section(draft, run=run)
        if run is not None:
            settle(draft)


def _draw_judged(draft: Draft) -> Assessment | None:
    """Draw dangers, verdict and numbers; None where the brief cannot be worked out."""
    import streamlit as st

    try:
        judged = cached.assessed(draft)
    except PackDesignError as error:
        st.error(f"It cannot be worked out yet: {error}")
        return None
    state.keep_judged(judged)
    answer.draw_dangers(judged.dangers, judged.cautions)
    answer.draw_verdict(judged)
    answer.draw_numbers(judged)
    return judged


def _draw_without_pack(draft: Draft) -> None:
    import streamlit as st

    try:
        hazards = cached.hazards_of(draft)
    except PackDesignError as error:
        st.error(f"It cannot be worked out yet: {error}")
        return
    answer.draw_dangers(hazards)
    st.info("No cell is chosen yet. Choose one in step 5, or let the shortlist find packs that "
            "fit and pass.")  # fmt: skip


def _draw_section(
    draft: Draft, *, judged: Assessment | None = None, run: LikelyRun | None = None
) -> None:
    """Draw the chosen section: of the judged pack, or what the likely run has for it so far.

    Other sections stay on the screen, dimmed, until the whole answer is there.
    """
    import streamlit as st

    has_pack = judged is not None or run is not None
    names = [*(SECTIONS if has_pack else ()), *OPEN_SECTIONS]
    section = st.radio("Look at", names, key=state.SECTION, horizontal=True) or names[0]
    is_old = judged is None and section in SECTIONS and section not in LIKELY_SECTIONS
    if is_old and (section in NEVER_OLD or state.last_judged() is None):
        st.empty().write("This follows in a moment.")
        return
    try:
        with st.container():
            if section in OPEN_SECTIONS:
                OPEN_SECTIONS[section](draft)
            elif judged is not None:
                SECTIONS[section](draft, judged)
            elif run is not None and section in LIKELY_SECTIONS:
                LIKELY_SECTIONS[section](run)
    except PackDesignError as error:
        st.error(str(error))
