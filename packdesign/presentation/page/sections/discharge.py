"""The discharge over time with its thresholds, and a second run by the full engine."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge.run import EndReason, RunSummary, Trace
from packdesign.planning.assess.likely import LikelyRun
from packdesign.planning.assess.record import Assessment
from packdesign.presentation.page.charts.run import Level, VoltageBand, run_chart
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.wording import duration, figure
from packdesign.presentation.page.work_view import draw_work, result_of

__all__ = ["band_of", "levels_of", "render", "render_likely"]

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
    _draw_words(outcome.summary, run_time_s=outcome.run_time_s.mid, ends_by=outcome.ends_by)
    result = result_of(_JOB, draft)
    others = [] if result is None else [("full engine", _trace(result))]
    chart = run_chart(outcome.trace, band_of(judged), levels_of(judged), others=others)
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
    if outcome.trace.known is not None:
        st.caption(
            "Of many equal uses some are drawn one by one; the level line between two of them is "
            "the mean of those left out."
        )
    st.caption(
        f"The shaded range holds 9 of 10 packs like it. Most of the doubt about the "
        f"{bands.ranked_by} comes from: {bands.ranking[0][0]}. {bands.advice}"
    )


def render_likely(run: LikelyRun) -> None:
    """Draw what the likely run alone has for the section.

    Parameters
    ----------
    run : LikelyRun
        The run.
    """
    import streamlit as st

    _draw_words(run.summary, run_time_s=run.summary.run_time_s, ends_by=run.ends_by)
    chart = run_chart(run.trace, None, _needs(run.demand))
    st.plotly_chart(chart, width="stretch", theme=None, key="discharge.chart")


def _draw_words(summary: RunSummary, *, run_time_s: float, ends_by: str) -> None:
    import streamlit as st

    st.subheader("One charge, from full to its end")
    st.write(
        f"It delivers {figure(summary.delivered_ah, 'Ah')} ({figure(summary.delivered_wh, 'Wh')}) "
        f"in {duration(run_time_s)} and ends by {ends_by}."
    )


def band_of(judged: Assessment) -> VoltageBand | None:
    """Give the range of the voltage over time; None where there is none.

    Parameters
    ----------
    judged : Assessment
        The judged pack.
    """
    bands = judged.discharge.bands
    if bands.trace is None or bands.voltage_low_v is None or bands.voltage_high_v is None:
        return None
    return VoltageBand(
        time_s=bands.trace.time_s, low_v=bands.voltage_low_v, high_v=bands.voltage_high_v
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
    return found + _needs(judged.loading.demand)


def _needs(demand: Demand) -> list[Level]:
    if demand.minimum_v <= 0:
        return []
    words = f"{demand.minimum_v_device} needs {figure(demand.minimum_v, 'V')}"
    return [(words, demand.minimum_v)]


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
