"""Heat over repeated use: cells and surface over the whole run, with the limits of both."""

from __future__ import annotations

from packdesign.data.cells import Cell
from packdesign.planning.assess.likely import LikelyRun
from packdesign.planning.assess.record import Assessment
from packdesign.planning.assess.steady_heat import SteadyHeat
from packdesign.presentation.page.answer import draw_verdicts
from packdesign.presentation.page.charts.run import Level, temperature_chart
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.wording import duration, figure, ordered, with_band

__all__ = ["render", "render_likely"]

_ABOUT_HEAT = ("cell_temperature", "cell_cold", "surface_temperature")


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
    surface = outcome.bands.peak_surface_degc
    st.subheader("Heat, use after use")
    st.write(
        f"In one run on an ordinary day, in air of {figure(outcome.air_degc, 'degC')}, the "
        f"hottest cell reaches {figure(outcome.peak_cell_degc.mid, 'degC')} "
        f"({with_band(outcome.peak_cell_degc, 'degC')}) and the surface "
        f"{figure(surface.mid, 'degC')} ({with_band(surface, 'degC')}). The checks below are held "
        "against the hottest and the coldest day of the brief."
    )
    if outcome.steady is not None:
        st.write(_on_and_on(outcome.steady))
    chart = temperature_chart(outcome.trace, _levels(judged))
    st.plotly_chart(chart, width="stretch", theme=None, key="heat.chart")
    draw_verdicts([each for each in ordered(judged.judged) if each.id in _ABOUT_HEAT])


def render_likely(run: LikelyRun) -> None:
    """Draw what the likely run alone has for the section.

    Parameters
    ----------
    run : LikelyRun
        The run.
    """
    import streamlit as st

    st.subheader("Heat, use after use")
    st.write(
        f"On an ordinary day the hottest cell reaches {figure(run.summary.peak_cell_degc, 'degC')} "
        f"and the surface {figure(run.summary.peak_surface_degc, 'degC')}."
    )
    chart = temperature_chart(run.trace, _cell_levels(run.design.cell))
    st.plotly_chart(chart, width="stretch", theme=None, key="heat.chart")


def _on_and_on(steady: SteadyHeat) -> str:
    words = (
        f"Used on and on in that air, one charged pack after the other, the cells settle on "
        f"average at "
        f"{figure(steady.cell_degc, 'degC')} and the surface at "
        f"{figure(steady.surface_degc, 'degC')}, after {duration(steady.settles_after_s)}."
    )
    if steady.cell_limit_after_s is None:
        return words
    return f"{words} The cells are at their limit after {duration(steady.cell_limit_after_s)}."


def _levels(judged: Assessment) -> list[Level]:
    """Give the limits of the cells and of the surface that a hand touches."""
    return _cell_levels(judged.design.cell) + [
        (f"limit of the touched surface {figure(each.limit, 'degC')}", each.limit)
        for each in judged.judged
        if each.id == "surface_temperature" and each.limit is not None
    ]


def _cell_levels(cell: Cell) -> list[Level]:
    limits = [
        (f"the cell allows {figure(cell.discharge_max_degc, 'degC')}", cell.discharge_max_degc),
        (f"charging allowed up to {figure(cell.charge_max_degc, 'degC')}", cell.charge_max_degc),
    ]
    return [(words, level) for words, level in limits if level is not None]
