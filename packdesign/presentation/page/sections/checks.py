"""Every check with value, limit and room left, as a table to sort, filter and export."""

from __future__ import annotations

from typing import Any, Final

from packdesign.planning.assess.record import Assessment
from packdesign.planning.verdicts.verdict import Status
from packdesign.presentation.page.answer import draw_verdicts
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.wording import MARKS, WORDS, checked, ordered, readable, title_of

__all__ = ["render"]

_OPEN: Final = (Status.STOP, Status.CAUTION)


def render(draft: Draft, judged: Assessment) -> None:
    """Draw the section.

    Parameters
    ----------
    draft : Draft
        What the builder is working on.
    judged : Assessment
        The judged pack.
    """
    import streamlit as st

    st.subheader("Every check")
    judged_here = ordered(judged.judged)
    open_ones = [each for each in judged_here if each.status in _OPEN]
    draw_verdicts(open_ones)
    if not open_ones:
        st.write("No check of the pack itself says stop or caution.")
    st.dataframe(_table(judged), hide_index=True, width="stretch", column_config=_columns())
    st.caption("Click a heading to sort; the tools above the table search it and save it as CSV. "
               "Room left is the distance to the limit as a share of the limit.")  # fmt: skip


def _table(judged: Assessment) -> Any:
    import pandas as pd

    rows = [
        {
            "Status": f"{MARKS[each.status]} {WORDS[each.status]}",
            "Check": title_of(each),
            "Value": checked(each.value, each.unit),
            "Limit": checked(each.limit, each.unit),
            "Room left": None if each.margin is None else 100 * each.margin,
            "What was found": readable(each.reason),
            "What to do": readable(each.fix),
            "Basis": each.basis.value,
            "Source": each.source,
        }
        for each in ordered(judged.told)
    ]
    return pd.DataFrame(rows)


def _columns() -> dict[str, Any]:
    import streamlit as st

    return {"Room left": st.column_config.NumberColumn(format="%.0f %%")}
