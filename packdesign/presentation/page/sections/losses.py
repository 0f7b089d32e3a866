"""Where the volts and the watts go between the cells and the device."""

from __future__ import annotations

from typing import Final

from packdesign.planning.assess.judge_electrical import peak_current_a
from packdesign.planning.assess.losses import pack_losses
from packdesign.planning.assess.record import Assessment
from packdesign.presentation.page import state
from packdesign.presentation.page.charts.share import share_chart
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.wording import escaped, figure

__all__ = ["render"]

_STEADY: Final = "the usual current"
_PEAK: Final = "the largest current"


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

    st.subheader("Where the volts and the watts go")
    currents = {
        _STEADY: judged.discharge.summary.rms_current_a,
        _PEAK: peak_current_a(judged.loading, judged.discharge),
    }
    chosen = st.radio(
        "At",
        list(currents),
        key=state.LOSS_AT,
        horizontal=True,
        format_func=lambda each: f"{each}, {figure(currents[each], 'A')}",
    )
    found = pack_losses(judged.design, current_a=currents[chosen or _STEADY])
    st.write(
        f"Together {figure(found.volts, 'V')} and {figure(found.watts, 'W')} are lost on the way, "
        "half charged, at 25 \u00b0C, ten seconds into the current."
    )
    chart = share_chart([(part.name, part.volts) for part in found.parts], unit="V")
    st.plotly_chart(chart, width="stretch", theme=None, key="losses.chart")
    rows = "".join(
        f'<tr><th scope="row">{escaped(part.name)}</th>'
        f'<td class="pd-figure">{figure(part.volts * 1000, "mV")}</td>'
        f'<td class="pd-figure">{figure(part.watts, "W")}</td>'
        f'<td class="pd-figure">{figure(part.share_fraction * 100, "percent")}</td>'
        f"<td>{part.basis.value}</td></tr>"
        for part in found.parts
    )
    st.html(
        '<div class="pd-scroll" tabindex="0" role="region" aria-label="Losses part by part">'
        '<table class="pd-table"><thead><tr><th scope="col">Part</th><th scope="col">Volts</th>'
        '<th scope="col">Watts</th><th scope="col">Share</th><th scope="col">Basis</th></tr>'
        f"</thead><tbody>{rows}</tbody></table></div>"
    )
    if found.unknown:
        st.warning("Not in the sum, for nobody gave its resistance: " + ", ".join(found.unknown))
