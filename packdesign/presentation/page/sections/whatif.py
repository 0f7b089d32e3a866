"""What if: one thing changed, both packs side by side."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from packdesign.foundation.errors import BriefError
from packdesign.planning.assess.record import Assessment
from packdesign.planning.brief.change import changed_brief
from packdesign.planning.verdicts.verdict import Status
from packdesign.presentation.page import cached, state
from packdesign.presentation.page.charts.pair import pair_chart
from packdesign.presentation.page.draft import Draft, draft_of_brief
from packdesign.presentation.page.form.key_description import describe, shown_value, value_at
from packdesign.presentation.page.wording import (
    MARKS,
    WORDS,
    duration,
    escaped,
    figure,
    readable,
    title_of,
)

__all__ = ["render"]

_OFTEN: Final = {
    "Cells in parallel": "pack.parallel",
    "Cells in series": "pack.series",
    "Cell": "pack.cell",
    "Usual air": "surroundings.ambient",
    "Ramp up of the motor": "motor.drive.ramp_up",
    "Current limit of the driver": "motor.drive.current_limit",
    "Torque of the work": "motor.load.torque",
    "Gauge of the leads (AWG)": "pack.lead.awg",
    "Fuse rating": "pack.fuse.rating",
    "Charge current": "charger.current",
}
_OTHER: Final = "another key of the brief"


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

    st.subheader("What if")
    left, right = st.columns(2)
    with left:
        chosen = st.selectbox("What is changed", [*_OFTEN, _OTHER], key=state.WHAT_IF)
        path = _OFTEN.get(chosen or "")
        if path is None:
            path = st.text_input("Key, as the brief writes it", key=f"{state.WHAT_IF}.path",
                                 placeholder="loads.0.watts")  # fmt: skip
    if not path:
        return
    with right:
        now = _now(draft, path)
        written = st.text_input(f"To, with its unit (now {now})", value=now,
                                key=f"{state.WHAT_IF_VALUE}.{path}")  # fmt: skip
    other = _changed(draft, path, written)
    if other.text == draft.text:
        st.caption("Write another value to see both packs side by side.")
        return
    with st.spinner("Working it out"):
        changed = cached.assessed(other)
    _draw_pair(judged, changed)
    before, after = (each.discharge.as_it_ends.trace for each in (judged, changed))
    st.plotly_chart(
        pair_chart(before, after, name=f"with {written}"),
        width="stretch", theme=None, key="whatif.chart",
    )  # fmt: skip
    st.button("Keep the change", key="whatif.keep", on_click=state.replace_draft, args=(other,))


def _now(draft: Draft, path: str) -> str:
    found = describe(path)
    value = value_at(draft.brief, path)
    if value is None:
        return ""
    if found.quantity is None:
        return str(value)
    unit = "" if found.quantity.is_plain else found.quantity.unit
    shown = shown_value(value, stored_unit=found.stored_unit, unit=unit) if unit else value
    return f"{shown:.10g} {unit}".rstrip()


def _changed(draft: Draft, path: str, written: str) -> Draft:
    found = describe(path)
    value: Any = written.strip() or None
    if value is not None and found.quantity is None:
        try:
            value = _READERS.get(found.kind, str)(written)
        except ValueError:
            msg = f"{path} is '{written}'; write a number"
            raise BriefError(msg) from None
    elif value is not None and found.quantity is not None and found.quantity.is_plain:
        value = _plain(written)
    return draft_of_brief(changed_brief(draft.brief, {path: value}), draft.files)


def _plain(written: str) -> str | float:
    try:
        return float(written)
    except ValueError:
        return written


def _yes(written: str) -> bool:
    return written.strip().lower() in ("yes", "true", "1")


def _draw_pair(one: Assessment, other: Assessment) -> None:
    import streamlit as st

    both = (one, other)
    rows = [
        ("Verdict", *(f"{MARKS[each.overall]} {WORDS[each.overall]}" for each in both)),
        ("It runs for", *(duration(each.discharge.run_time_s.mid) for each in both)),
        ("Lowest voltage", *(figure(each.discharge.min_voltage_v.mid, "V") for each in both)),
        ("Hottest cell", *(figure(each.discharge.peak_cell_degc.mid, "degC") for each in both)),
        ("Energy", *(figure(each.design.energy_wh, "Wh") for each in both)),
        ("Stops", *(_stops(each) for each in both)),
    ]  # fmt: skip
    body = "".join(
        f'<tr><th scope="row">{words}</th><td>{escaped(now)}</td><td>{escaped(then)}</td></tr>'
        for words, now, then in rows
    )
    st.html(
        '<table class="pd-table"><thead><tr><th scope="col"></th><th scope="col">as it is</th>'
        f'<th scope="col">changed</th></tr></thead><tbody>{body}</tbody></table>'
    )
    _draw_moved(one, other)


def _stops(judged: Assessment) -> str:
    found = [title_of(each) for each in judged.told if each.status is Status.STOP]
    return ", ".join(found) or "none"


def _draw_moved(one: Assessment, other: Assessment) -> None:
    """Draw the checks whose status the change has moved."""
    import streamlit as st

    before = {each.id: each.status for each in one.verdicts}
    moved = [
        f"{title_of(each)}: {WORDS[before[each.id]].lower()} before, "
        f"{WORDS[each.status].lower()} now. {readable(each.reason)}"
        for each in other.verdicts
        if each.id in before and before[each.id] is not each.status
    ]
    if moved:
        st.markdown("**Checks that move**\n" + "\n".join(f"- {line}" for line in moved))


_READERS: Final[dict[type, Callable[[str], Any]]] = {int: int, float: float, bool: _yes}
