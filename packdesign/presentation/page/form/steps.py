"""The five steps in the order of the job, one on the screen at a time."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from packdesign.presentation.page import state
from packdesign.presentation.page.form.charge import draw_charge
from packdesign.presentation.page.form.drive import draw_drive
from packdesign.presentation.page.form.fit import draw_fit
from packdesign.presentation.page.form.pack import draw_pack
from packdesign.presentation.page.form.use import draw_use

__all__ = ["STEPS", "draw_steps"]

STEPS: Final[dict[str, Callable[[], None]]] = {
    "1  What it must fit in": draw_fit,
    "2  What it must drive": draw_drive,
    "3  How long": draw_use,
    "4  How it is charged": draw_charge,
    "5  The pack": draw_pack,
}
"""Heading and drawing of each step."""


def draw_steps() -> None:
    """Draw the choice of steps, what is wrong with the last entry, and the step chosen."""
    import streamlit as st

    step = st.radio("Where you are", list(STEPS), key=state.STEP)
    if state.problem():
        st.error(f"Not taken: {state.problem()}")
    STEPS[step or next(iter(STEPS))]()
    st.caption("Leave a field empty where you do not know: the answer then says what to find out.")
