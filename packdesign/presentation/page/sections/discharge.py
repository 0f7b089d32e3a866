"""The discharge over time with its thresholds, and a second run by the full engine."""

from __future__ import annotations

from packdesign.planning.assess.record import Assessment
from packdesign.presentation.page import cached, second_run
from packdesign.presentation.page.charts.run import Level, run_chart
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.wording import duration, figure

__all__ = ["levels_of", "render"]


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

    st.subheader("One charge from full to its end")
    outcome = judged.discharge
    st.write(
        f"It delivers {figure(outcome.summary.delivered_ah, 'Ah')} "
        f"({figure(outcome.summary.delivered_wh, 'Wh')}) in {duration(outcome.run_time_s.mid)} "
        f"and ends by {outcome.ends_by}."
    )
    second_run.draw(draft, judged, chart=_draw_chart)
    st.caption(
        f"The shaded range holds 9 of 10 packs like it. Most of the doubt about the "
        f"{outcome.bands.ranked_by} comes from {outcome.bands.ranking[0][0]}. "
        f"{outcome.bands.advice}"
    )


def levels_of(judged: Assessment) -> list[Level]:
    """Give the thresholds and the end of the cells as lines to draw.

    Parameters
    ----------
    judged : Assessment
        The judged pack.
    """
    found = [
        (f"{each.name.replace('_', ' ')} {figure(each.loaded_v, 'V')}", each.loaded_v)
        for each in judged.gauge.thresholds.in_order
    ]
    demand = judged.loading.demand
    if demand.minimum_v > 0:
        words = f"{demand.minimum_v_device} needs {figure(demand.minimum_v, 'V')}"
        found.append((words, demand.minimum_v))
    return found


def _draw_chart(draft: Draft, judged: Assessment, others: second_run.Others) -> None:
    import streamlit as st

    chart = run_chart(cached.voltage_band(draft), levels_of(judged), others=others)
    st.plotly_chart(chart, width="stretch", theme=None, key="discharge.chart")
