"""The charge: settings with where each comes from, the curve, balancing, the first charge."""

from __future__ import annotations

from typing import Final

from packdesign.foundation.constants import SECONDS_PER_HOUR
from packdesign.planning.assess.record import Assessment
from packdesign.planning.charge_plan.plan import ChargePlan
from packdesign.presentation.page import cached, state
from packdesign.presentation.page.answer import draw_list, draw_verdicts
from packdesign.presentation.page.charts.charge import charge_chart
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.sections.charge_study import (
    draw_interlock,
    draw_study,
    feed_words,
)
from packdesign.presentation.page.wording import duration, escaped, figure, ordered, readable

__all__ = ["render"]

_USUAL_SOC: Final = 5


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

    st.subheader("Charging it")
    draw_verdicts([each for each in ordered(judged.judged) if each.id.startswith("charge")
                   and each.fix])  # fmt: skip
    left = st.slider("Charge left when it is plugged in [%]", 0, 95, _USUAL_SOC, step=5,
                     key=state.CHARGE_START)  # fmt: skip
    plan = judged.charge
    if left != _USUAL_SOC:
        plan = cached.charged(draft, start_soc=left / 100)
    if not plan.allowed or plan.charge is None:
        st.error(f"The cells are {plan.zone.name.value}: do not charge them as they are.")
    else:
        _draw_times(plan)
        chart = charge_chart(plan.charge.run)
        st.plotly_chart(chart, width="stretch", theme=None, key="charge.chart")
    for line in plan.cautions:
        st.warning(readable(line))
    _draw_card(plan)
    st.markdown("**The first charge**")
    draw_list(plan.first_charge)
    st.write(
        f"Store it at {figure(plan.storage_soc * 100, 'percent')} charge, "
        f"{figure(plan.storage_v, 'V')} at rest."
    )
    draw_interlock(plan)
    draw_study(draft, plan, start_soc=left / 100)


def _draw_times(plan: ChargePlan) -> None:
    import streamlit as st

    if plan.charge is None:
        return
    band = plan.charge.time_s
    balance = plan.balance
    first = "nobody knows" if balance.first_h is None else duration(
        balance.first_h * SECONDS_PER_HOUR
    )  # fmt: skip
    if balance.is_too_wide:
        first = "not before that group is level"
    note = f" ({balance.note})" if balance.note else ""
    ends = f"Charged to {plan.charge.run.end_soc:.0%}"
    st.write(
        f"{ends} in {duration(band.mid)} ({duration(band.low)} to {duration(band.high)}), of which "
        f"{duration(plan.charge.cc_time_s.mid)} at constant current; if nothing has ended it, stop "
        f"it by hand after {duration(plan.clock_s)}. {feed_words(plan)} First balancing: "
        f"{first}{note}."
    )


def _draw_card(plan: ChargePlan) -> None:
    import streamlit as st

    rows = "".join(
        f'<tr><th scope="row">{escaped(each.name)}</th>'
        f'<td class="pd-figure">{figure(each.value, each.unit)}</td>'
        f"<td>{escaped(each.origin)}</td></tr>"
        for each in plan.card
    )
    st.html(
        '<table class="pd-table"><caption class="pd-plain">What the charger is set to</caption>'
        '<thead><tr><th scope="col">Setting</th><th scope="col">Value</th>'
        f'<th scope="col">From</th></tr></thead><tbody>{rows}</tbody></table>'
    )
