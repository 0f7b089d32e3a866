"""Where a brief comes from and goes to: an example, an empty one, a file of the builder."""

from __future__ import annotations

from typing import Final

from packdesign.foundation.errors import BriefError, PackDesignError
from packdesign.planning.brief.examples import example_names, example_text
from packdesign.planning.brief.load import LARGEST_BYTES, brief_from_text
from packdesign.presentation.page import state
from packdesign.presentation.page.draft import Draft, draft_of_brief
from packdesign.presentation.page.form.field import IMPERIAL_WORD, METRIC_WORD
from packdesign.presentation.page.taken import save_button

__all__ = ["draw_opening", "first_draft"]

_EMPTY: Final = "an empty brief"
_FIRST: Final = "soil_corer"
_EMPTY_TEXT: Final = 'title = "my device"\n'


def first_draft() -> Draft:
    """Give what a fresh visitor sees: an example, for it shows what the page does."""
    return _example(_FIRST)


def draw_opening() -> None:
    """Draw the choice of a start, the file to bring, and the brief to take away."""
    import streamlit as st

    with st.expander("Start, open, save", expanded=False):
        names = [*example_names(), _EMPTY]
        st.selectbox("Start from", names, key=state.EXAMPLE, index=names.index(_FIRST),
                     format_func=lambda name: name.replace("_", " "))  # fmt: skip
        st.button("Start anew from this", key=f"{state.EXAMPLE}.go", on_click=_take_example,
                  help="What stands in the form now is replaced.")  # fmt: skip
        st.file_uploader("Or open your own brief (TOML)", key=state.FILE, type=["toml"],
                         on_change=_take_file)  # fmt: skip
        save_button(
            "Save the brief (TOML)",
            state.draft().text,
            name="brief.toml",
            mime="application/toml",
            key=state.DOWNLOAD_BRIEF,
            hint="The command line takes this file and gives the same result.",
        )
        for name, content in state.draft().files:
            save_button(f"Save {name}, which the brief names", content, name=name, mime="text/csv",
                        key=f"{state.DOWNLOAD_BRIEF}.{name}")  # fmt: skip
        st.radio("Lengths and temperatures in", [METRIC_WORD, IMPERIAL_WORD], key=state.UNITS,
                 horizontal=True)  # fmt: skip


def _example(name: str) -> Draft:
    text = _EMPTY_TEXT if name == _EMPTY else example_text(name)
    return draft_of_brief(brief_from_text(text, name=name))


def _take_example() -> None:
    import streamlit as st

    state.replace_draft(_example(st.session_state[state.EXAMPLE]))


def _take_file() -> None:
    import streamlit as st

    given = st.session_state[state.FILE]
    if given is None:
        return
    try:
        if given.size > LARGEST_BYTES:
            raise BriefError(_too_large(given.size))
        text = given.getvalue().decode("utf-8-sig")
        brief = brief_from_text(text, name=given.name)
    except UnicodeDecodeError:
        state.tell_problem(f"{given.name} is not UTF-8 text; save it as UTF-8")
    except PackDesignError as error:
        state.tell_problem(str(error))
    else:
        state.replace_draft(draft_of_brief(brief, state.draft().files))


def _too_large(size: int) -> str:
    return f"the file has {size} bytes; a brief has {LARGEST_BYTES} at most"
