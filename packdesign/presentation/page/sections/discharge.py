"""The discharge over time with its thresholds, and what other engines say of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any, Final

import numpy as np

from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge.physics_engine import physics_set_for
from packdesign.engineering.discharge.run import EndReason, RunSummary, Trace
from packdesign.planning.assess.likely import LikelyRun
from packdesign.planning.assess.record import Assessment
from packdesign.presentation.page.charts.run import Level, VoltageBand, run_chart
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.wording import duration, figure, readable
from packdesign.presentation.page.work_view import draw_work, result_of

__all__ = ["band_of", "levels_of", "render", "render_likely"]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Opinion:
    """Another engine that can be asked about the same discharge."""

    job: str
    name: str
    button: str
    about: str


_FULL: Final = _Opinion(
    job="full_engine",
    name="full engine (PyBaMM)",
    button="Check it with the full engine (PyBaMM)",
    about="The curves above come from the fast engine. This runs PyBaMM on the same pack, from "
    "seconds to a few minutes, and lays its curves over them.",
)


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

    outcome = judged.discharge.as_it_ends
    _draw_words(outcome.summary, run_time_s=outcome.run_time_s.mid, ends_by=outcome.ends_by)
    asked = _opinions(judged)
    results = {each.name: result_of(each.job, draft) for each in asked}
    told = {name: result for name, result in results.items() if result is not None}
    others = [(name, _trace(result)) for name, result in told.items()]
    chart = run_chart(outcome.trace, band_of(judged), levels_of(judged), others=others)
    st.plotly_chart(chart, width="stretch", theme=None, key="discharge.chart")
    for each in asked:
        draw_work(each.job, draft, button=each.button, about=each.about, shown=each.name in told)
    if told:
        _compare(judged, {name: result["summary"] for name, result in told.items()})
    if outcome.trace.known is not None:
        st.caption(
            "Of many equal uses some are drawn one by one; the level line between two of them is "
            "the mean of those left out."
        )
    if outcome.weakest is not None:
        st.caption(outcome.weakest.words)
    st.caption(f"The shaded range holds 9 of 10 packs like it. {readable(outcome.bands.advice)}")


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
    bands = judged.discharge.as_it_ends.bands
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
        (f"{each.name.replace('_', ' ')} {figure(each.acts_v, 'V')}", each.acts_v)
        for each in judged.gauge.firmware
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


def _opinions(judged: Assessment) -> list[_Opinion]:
    """The full engine, and a particle model where a set of parameters is published for the cell."""
    published = physics_set_for(judged.design.cell)
    if published is None:
        return [_FULL]
    particle = _Opinion(
        job="particle_model",
        name=f"particle model {published}",
        button=f"Ask a particle model too (published set {published})",
        about="A physics model of the electrodes with parameters published for such a cell, solved "
        "by PyBaMM: a second opinion that knows no more of the sheet than the capacity. From "
        "seconds to some minutes.",
    )
    return [_FULL, particle]


def _compare(judged: Assessment, others: Mapping[str, Mapping[str, float]]) -> None:
    import streamlit as st

    fast = judged.discharge.as_it_ends.summary
    columns = [asdict(fast), *others.values()]
    rows = (
        ("It runs for", [duration(each["run_time_s"]) for each in columns]),
        ("Lowest voltage", [figure(each["min_voltage_v"], "V", digits=4) for each in columns]),
        ("Hottest cell", [figure(each["peak_cell_degc"], "degC") for each in columns]),
    )
    head = " | ".join(["fast engine", *others])
    lines = [f"| | {head} |", "|---" * (len(columns) + 1) + "|"]
    lines += [f"| {words} | {' | '.join(values)} |" for words, values in rows]
    st.markdown("\n".join(lines))
