"""Step 3: what one use is, how often, or a log measured on the real device."""

from __future__ import annotations

from typing import Final

from packdesign.presentation.page import state
from packdesign.presentation.page.form.field import Field, draw_fields
from packdesign.presentation.page.form.more import draw_more
from packdesign.presentation.page.form.repeated import Repeated, draw_repeated

__all__ = ["draw_use"]

_WANTED: Final = (
    Field(path="mission.run_time", label="Running time wanted from one charge"),
    Field(path="mission.uses", label="or uses wanted from one charge"),
    Field(path="mission.rest_between_uses", label="Rest from one use to the next"),
)
_ACTIONS: Final = Repeated(
    path="mission.actions",
    word="action",
    fields=(
        ("do", "What is done"),
        ("seconds", "For how long"),
        ("motor", "Which motor (empty: all)"),
        ("duty", "Duty (empty: that of the driver)"),
        ("torque", "Torque (empty: that of the motor's work)"),
        ("repeats", "Times in a row"),
        ("loads_off", "Off meanwhile"),
    ),
    first={"do": "hold", "seconds": "5 s"},
    name_key="do",
)
_MODES: Final = Repeated(
    path="mission.modes",
    word="way of working",
    fields=(
        ("name", "What is done"),
        ("share", "Share of the time"),
        ("motor", "Which motor (empty: all)"),
        ("duty", "Duty"),
        ("torque", "Torque"),
        ("loads_off", "Off meanwhile"),
    ),
    first={"name": "working", "share": 0.5},
)
_START: Final = (Field(path="start.soc", label="Charge when it is switched on"),)


def draw_use() -> None:
    """Draw the step."""
    import streamlit as st

    brief = state.draft().brief
    if brief.log_given:
        _draw_log_in_use()
        return
    draw_fields(_WANTED)
    has_modes = brief.mission is not None and bool(brief.mission.modes)
    has_actions = brief.mission is not None and bool(brief.mission.actions)
    if not has_modes:
        st.markdown("**One use, action by action**")
        draw_repeated(_ACTIONS)
    if not has_actions:
        st.markdown("**Or shares of the time**")
        draw_repeated(_MODES)
    draw_fields(_START)
    with st.expander("I have a log of the real device"):
        st.caption("CSV with time and current, perhaps voltage and temperature. It then stands for "
                   "motors, loads and mission.")  # fmt: skip
        st.file_uploader("Log of current over time", type=["csv", "txt", "tsv"],
                         key=state.LOG_FILE, on_change=_take_log)  # fmt: skip


def _draw_log_in_use() -> None:
    import streamlit as st

    st.markdown("A measured log stands for the demand.")
    draw_fields((*_START, Field(path="load.repeats", label="Start again at its end?")))
    draw_more("Which column is which", ("load",), shown={"load.repeats"})
    st.button(
        "Take the log away",
        key=state.fields_key("load", "remove"),
        on_click=state.change,
        args=({"load": None},),
        kwargs={"redraw": True},
    )


def _take_log() -> None:
    import streamlit as st

    given = st.session_state[state.LOG_FILE]
    if given is None:
        return
    away = {"motor": None, "motors": None, "loads": None, "lights": None, "rails": None,
            "mission": None}  # fmt: skip
    state.change({**away, "load.log": "log.csv"}, redraw=True)
    if not state.problem():
        state.attach("log.csv", given.getvalue())
