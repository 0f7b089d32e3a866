"""The cell table to sort and filter, and the builder's own cells with every fault told."""

from __future__ import annotations

from typing import Any, Final

from packdesign.data.cells import Cell
from packdesign.presentation.page import cached, state
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.wording import spoken

__all__ = ["draw_cells"]

_OWN: Final = "my_cells.csv"
_ALL: Final = "all"
_HEADINGS: Final = (
    "maker,part_number,form,size_code,family,capacity_mah,nominal_v,full_v,cutoff_v,continuous_a"
)


def draw_cells(draft: Draft) -> None:
    """Draw the table and the way to add to it.

    Parameters
    ----------
    draft : Draft
        What the builder is working on.
    """
    import streamlit as st

    st.subheader("Cells")
    cells = list(cached.cells_of(draft))
    left, right = st.columns(2)
    with left:
        words = st.text_input("Search", key=state.CELL_FILTER, placeholder="21700, LFP, a maker")
    with right:
        forms = [_ALL, *sorted({cell.form.value for cell in cells})]
        form = st.selectbox("Form", forms, key=state.CELL_FORM)
    shown = [cell for cell in cells if _matches(cell, words, form)]
    _draw_table(shown)
    names = [cell.name for cell in shown]
    if names:
        chosen = st.selectbox("Take a cell into the brief", names, key=state.FROM_CELLS)
        st.button("Take this cell", key=f"{state.FROM_CELLS}.take", on_click=_take_cell,
                  args=(chosen,))  # fmt: skip
    _draw_own(draft)


def _matches(cell: Cell, words: str, form: str | None) -> bool:
    if form not in (None, _ALL, cell.form.value):
        return False
    text = f"{cell.name} {cell.size_code} {cell.family.value} {cell.chemistry} {cell.purpose}"
    return all(word in text.lower() for word in words.lower().split())


def _draw_table(cells: list[Cell]) -> None:
    import pandas as pd
    import streamlit as st

    st.caption(f"{len(cells)} cells. An empty figure is not known, never zero. Click a heading to "
               "sort; the tools above the table search it and save it as CSV.")  # fmt: skip
    st.dataframe(
        pd.DataFrame([_row(cell) for cell in cells]),
        hide_index=True,
        width="stretch",
        column_config={
            "Capacity [Ah]": st.column_config.NumberColumn(format="%.3g"),
            "Mass [g]": st.column_config.NumberColumn(format="%.1f"),
        },
    )


def _row(cell: Cell) -> dict[str, Any]:
    return {
        "Cell": cell.name,
        "Form": cell.form.value,
        "Size": cell.size_code,
        "Chemistry": spoken(cell.family.value).upper(),
        "Capacity [Ah]": cell.capacity_ah,
        "Continuous [A]": cell.continuous_a,
        "Only with a temperature cut": "yes" if cell.continuous_needs_temperature_cut else "no",
        "Pulse [A]": cell.pulse_a,
        "Charge [A]": cell.standard_charge_a,
        "Full [V]": cell.full_v,
        "Cut-off [V]": cell.cutoff_v,
        "Mass [g]": None if cell.mass_kg is None else cell.mass_kg * 1000,
        "Confidence": cell.confidence.value,
        "Source": cell.source,
    }


def _take_cell(name: str) -> None:
    pack = state.draft().brief.pack
    changes: dict[str, Any] = {"pack.cell": name, "pack.arrangement": None}
    if pack is None or pack.series is None:
        changes |= {"pack.series": 1, "pack.parallel": 1}
    state.change(changes, redraw=True)


def _draw_own(draft: Draft) -> None:
    import streamlit as st

    with st.expander("Your own cells", expanded=any(name == _OWN for name, _ in draft.files)):
        st.write("Upload a CSV, or paste rows with their headings. The first line names the "
                 "columns, such as:")  # fmt: skip
        st.code(_HEADINGS, language=None, wrap_lines=True)
        given = st.file_uploader("Table of your own cells (CSV)", type=["csv", "txt", "tsv"],
                                 key=state.CELL_FILE)  # fmt: skip
        pasted = st.text_area("Or paste it here", key=state.CELL_PASTED, height=120)
        content = given.getvalue() if given is not None else pasted.encode()
        if not content.strip():
            return
        _draw_checked(content)


def _draw_checked(content: bytes) -> None:
    import streamlit as st

    found = cached.own_cells(content)
    for problem in found.problems:
        st.error(str(problem))
    if found.cells and not found.problems:
        st.success(f"{len(found.cells)} cells can be used.")
        st.button("Use them in this brief", key=f"{state.CELL_FILE}.take", on_click=_take_own,
                  args=(content,))  # fmt: skip
    elif found.cells:
        st.write(f"{len(found.cells)} other rows are in order; put the rows above right to use "
                 "the table.")  # fmt: skip


def _take_own(content: bytes) -> None:
    state.change({"cell_table": _OWN}, redraw=True)
    if not state.problem():
        state.attach(_OWN, content)
