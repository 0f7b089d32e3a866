"""The shortlist: every pack that could be built, ranked, and why the others are not on it."""

from __future__ import annotations

from typing import Any, Final

from packdesign.planning.verdicts.verdict import Status
from packdesign.presentation.page import state
from packdesign.presentation.page.charts.packs import packs_chart
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.wording import MARKS, WORDS, readable
from packdesign.presentation.page.work_view import draw_work, result_of

__all__ = ["draw_shortlist"]

_JOB: Final = "shortlist"


def draw_shortlist(draft: Draft) -> None:
    """Draw the search, and what it found.

    Parameters
    ----------
    draft : Draft
        What the builder is working on.
    """
    import streamlit as st

    st.subheader("Packs that fit and pass")
    result = result_of(_JOB, draft)
    if result is None:
        st.write("Every cell of the table is tried in every count that goes into the room; what "
                 "passes is ranked, safety first.")  # fmt: skip
    draw_work(
        _JOB,
        draft,
        button="Search the whole cell table",
        about="It takes from seconds to minutes and can be ended at any time.",
        shown=result is not None,
    )
    if result is not None:
        _draw_result(result)


def _draw_result(result: dict[str, Any]) -> None:
    import streamlit as st

    st.write(
        f"{result['considered']} packs were looked at, {result['fit']} go into the room and the "
        f"voltage windows; it took {result['seconds']:.1f} s."
    )
    candidates = result["candidates"]
    if not candidates:
        st.warning("No pack passes. The table below says which limit each cell breaks first.")
    else:
        _draw_candidates(candidates)
        chart = packs_chart([*candidates, *result["others"]], front=result["front"])
        st.plotly_chart(chart, width="stretch", theme=None, key="shortlist.chart")
        _draw_choice(candidates)
    if result["rejected"]:
        with st.expander(f"Why {len(result['rejected'])} cells are not on it"):
            st.dataframe(_rejected(result["rejected"]), hide_index=True, width="stretch")


def _draw_candidates(candidates: list[dict[str, Any]]) -> None:
    import pandas as pd
    import streamlit as st

    column = st.column_config
    longest = max(each["run_time_s"] for each in candidates) / 3600
    heaviest = max(each["mass_g"] for each in candidates)
    rows = [
        {
            "Rank": each["rank"],
            "Status": f"{MARKS[Status(each['status'])]} {WORDS[Status(each['status'])]}",
            "Pack": each["name"],
            "Runs [h]": each["run_time_s"] / 3600,
            "Mass [g]": each["mass_g"],
            "Margin [%]": each["margin_percent"],
            "Hottest cell [\u00b0C]": each["peak_cell_degc"],
            "Why": readable(" ".join(each["because"])),
        }
        for each in candidates
    ]
    st.dataframe(
        pd.DataFrame(rows),
        hide_index=True,
        width="stretch",
        column_config={
            "Runs [h]": column.ProgressColumn(format="%.2f", min_value=0.0, max_value=longest),
            "Mass [g]": column.ProgressColumn(format="%.0f", min_value=0.0, max_value=heaviest),
            "Margin [%]": column.ProgressColumn(format="%.0f", min_value=0.0, max_value=50.0),
            "Hottest cell [\u00b0C]": column.NumberColumn(format="%.1f"),
        },
    )
    st.caption("Margin is the room to the nearest limit; beyond half of a limit it counts as half.")


def _draw_choice(candidates: list[dict[str, Any]]) -> None:
    import streamlit as st

    names = [each["name"] for each in candidates]
    chosen = st.selectbox("Take a pack into the brief", names, key=state.SEARCH)
    pack = candidates[names.index(chosen)] if chosen in names else candidates[0]
    st.button("Take this pack", key=f"{state.SEARCH}.take", on_click=_take, args=(pack,))


def _take(pack: dict[str, Any]) -> None:
    state.change(
        {
            "pack.cell": pack["cell"],
            "pack.series": pack["series"],
            "pack.parallel": pack["parallel"],
            "pack.arrangement": None,
        },
        redraw=True,
    )


def _rejected(rows: list[dict[str, Any]]) -> Any:
    import pandas as pd

    return pd.DataFrame(
        [
            {"Cell": each["cell"], "Best try": each["pack"], "Why not": readable(each["reason"]),
             "What would admit it": each["change"]}
            for each in rows
        ]
    )  # fmt: skip
