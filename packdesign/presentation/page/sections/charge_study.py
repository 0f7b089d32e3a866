"""What stands beside a charge: what feeds it, other charges, fifty of them, the list, the lead."""

from __future__ import annotations

import functools
from collections.abc import Callable, Sequence
from typing import Any, Final

from packdesign.planning.assess.charge_study import ChargeStudy, charge_study
from packdesign.planning.assess.service import design_of
from packdesign.planning.charge_plan.outlook import BalanceOutlook
from packdesign.planning.charge_plan.plan import ChargePlan
from packdesign.presentation.page import cached, state
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.wording import duration, escaped, figure, readable

__all__ = ["draw_interlock", "draw_study", "feed_words"]

_ENTRIES: Final = 16
_TOLD_FROM_V: Final = 0.001


def feed_words(plan: ChargePlan) -> str:
    """Say what feeds the charge, in a sentence or two.

    Parameters
    ----------
    plan : ChargePlan
        The plan.
    """
    supply = plan.supply
    words = [f"Its source must give {figure(supply.input_w or supply.wanted_w, 'W')}."]
    usb = supply.usb
    if usb is not None and usb.level is not None:
        words.append(f"USB: {figure(usb.bus_v, 'V')} at {figure(usb.input_a, 'A')}.")
    if supply.least_usb_w is not None:
        words.append(f"The smallest USB source that does it has {figure(supply.least_usb_w, 'W')}.")
    if supply.port.fuse_a is not None:
        words.append(f"A fuse of {figure(supply.port.fuse_a, 'A')} fits the charge port.")
    return " ".join(words)


def draw_interlock(plan: ChargePlan) -> None:
    """Draw what charger and switch do together, where the charger stays in the device.

    Parameters
    ----------
    plan : ChargePlan
        The plan.
    """
    if not plan.supply.interlock:
        return
    _table(
        f"Charger and switch together: {plan.supply.policy.value}",
        ("Charger in", "Switch on", "Cells fit", "Charge", "Load", "Why"),
        [
            (
                "yes" if row.charger_present else "no",
                "yes" if row.switch_on else "no",
                "yes" if row.cells_fit_to_charge else "no",
                "on" if row.charge_enabled else "off",
                "on" if row.load_enabled else "off",
                row.reason,
            )
            for row in plan.supply.interlock
        ],
    )


def draw_study(draft: Draft, plan: ChargePlan, *, start_soc: float) -> None:
    """Draw what stands beside the charge, where it is asked for.

    Parameters
    ----------
    draft : Draft
        What the builder is working on.
    plan : ChargePlan
        Its charge.
    start_soc : float
        Charge when it is plugged in. [-]
    """
    import streamlit as st

    wanted = st.toggle("Faster and gentler charges, and fifty of them", key=state.CHARGE_STUDY)
    if not wanted:
        return
    study: ChargeStudy = _remembered(_studied)(draft.text, draft.files, start_soc)
    _draw_choices(study)
    if study.outlook is not None:
        st.write(_drift_words(study.outlook))
    _table(
        "Go or no-go, before every charge",
        ("Look at", "Go", "Clear it up first", "Do not charge it"),
        [(row.look_at, row.green, row.amber, row.red) for row in study.checklist],
    )
    st.caption(readable(study.floor_words))
    if study.cold_words:
        st.caption(readable(study.cold_words))
    if study.lead is not None:
        _table(
            "Pins of the balance connector",
            ("Pin", "Wire", "When full", "Joins"),
            [
                (str(pin.number), pin.wire_colour, figure(pin.full_v, "V"), pin.joins)
                for pin in study.lead.pins
            ],
        )
        st.caption(" ".join(study.lead.notes))


def _studied(text: str, files: tuple[tuple[str, bytes], ...], start_soc: float) -> ChargeStudy:
    draft = Draft(text=text, files=files)
    brief = cached.brief_in_place(draft)
    plan = cached.charged(draft, start_soc=start_soc)
    return charge_study(brief, design_of(brief), plan, start_soc=start_soc)


@functools.cache
def _remembered(service: Callable[..., Any]) -> Callable[..., Any]:
    import streamlit as st

    return st.cache_data(max_entries=_ENTRIES, show_spinner=False)(service)


def _draw_choices(study: ChargeStudy) -> None:
    import streamlit as st

    if not study.choices:
        return
    rows = []
    for each in study.choices:
        settings, run, cycles = each.choice.settings, each.run, each.cycles_to_80_percent
        filled = each.capacity_fraction
        rows.append(
            (
                each.choice.name,
                figure(settings.charge_a, "A"),
                figure(settings.end_v_per_cell, "V"),
                duration(run.total_time_s),
                figure(run.peak_cell_degc, "degC"),
                figure(run.supply_w, "W"),
                figure(None if filled is None else filled * 100, "percent"),
                "not published"
                if cycles is None
                else f"{round(cycles.mid, -1):.0f} ({round(cycles.low, -1):.0f} to "
                f"{round(cycles.high, -1):.0f})",
            )
        )
    _table(
        "Faster and gentler charges",
        (
            "Charge", "Current", "Per cell", "Time", "Hottest", "Source", "Filled",
            "Full cycles it lives",
        ),
        rows,
    )  # fmt: skip
    apart = "" if study.rates_are_told_apart else " They tell no charge rates apart up to 1C."
    st.caption(
        "Full cycles until 80 % of the capacity is left, used at "
        f"{figure(study.discharge_crate)}C, by published tables of other cells: compare them with "
        f"each other, promise none.{apart} A charge that fills back only a part wears less: the "
        "years count those of the mission."
    )


def _drift_words(outlook: BalanceOutlook) -> str:
    alone, kept = outlook.alone, outlook.balanced
    over_v = alone.highest_v - outlook.full_v
    passes = (
        f"one passes its full voltage by {figure(over_v * 1000, 'mV')}"
        if over_v > _TOLD_FROM_V
        else "none passes its full voltage"
    )
    words = (
        f"Without balancing, after {outlook.charges} charges "
        f"{figure(outlook.days_between, digits=2)} days apart: the groups are "
        f"{figure(float(alone.spread_ah[-1]) * 1000, 'mAh')} apart, {passes}, the pack gives "
        f"{figure(float(alone.delivered_ah[-1]), 'Ah')} of "
        f"{figure(min(outlook.group_ah), 'Ah')}."
    )
    if kept is None:
        return words
    left_mah = max(1.0, float(kept.spread_ah[-1]) * 1000)
    return f"{words} With the balancing here they stay within {figure(left_mah, 'mAh')}."


def _table(caption: str, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    import streamlit as st

    top = "".join(f'<th scope="col">{escaped(each)}</th>' for each in heads)
    body = "".join(
        f'<tr><th scope="row">{escaped(first)}</th>'
        + "".join(f"<td>{escaped(each)}</td>" for each in rest)
        + "</tr>"
        for first, *rest in rows
    )
    st.html(
        f'<div class="pd-scroll" tabindex="0" role="region" aria-label="{escaped(caption)}">'
        f'<table class="pd-table"><caption class="pd-plain">{escaped(caption)}</caption>'
        f"<thead><tr>{top}</tr></thead><tbody>{body}</tbody></table></div>"
    )
