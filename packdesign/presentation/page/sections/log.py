"""Logs of the real device: replayed through the model, and the model fitted to them."""

from __future__ import annotations

from packdesign.foundation.basis import Band
from packdesign.planning.assess.log_fit import FittedLog, LogFit, keys_of_fit
from packdesign.planning.assess.record import Assessment
from packdesign.presentation.page import cached, state
from packdesign.presentation.page.charts.log import log_chart
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.wording import escaped, figure, with_band

__all__ = ["render"]


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

    st.subheader("Logs of the real thing")
    st.write(
        "Bring logs of this very pack at work: CSV with time_s, current_a and voltage_v, perhaps "
        "temperature_degc. They are replayed through the model, and the model is fitted to all of "
        "them; a gentle run and a hard one tell more than either. Let each begin with a rest: its "
        "voltage tells the charge, which else is the one that step 3 names. A reload forgets the "
        "logs, unless their figures were taken into the brief."
    )
    given = st.file_uploader(
        "Logs of the pack", type=["csv", "txt", "tsv"], key=state.REFIT, accept_multiple_files=True
    )
    if not given:
        return
    with st.spinner("Replaying and fitting"):
        found = cached.logs_fitted(draft, [(each.name, each.getvalue()) for each in given])
    for number, each in enumerate(found.logs):
        st.markdown(f"**{escaped(each.name)}**")
        st.plotly_chart(log_chart(each), width="stretch", theme=None, key=f"log.chart.{number}")
        _draw_errors(each)
    _draw_fit(found)
    st.button(
        "Take these figures into the brief",
        key=f"{state.REFIT}.take",
        on_click=_take,
        args=(found,),
        help="Step 5 then shows them under 'What you measured on it'.",
    )


def _draw_errors(found: FittedLog) -> None:
    import streamlit as st

    before, after = found.errors_before, found.errors_after
    st.markdown(
        "| Prediction against log | before | after the fit |\n|---|---|---|\n"
        f"| Voltage, root mean square | {figure(before.rms_v * 1000, 'mV')} | "
        f"{figure(after.rms_v * 1000, 'mV')} |\n"
        f"| Voltage, mean | {figure(before.bias_v * 1000, 'mV')} | "
        f"{figure(after.bias_v * 1000, 'mV')} |\n"
        f"| Energy | {figure(before.energy_percent, 'percent')} | "
        f"{figure(after.energy_percent, 'percent')} |\n"
    )
    st.caption(escaped(found.words))


def _draw_fit(found: LogFit) -> None:
    import streamlit as st

    fit = found.fit
    lines: list[tuple[str, Band | None, str]] = [
        ("Resistance, relative to the datasheet's", fit.resistance_factor, ""),
        ("Capacity of a cell", fit.capacity_ah, "Ah"),
        ("Heat loss of a cell", fit.heat_loss_w_per_k, "W/K"),
        ("Added thermal mass of a cell", fit.added_thermal_mass_j_per_k, "J/K"),
        ("Open-circuit voltage over temperature", found.entropic_shift_mv_per_k, "mV/K"),
    ]
    rows = "".join(
        f"| {words} | {figure(band.mid, unit)} | {with_band(band, unit)} |\n"
        if band is not None
        else f"| {words} | no log tells | |\n"
        for words, band, unit in lines
    )
    st.markdown("| What the logs say | likely | 95 % |\n|---|---|---|\n" + rows)


def _take(found: LogFit) -> None:
    state.change(dict(keys_of_fit(found, state.draft().brief)), redraw=True)
