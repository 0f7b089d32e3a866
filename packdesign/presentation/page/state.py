"""What the session remembers: the draft, and the key of every widget."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from enum import Enum
from typing import Any, Final

from packdesign.foundation.errors import PackDesignError
from packdesign.planning.assess.record import Assessment
from packdesign.planning.brief.change import changed_brief
from packdesign.planning.brief.schema import Brief
from packdesign.presentation.page.draft import Draft, draft_from_address, draft_of_brief, packed
from packdesign.presentation.page.shelf import SHELF

__all__ = [
    "ADDRESS",
    "CANCEL",
    "CELL_FILE",
    "CELL_FILTER",
    "CELL_FORM",
    "CELL_PASTED",
    "CHARGE_START",
    "CHARGE_STUDY",
    "DOWNLOAD_BRIEF",
    "EXAMPLE",
    "FILE",
    "FROM_CELLS",
    "LOG_FILE",
    "LOSS_AT",
    "MESH_FILE",
    "REFIT",
    "RUN_ENGINE",
    "SEARCH",
    "SECTION",
    "STEP",
    "TEMPERATURES",
    "TRANSIENT",
    "UNITS",
    "WHAT_IF",
    "WHAT_IF_VALUE",
    "Kept",
    "attach",
    "begin",
    "change",
    "draft",
    "field_key",
    "fields_key",
    "keep_judged",
    "last_judged",
    "problem",
    "remember",
    "replace_draft",
    "store",
    "tell_problem",
    "wait_for",
]

ADDRESS: Final = "brief"
"""Name of the query parameter that holds the draft."""

EXAMPLE: Final = "start.example"
FILE: Final = "start.file"
UNITS: Final = "start.units"
DOWNLOAD_BRIEF: Final = "start.download"
STEP: Final = "form.step"
SECTION: Final = "answer.section"
MESH_FILE: Final = "fit.mesh_file"
LOG_FILE: Final = "log.file"
REFIT: Final = "log.refit"
CELL_FILE: Final = "cells.file"
CELL_PASTED: Final = "cells.pasted"
CELL_FILTER: Final = "cells.filter"
CELL_FORM: Final = "cells.form"
FROM_CELLS: Final = "cells.take"
RUN_ENGINE: Final = "discharge.second_run"
CANCEL: Final = "discharge.cancel"
TRANSIENT: Final = "startup.which"
TEMPERATURES: Final = "heat.which"
LOSS_AT: Final = "losses.at"
CHARGE_START: Final = "charge.start"
CHARGE_STUDY: Final = "charge.study"
SEARCH: Final = "shortlist.search"
WHAT_IF: Final = "whatif.key"
WHAT_IF_VALUE: Final = "whatif.value"

_DRAFT: Final = "session.draft"
_PROBLEM: Final = "session.problem"
_GENERATION: Final = "session.generation"
_STORE: Final = "session.store"
_JUDGED: Final = "judged"
_AWAITED: Final = "awaited"


def begin(first: Callable[[], Draft]) -> None:
    """Give a session its draft: the one in the address, else the one given.

    Parameters
    ----------
    first : callable
        Makes what a fresh visitor sees.
    """
    import streamlit as st

    if _DRAFT in st.session_state:
        return
    st.session_state[_GENERATION] = 0
    st.session_state[_PROBLEM] = ""
    st.session_state[_DRAFT] = first()
    word = st.query_params.get(ADDRESS)
    if word:
        try:
            st.session_state[_DRAFT] = draft_from_address(word, shelf=SHELF)
        except PackDesignError as error:
            st.session_state[_PROBLEM] = str(error)


def draft() -> Draft:
    """Give the draft of this session."""
    import streamlit as st

    found: Draft = st.session_state[_DRAFT]
    return found


class Kept(Enum):
    """How much of the draft a reload brings back."""

    WHOLE = "whole"
    """All of it stands in the address."""
    HERE = "here"
    """Its files lie on this server's shelf."""
    TEXT = "text"
    """Its files do not come back."""


def remember() -> Kept:
    """Write the draft into the address; say what a reload brings back."""
    import streamlit as st

    now = draft()
    word, kept = packed(now), Kept.WHOLE
    if word is None and SHELF.put(now.digest, now.files):
        word, kept = packed(now, on_shelf=True), Kept.HERE
    if word is None:
        word, kept = packed(Draft(text=now.text)), Kept.TEXT
    if word is not None and st.query_params.get(ADDRESS) != word:
        st.query_params[ADDRESS] = word
    return kept


def replace_draft(new: Draft) -> None:
    """Put another draft in place; every field shows its figures.

    Parameters
    ----------
    new : Draft
        The draft.
    """
    import streamlit as st

    st.session_state[_DRAFT] = new
    st.session_state[_PROBLEM] = ""
    st.session_state[_GENERATION] += 1
    st.session_state.pop(_STORE, None)


def change(changes: Mapping[str, Any], *, redraw: bool = False) -> None:
    """Change keys of the brief; what cannot be meant is told and not taken.

    Parameters
    ----------
    changes : mapping
        New values by dotted key, as :func:`changed_brief` takes them.
    redraw : bool
        True where fields on the screen must show new figures: a table came or went.
    """
    import streamlit as st

    now = draft()
    try:
        changed: Brief = changed_brief(now.brief, changes, name="your brief")
        new = draft_of_brief(changed, now.files)
    except PackDesignError as error:
        tell_problem(str(error))
        return
    st.session_state[_DRAFT] = new
    st.session_state[_PROBLEM] = ""
    if redraw:
        st.session_state[_GENERATION] += 1


def attach(name: str, content: bytes) -> None:
    """Put a file beside the brief.

    Parameters
    ----------
    name : str
        Bare name, as the brief writes it.
    content : bytes
        What is in it.
    """
    import streamlit as st

    st.session_state[_DRAFT] = draft().with_file(name, content)


def problem() -> str:
    """Give what is wrong with the last thing typed; empty if nothing is."""
    import streamlit as st

    return str(st.session_state[_PROBLEM])


def tell_problem(text: str) -> None:
    """Note what is wrong with the last thing typed.

    Parameters
    ----------
    text : str
        What, got, allowed.
    """
    import streamlit as st

    st.session_state[_PROBLEM] = text


def store() -> dict[str, Any]:
    """Give the drawer for what belongs to this draft alone, such as a run in the background."""
    import streamlit as st

    found: dict[str, Any] = st.session_state.setdefault(_STORE, {})
    return found


def keep_judged(judged: Assessment) -> None:
    """Keep the last whole answer of this draft, to stand until the next is worked out.

    Parameters
    ----------
    judged : Assessment
        The judged pack.
    """
    store()[_JUDGED] = judged


def last_judged() -> Assessment | None:
    """Give the last whole answer of this draft before the latest change, if there was one."""
    found = store().get(_JUDGED)
    return found if isinstance(found, Assessment) else None


def wait_for(now: Draft) -> Draft | None:
    """Note the draft whose answer is waited for, and give the one that was before.

    Parameters
    ----------
    now : Draft
        The draft.
    """
    before = store().get(_AWAITED)
    store()[_AWAITED] = now
    return before if isinstance(before, Draft) else None


def field_key(path: str) -> str:
    """Give the key of the widget for one key of the brief.

    Parameters
    ----------
    path : str
        Dotted key.
    """
    import streamlit as st

    return f"{st.session_state[_GENERATION]}:{path}"


def fields_key(path: str, action: str) -> str:
    """Give the key of a button that acts on a table of the brief.

    Parameters
    ----------
    path : str
        Dotted key of the table.
    action : str
        What the button does.
    """
    return f"{field_key(path)}:{action}"
