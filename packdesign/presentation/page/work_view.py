"""The button that starts long work, its progress with a way to end it, and its result."""

from __future__ import annotations

from typing import Any, Final

from packdesign.presentation.page import state
from packdesign.presentation.page.background import BackgroundWork
from packdesign.presentation.page.draft import Draft

__all__ = ["draw_work", "result_of"]

_POLL_S: Final = 0.5


def result_of(job: str, draft: Draft) -> dict[str, Any] | None:
    """Give the result of a piece of work for this very brief, None while there is none.

    Parameters
    ----------
    job : str
        Name of the work.
    draft : Draft
        Brief and files.
    """
    work = _work(job, draft)
    return None if work is None or work.is_running else work.result


def draw_work(job: str, draft: Draft, *, button: str, about: str, shown: bool) -> None:
    """Draw the button, or the progress of what it started.

    Parameters
    ----------
    job : str
        Name of the work.
    draft : Draft
        Brief and files.
    button : str
        Words on the button.
    about : str
        What it does and how long it takes.
    shown : bool
        Whether the result is on the screen already.
    """
    import streamlit as st

    work = _work(job, draft)
    if work is not None and not work.is_running and work.result is not None and not shown:
        st.rerun()  # it ended while this very page was drawn
    if work is not None and work.is_running:
        st.fragment(_progress, run_every=_POLL_S)(job, draft)
        return
    if work is not None and work.problem:
        st.warning(f"No result: {work.problem}")
    if work is None or work.result is None:
        key = f"{state.RUN_ENGINE}.{job}"
        st.button(button, key=key, on_click=_start, args=(job, draft), help=about)


def _progress(job: str, draft: Draft) -> None:
    import streamlit as st

    work = _work(job, draft)
    if work is None or not work.is_running:
        st.rerun()
        return
    st.progress(min(max(work.share, 0.0), 1.0), text=f"{work.what}, {work.passed_s:.0f} s so far")
    st.button("End it", key=f"{state.CANCEL}.{job}", on_click=work.end)


def _start(job: str, draft: Draft) -> None:
    old = state.store().get(job)
    if isinstance(old, BackgroundWork):
        old.end()
    state.store()[job] = BackgroundWork(job, draft)


def _work(job: str, draft: Draft) -> BackgroundWork | None:
    """Give the work for this very brief; work for an older brief is ended."""
    found = state.store().get(job)
    if not isinstance(found, BackgroundWork):
        return None
    if found.text != draft.text:
        found.end()
        del state.store()[job]
        return None
    return found
