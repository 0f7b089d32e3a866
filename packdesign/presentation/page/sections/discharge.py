"""The discharge over time with its thresholds, and a second run by the full engine."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from packdesign.engineering.discharge.run import EndReason, Trace
from packdesign.planning.assess.record import Assessment
from packdesign.presentation.page.charts.run import Level, run_chart
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.wording import duration, figure
from packdesign.presentation.page.work_view import draw_work, result_of

__all__ = ["levels_of", "render"]

_JOB: Final = "full_engine"


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

    outcome = judged.discharge
    st.subheader("One charge, from full to its end")
    st.write(
        f"It delivers {figure(outcome.summary.delivered_ah, 'Ah')} "
        f"({figure(outcome.summary.delivered_wh, 'Wh')}) in {duration(outcome.run_time_s.mid)} "
        f"and ends by {outcome.ends_by}."
    )
    result = result_of(_JOB, draft)
    others = [] if result is None else [("full engine", _trace(result))]
    chart = run_chart(judged.discharge.bands, levels_of(judged), others=others)
    st.plotly_chart(chart, width="stretch", theme=None, key="discharge.chart")
    draw_work(
        _JOB,
        draft,
        button="Check it with the full engine (PyBaMM)",
        about="The curves above come from the fast engine. This runs PyBaMM on the same pack, from "
        "seconds to a few minutes, and lays its curves over them.",
        shown=result is not None,
    )
    if result is not None:
        _compare(judged, result["summary"])
    bands = outcome.bands
    st.caption(
        f"The shaded range holds 9 of 10 packs like it. Most of the doubt about the "
        f"{bands.ranked_by} comes from: {bands.ranking[0][0]}. {bands.advice}"
    )


def levels_of(judged: Assessment) -> list[Level]:
    """Give the thresholds and what the device needs as lines to draw.

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


def _trace(result: dict[str, Any]) -> Trace:
    arrays = {name: np.asarray(values, dtype=float) for name, values in result["trace"].items()}
    return Trace(
        time_s=arrays["time_s"],
        current_a=arrays["current_a"],
        voltage_v=arrays["voltage_v"],
        soc=arrays["soc"],
        cell_degc=arrays["cell_degc"],
        surface_degc=arrays["surface_degc"],
        ends_by=EndReason(result["ends_by"]),
    )


def _compare(judged: Assessment, full: dict[str, float]) -> None:
    import streamlit as st

    fast = judged.discharge.summary
    st.markdown(
        "| | fast engine | full engine (PyBaMM) |\n|---|---|---|\n"
        f"| It runs for | {duration(fast.run_time_s)} | {duration(full['run_time_s'])} |\n"
        f"| Lowest voltage | {figure(fast.min_voltage_v, 'V', digits=4)} | "
        f"{figure(full['min_voltage_v'], 'V', digits=4)} |\n"
        f"| Hottest cell | {figure(fast.peak_cell_degc, 'degC')} | "
        f"{figure(full['peak_cell_degc'], 'degC')} |\n"
    )
