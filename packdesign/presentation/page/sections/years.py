"""The years after the build: what is left, storing, carrying, the label, the end."""

from __future__ import annotations

import datetime

from packdesign.foundation.basis import Band
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.assess.keeping import KeptPack, kept_after
from packdesign.planning.assess.record import Assessment
from packdesign.planning.upkeep.label import label_warning
from packdesign.planning.upkeep.life import part_charge_words
from packdesign.planning.upkeep.retire import Occasion, advice_for
from packdesign.planning.verdicts.verdict import Status, overall_status
from packdesign.presentation.page.answer import draw_list, draw_verdicts
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.wording import escaped, figure, ordered, readable

__all__ = ["render"]

_LAST: tuple[Occasion, ...] = (Occasion.MAKE_SAFE, Occasion.HAND_IN)


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

    st.subheader("The years after the build")
    try:
        found = kept_after(judged, today=datetime.date.today())
    except OutOfRangeError as error:
        st.error(str(error))
        return
    draw_verdicts([each for each in ordered(found.judged) if each.fix])
    _draw_years(found)
    storage = found.plan.storage
    st.markdown("**Storing**")
    st.write(
        f"Put it away at {figure(storage.target_soc * 100, 'percent')} charge, "
        f"{figure(found.storage_v, 'V')}; look at it again on {storage.next_check.isoformat()}, "
        f"set by the {storage.set_by}."
    )
    draw_list(storage.notes)
    carrying = found.plan.carrying
    st.markdown(f"**Carrying: {figure(carrying.energy_wh, 'Wh')}, {carrying.cargo.value}**")
    draw_list(carrying.notes)
    with st.expander("The rules of carrying, each with its date"):
        draw_list([f"{rule.text} (since {rule.since}: {rule.source})" for rule in found.plan.rules])
    st.markdown("**Label**")
    stops = Status.STOP in (judged.overall, overall_status(found.verdicts))
    warning = label_warning(found.plan.label_gaps, is_stop=stops)
    lines = [warning, *found.plan.label] if warning else found.plan.label
    st.code(readable("\n".join(lines)), language=None, wrap_lines=True)
    for gap in found.plan.label_gaps:
        st.warning(f"This label is not complete: {gap}.")
    st.markdown("**Retire it when**")
    draw_list(found.plan.retire)
    for occasion in _LAST:
        _draw_advice(occasion)
    with st.expander("Damage, fire, injury"):
        for occasion in Occasion:
            if occasion not in _LAST:
                _draw_advice(occasion)


def _draw_years(found: KeptPack) -> None:
    import streamlit as st

    rows = "".join(
        f'<tr><th scope="row">{year.years:g}</th><td class="pd-figure">{year.cycles:.0f}</td>'
        f'<td class="pd-figure">{_share(year.estimate.capacity_fraction)}</td>'
        f'<td class="pd-figure">{_ratio(year.estimate.resistance_ratio)}</td>'
        f"<td>{escaped(year.ends_by and f'worn by its {year.ends_by}')}</td></tr>"
        for year in found.plan.life
    )
    st.html(
        '<div class="pd-scroll" tabindex="0" role="region" aria-label="Year by year">'
        '<table class="pd-table"><thead><tr><th scope="col">Years</th>'
        f'<th scope="col">Charges of {found.plan.life[0].depth_fraction * 100:.0f} %</th>'
        '<th scope="col">Capacity left</th><th scope="col">Resistance</th>'
        f'<th scope="col">Ends</th></tr></thead><tbody>{rows}</tbody></table></div>'
    )
    st.caption(part_charge_words(found.plan.life[0]))
    notes = dict.fromkeys(text for year in found.plan.life for text in year.estimate.cautions)
    if notes:
        st.caption(readable(" ".join(f"{note[:1].upper()}{note[1:]}." for note in notes)))
    if found.plan.bursts:
        told = readable(found.plan.bursts[-1].sentence)
        st.write(f"Near empty, under its hardest moment, {told}.")


def _share(band: Band | None) -> str:
    if band is None:
        return "not known"
    low, mid, high = (round(each * 100) for each in (band.low, band.mid, band.high))
    return f'{mid} % <span class="pd-range">({low} to {high})</span>'


def _ratio(band: Band | None) -> str:
    if band is None:
        return "not known"
    span = f"({band.low:.2f} to {band.high:.2f})"
    return f'\u00d7 {band.mid:.2f} <span class="pd-range">{span}</span>'


def _draw_advice(occasion: Occasion) -> None:
    import streamlit as st

    words = occasion.value
    st.markdown(f"**{words[:1].upper()}{words[1:]}**")
    draw_list([f"{each.text} ({each.source})" for each in advice_for(occasion)])
