"""Step 5: the pack itself, as far as it is settled."""

from __future__ import annotations

from typing import Final

from packdesign.foundation.errors import PackDesignError
from packdesign.presentation.page import cached, state
from packdesign.presentation.page.form.field import UNKNOWN, Field, draw_fields
from packdesign.presentation.page.form.more import draw_more

__all__ = ["draw_pack"]

_COUNTS: Final = (
    Field(path="pack.series", label="Cells in series", slider=(1, 8, 1)),
    Field(path="pack.parallel", label="Cells in parallel", slider=(1, 8, 1)),
)
_CELLS: Final = (
    Field(path="pack.cell_origin", label="Where the cells come from"),
    Field(path="pack.balance_leads", label="A balance wire on every group?"),
    Field(path="pack.temperature_sensor", label="A temperature sensor on a cell?"),
)
_SAFE: Final = (
    Field(path="pack.protection.kind", label="What cuts the pack off"),
    Field(path="pack.protection.board", label="Protection board"),
    Field(path="pack.protection.watches_each_group", label="Does it watch every group?"),
    Field(path="pack.fuse.kind", label="Fuse"),
    Field(path="pack.fuse.rating", label="Rating of the fuse"),
)
_JOINED: Final = (
    Field(path="pack.strips.material", label="Strips between the cells"),
    Field(path="pack.strips.width", label="Width of the strips"),
    Field(path="pack.strips.thickness", label="Thickness of the strips"),
    Field(path="pack.lead.awg", label="Gauge of the leads (AWG)"),
    Field(path="pack.lead.length", label="Length of a lead, one way"),
    Field(path="pack.connector.name", label="Connector"),
)


def draw_pack() -> None:
    """Draw the step."""
    import streamlit as st

    _draw_cell()
    draw_fields(_COUNTS)
    draw_fields(_CELLS)
    st.markdown("**What protects it**")
    draw_fields(_SAFE)
    st.markdown("**What joins it**")
    draw_fields(_JOINED)
    shown = {"pack.cell"}
    shown |= {each.path for each in (*_COUNTS, *_CELLS, *_SAFE, *_JOINED)}
    draw_more("More about the pack", ("pack",), shown=shown)
    draw_more(
        "More about its parts",
        ("pack.protection", "pack.strips", "pack.lead", "pack.fuse", "pack.connector",
         "pack.switch"),
        shown=shown,
    )  # fmt: skip
    draw_more("What you measured on it", ("measured",))
    draw_more("What the shortlist should favour", ("preferences",))
    draw_more("Storage and carrying", ("storage", "carrying", "retirement"))
    draw_more("Something has gone wrong", ("incident",))


def _draw_cell() -> None:
    import streamlit as st

    try:
        names = sorted(cached.cells_of(state.draft()).names)
    except PackDesignError as error:
        st.error(str(error))
        return
    pack = state.draft().brief.pack
    now = pack.cell if pack is not None else None
    if now is not None and now not in names:
        names = [now, *names]
    options = [None, *names]
    key = state.field_key("pack.cell")
    st.selectbox(
        "Cell",
        options,
        index=options.index(now),
        format_func=lambda each: each or f"{UNKNOWN}: let the shortlist choose",
        key=key,
        help="Maker and part number. Type to search; the section 'Cells' compares them.",
        on_change=_take_cell,
        args=(key,),
    )


def _take_cell(key: str) -> None:
    import streamlit as st

    name = st.session_state[key]
    changes: dict[str, object] = {"pack.cell": name}
    pack = state.draft().brief.pack
    if name is not None and (pack is None or pack.series is None):
        changes |= {"pack.series": 1, "pack.parallel": 1}
    state.change(changes, redraw=True)
