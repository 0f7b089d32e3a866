"""The voltages at which the device warns, limits and stops, and the numbers for its firmware."""

from __future__ import annotations

from packdesign.planning.assess.record import Assessment
from packdesign.planning.gauge.service import Gauge, drain_days
from packdesign.planning.gauge.words import gauge_notes
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.wording import duration, escaped, figure

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

    gauge = judged.gauge
    st.subheader("When it warns, limits and stops")
    _draw_levels(gauge)
    divider, error = gauge.divider, gauge.error
    days = drain_days(gauge, capacity_ah=judged.design.capacity_ah)
    st.write(
        f"Divider: {figure(divider.r_top_ohm, 'ohm')} above, {figure(divider.r_bottom_ohm, 'ohm')} "
        f"below. A reading may be wrong by {figure(error.worst_v, 'V')} at worst, "
        f"{figure(error.rss_v, 'V')} usually. The divider takes 5 % of the pack in "
        f"{figure(days, 'days')}."
    )
    for words in gauge_notes(gauge):
        st.write(words)
    st.caption(f"Counts are for {gauge.adc.name}; one count is {gauge.adc.count_words}, "
               f"{figure(gauge.microvolt_per_count / 1000, 'mV')} of the pack.")  # fmt: skip


def _draw_levels(gauge: Gauge) -> None:
    import streamlit as st

    rows = "".join(
        f'<tr><th scope="row">{escaped(level.name.replace("_", " "))}</th>'
        f'<td class="pd-figure">{figure(level.loaded_v, "V", digits=4)}</td>'
        f'<td class="pd-figure">{figure(level.resting_v, "V", digits=4)}</td>'
        f'<td class="pd-figure">{figure(level.soc_fraction * 100, "percent", digits=2)}</td>'
        f'<td class="pd-figure">{duration(level.hold_s)}</td>'
        f'<td class="pd-figure">{constant.counts}</td></tr>'
        for level, constant in zip(gauge.thresholds.in_order, gauge.firmware, strict=True)
    )
    heads = "".join(
        f'<th scope="col">{words}</th>'
        for words in ("", "Under load", "At rest", "Charge left", "For at least", "Counts")
    )
    st.html(
        '<div class="pd-scroll" tabindex="0" role="region" aria-label="Thresholds">'
        f"<table class='pd-table'><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody>"
        "</table></div>"
    )
