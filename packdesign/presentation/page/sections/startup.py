"""The start of each motor: how far the rail falls, what flows, where the energy goes."""

from __future__ import annotations

from typing import Final

from packdesign.engineering.demand.transient_result import EnergyBalance
from packdesign.planning.assess.record import Assessment
from packdesign.planning.assess.start_report import StartReport
from packdesign.presentation.page import cached, state
from packdesign.presentation.page.charts.share import share_chart
from packdesign.presentation.page.charts.start import start_chart
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.wording import duration, figure, readable

__all__ = ["render"]

_ENERGIES: Final = {
    "work on the load": "work_j",
    "kept in what turns": "stored_j",
    "copper of the motor": "copper_heat_j",
    "friction of motor and gear": "friction_heat_j",
    "gear": "gear_heat_j",
    "driver": "driver_heat_j",
    "wires": "wiring_heat_j",
    "regulators and loads": "rails_j",
    "clamp": "clamp_heat_j",
}


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

    st.subheader("The moment it starts")
    reports = cached.starts_of(draft)
    if not reports:
        st.write("Nothing in this brief turns, or a log stands for it: there is no start to show.")
        return
    traces = {
        f"{report.motor}: {moment}": (report, result)
        for report in reports
        for moment, result in reversed(list(report.traces.items()))
    }
    if not traces:
        st.write("Nothing that turns has any inertia, so a start has no length.")
        return
    chosen = st.selectbox("Which start", list(traces), key=state.TRANSIENT)
    report, result = traces[chosen or next(iter(traces))]
    chart = start_chart(result, needed_v=report.needed_rail_v)
    st.plotly_chart(chart, width="stretch", theme=None, key="startup.chart")
    if result.collapsed_at_s is not None:
        st.error(f"The supply collapses {figure(result.collapsed_at_s * 1000, 'ms')} after the "
                 "start: the pack cannot carry what is asked.")  # fmt: skip
    _draw_figures(report)
    st.markdown("**Where the energy of this start goes**")
    parts = _energies(result.energy)
    st.plotly_chart(share_chart(parts, unit="J"), width="stretch", theme=None, key="startup.shares")


def _draw_figures(report: StartReport) -> None:
    import streamlit as st

    passing = "none is known" if report.passing is None else duration(report.passing.value)
    note = f" ({report.passing_note})" if report.passing_note else ""
    st.markdown(
        "| | |\n|---|---|\n"
        f"| Largest current of the pack in a start | {figure(report.start_battery_a, 'A')} |\n"
        f"| Largest current of one motor in a start | {figure(report.start_motor_a, 'A')} |\n"
        f"| Current of the pack when it runs | {figure(report.steady_battery_a, 'A')} |\n"
        f"| Current of the pack when stalled | {figure(report.stall_battery_a, 'A')} |\n"
        f"| Lowest rail, {report.lowest_rail_when} | {figure(report.lowest_rail_v, 'V')} |\n"
        f"| Ramp of the brief | {duration(report.ramp_s)} |\n"
        f"| Shortest ramp that keeps every limit | {passing}{note} |\n"
    )
    for way in report.ways:
        st.markdown(f"- {readable(way)}")


def _energies(energy: EnergyBalance) -> list[tuple[str, float]]:
    found = [(words, float(getattr(energy, name))) for words, name in _ENERGIES.items()]
    return sorted((each for each in found if each[1] > 0), key=lambda each: -each[1])
